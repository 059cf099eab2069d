"""The report as text: what to fix, what to settle, what passed, and who decides.

The same words with and without colour; colour only sets a heading apart.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterator

from checker.findings import FAIL, UNSTATED, VERIFY, Finding, Need, Working
from checker.report.model import DEFERRAL, Report
from checker.tree import Citation

Paint = Callable[[str, str], str]

MOST_UNREAD = 12  # how many of the facts that no rule reads are named in the text

GROUPS = (
    ("Record this", ("not_recorded", "implausible", "date_unknown")),
    ("Measure again", ("too_close",)),
    ("Ask the authority", ("authority_decides", "not_adopted")),
)
CAUTION = (
    "Electricity, pressure, refrigerant and flame can kill. Work on them is for qualified and licensed people: "
    "power off, locked and proved dead; regulator and relief on the nitrogen; ventilation and no flame near refrigerant."
)


def plain(text: str, _: str) -> str:
    """No colour."""
    return text


def render(report: Report, width: int = 80, paint: Paint = plain) -> str:
    """One job's report.

    Args:
        width: Columns of the terminal.
        paint: Puts a text in a style ("heading", "fail", "verify", "pass").
    """
    writer = _Writer(max(40, min(width, 100)), paint)
    return "\n".join(writer.report(report)) + "\n"


class _Writer:
    def __init__(self, width: int, paint: Paint) -> None:
        self.width, self.paint = width, paint

    def report(self, report: Report) -> Iterator[str]:
        yield from self.head(report)
        if report.outside:
            yield from self.outside(report)
        else:
            yield from self.findings(report)
        yield ""
        yield from self.wrapped(CAUTION)
        yield from self.wrapped(DEFERRAL)

    def head(self, report: Report) -> Iterator[str]:
        for line in self.wrapped(f"Job {report.job_id}" + (f": {report.title}" if report.title else "")):
            yield self.paint(line, "heading")
        yield from self.wrapped(f"Place: {report.place or 'not recorded'}. Looked at on {report.on}.")
        for title, written in report.dates:
            yield from self.wrapped(f"{title}: {written}.")
        used = ", ".join(f"{used.id} {used.version} ({used.digest})" for used in report.rulesets)
        yield from self.wrapped(f"Rulesets: {used}.", hang=2)
        for note in report.notes:
            yield from self.wrapped(f"Note: {note}", hang=2)

    def outside(self, report: Report) -> Iterator[str]:
        yield ""
        yield self.paint("These rulesets are not written for this job; nothing was judged.", "fail")
        for line in report.outside:
            yield from self.wrapped(line, indent=2)

    def findings(self, report: Report) -> Iterator[str]:
        yield ""
        yield from self.wrapped(report.headline)
        yield from self.section("Fix first", report.to_fix, self.failed, "fail")
        yield from self.section("Settle before running", report.before_running, self.unsettled, "fail")
        for heading, reasons in GROUPS:
            found = [finding for finding in report.to_verify if finding.reason in reasons]
            yield from self.section(heading, found, self.unsettled, "verify")
        yield from self.all_passed(report.passed)
        yield ""
        yield f"{report.not_applying} rules do not apply to this job."
        yield from self.wrapped(unread(report), hang=2)
        if not report.to_fix and report.exit_code(strict=False) == 0:
            yield from self.wrapped(
                "Nothing was found wrong in what these rules read. That does not say that the job is ready."
            )

    def section(
        self, heading: str, found: list[Finding], show: Callable[[Finding], Iterator[str]], style: str
    ) -> Iterator[str]:
        if not found:
            return
        yield ""
        yield self.paint(f"{heading} ({len(found)})", style)
        for finding in found:
            yield from show(finding)

    def failed(self, finding: Finding) -> Iterator[str]:
        marks = [
            word
            for word, is_so in (("LIFE SAFETY", finding.life_safety), ("practice", finding.obligation == "should"))
            if is_so
        ]
        yield from self.titled(finding, "FAIL", marks)
        yield from self.wrapped(finding.message, indent=4)
        yield from self.workings(finding)
        yield from self.labelled("Do", finding.remedy)
        yield from self.labelled("Caution", finding.caution)
        if finding.acceptance:
            a = finding.acceptance
            yield from self.labelled("Accepted", f"{a.accepted_by}, {a.reference}, until {a.until}; {a.standing}")
        yield from self.tail(finding)

    def unsettled(self, finding: Finding) -> Iterator[str]:
        yield from self.titled(finding, "VERIFY", ["LIFE SAFETY"] if finding.life_safety else [])
        yield from self.labelled("Ask", finding.ask)
        for need in finding.needs:
            yield from self.need(need)
        if not finding.needs_exact:
            yield from self.wrapped("(not all of these may be needed)", indent=4)
        for alternative in finding.alternatives:
            yield from self.wrapped(
                f"Under {alternative.label}: {alternative.outcome.replace('_', ' ')}", indent=4, hang=2
            )
        yield from self.labelled("Caution", finding.caution if finding.life_safety else "")
        yield from self.tail(finding)

    def all_passed(self, found: list[Finding]) -> Iterator[str]:
        """What passed, short: a rule once, its items with reading and limit, and one line of unstated accuracies."""
        if not found:
            return
        yield ""
        yield self.paint(f"Passed ({len(found)})", "pass")
        by_rule: dict[str, list[Finding]] = {}
        for finding in found:
            by_rule.setdefault(finding.rule, []).append(finding)
        for findings in by_rule.values():
            yield from self.passed(findings)
        unstated = dict.fromkeys(name for finding in found for name in unstated_in(finding))
        if unstated:
            yield from self.wrapped(f"Accuracy unstated: {', '.join(unstated)}.", indent=2, hang=2)

    def passed(self, findings: list[Finding]) -> Iterator[str]:
        first = findings[0]
        said = [" ".join(filter(None, (finding.item, readings(finding)))) for finding in findings]
        items = f": {'; '.join(filter(None, said))}" if any(said) else ""
        yield from self.wrapped(f"ok: {first.title}{items}. {cited(first.citations)}", indent=2, hang=2)
        notes = dict.fromkeys(note for finding in findings for note in finding.notes if not note.startswith(UNSTATED))
        for note in notes:
            yield from self.wrapped(f"Note: {note}.".replace("..", "."), indent=4, hang=2)

    def titled(self, finding: Finding, word: str, marks: list[str]) -> Iterator[str]:
        item = f" [{finding.item}]" if finding.item else ""
        marked = "".join(f" ({mark})" for mark in marks)
        yield from self.wrapped(f"{word}: {finding.title}{item}{marked}. {cited(finding.citations)}", indent=2, hang=2)

    def need(self, need: Need) -> Iterator[str]:
        early = need.known not in ("", "after", "before_leaving")
        stage = f"seen until {need.known.replace('_', ' ').removeprefix('before ')}" if early else ""
        more = "".join(f" ({part})" for part in (need.detail, stage) if part)
        yield from self.wrapped(f"{need.ask or need.title}{more} [{need.fact}]", indent=4, hang=2)

    def workings(self, finding: Finding) -> Iterator[str]:
        for working in finding.workings:
            wrong = working.holds == "does not hold" and working.margin
            if not (working.uncertainty or wrong):
                continue
            parts = [f"{compared(working)}: {working.holds}", f"margin {working.margin}"]
            parts += [f"uncertainty {working.uncertainty}"] if working.uncertainty else []
            parts += [f"probability of conformity {working.probability}"] if working.probability else []
            yield from self.wrapped("; ".join(parts), indent=4, hang=2)

    def tail(self, finding: Finding) -> Iterator[str]:
        for note in finding.notes:
            yield from self.wrapped(f"Note: {note}.".replace("..", "."), indent=4, hang=2)
        yield from self.wrapped(f"Rule {finding.rule}", indent=4)

    def labelled(self, label: str, text: str) -> Iterator[str]:
        if text:
            yield from self.wrapped(f"{label}: {text}", indent=4, hang=2)

    def wrapped(self, text: str, indent: int = 0, hang: int = 0) -> Iterator[str]:
        if text:
            lines = textwrap.wrap(
                text,
                self.width,
                initial_indent=" " * indent,
                subsequent_indent=" " * (indent + hang),
                break_on_hyphens=False,
            )
            yield from lines


def compared(working: Working) -> str:
    """A comparison with its values in their places: `40 A ≤ 25 A`."""
    signs = {"<=": "≤", ">=": "≥", "==": "=", "!=": "≠"}
    parts = [working.values[0]]
    for operator, value in zip(working.operators, working.values[1:], strict=True):
        parts += [signs.get(operator, operator), value]
    return " ".join(parts)


def unread(report: Report) -> str:
    """How many recorded facts no rule here reads, and the first of them."""
    titles = list(dict.fromkeys(title[0].lower() + title[1:] for title in report.unread))
    if not titles:
        return ""
    more = f", and {len(titles) - MOST_UNREAD} more (all in the JSON report)" if len(titles) > MOST_UNREAD else ""
    return f"Recorded, but no rule here looks at it: {', '.join(titles[:MOST_UNREAD])}{more}."


def readings(finding: Finding) -> str:
    """The comparisons that a passing finding rests on, with the uncertainty of what was measured."""
    said = []
    for working in finding.workings:
        amounts = all(" " in value for value in working.values)  # counts and bare numbers tell a reader nothing
        if working.operators and working.margin and working.holds == "holds" and amounts:
            sure = f" ({working.uncertainty.replace(' (k = 2)', ', k = 2')})" if working.uncertainty else ""
            said.append(compared(working) + sure)
    return ", ".join(dict.fromkeys(said))


def unstated_in(finding: Finding) -> list[str]:
    """The readings of a finding whose accuracy is not stated."""
    found = [note.removeprefix(UNSTATED) for note in finding.notes if note.startswith(UNSTATED)]
    return [name for note in found for name in note.split(", ")]


def cited(citations: tuple[Citation, ...]) -> str:
    """Sections on one line: `NEC 2020, 440.22(A); …`, each marked where it is not sure."""
    said = []
    for citation in citations:
        edition = f" {citation.edition}" if citation.edition else ""
        doubt = _doubt(citation)
        said.append(f"{citation.document}{edition}, {citation.section}" + (f" ({doubt})" if doubt else ""))
    return "; ".join(said)


def _doubt(citation: Citation) -> str:
    """What is not sure of a citation, in a word or two."""
    if citation.section_sure == "doubtful":
        return "section to be confirmed"
    memory = [name for name in ("section", "requirement") if getattr(citation, f"{name}_sure") == "from_memory"]
    return "from memory" if len(memory) == 2 else f"{memory[0]} from memory" if memory else ""


def counts(reports: list[Report]) -> str:
    """A closing line over several jobs."""
    failed = sum(1 for report in reports if any(not finding.accepted for finding in report.to_fix))
    outside = sum(1 for report in reports if report.outside)
    open_ones = sum(1 for report in reports if report.with_outcome(VERIFY) and not report.with_outcome(FAIL))
    parts = [f"{failed} with something to fix", f"{open_ones} with only open questions"]
    return f"{len(reports)} jobs: {', '.join(parts)}" + (f", {outside} not judged" if outside else "") + "."
