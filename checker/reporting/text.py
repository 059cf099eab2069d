"""Everything that is to say of a job, as text: what to fix, what to settle, what passed, and who decides.

The same words with and without color; color only sets a heading apart. `screen` is the short answer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from checker.findings.finding import UNSTATED, Finding, Need
from checker.findings.known import Knowledge
from checker.findings.report import DEFERRAL, Report
from checker.reporting.folding import PRACTICE, OpenLine, folded, waiting
from checker.reporting.paragraphs import Paint, columns, plain, wrapped
from checker.reporting.words import (
    GROUPS,
    NEAR,
    NOT_ALL_NEEDED,
    STATED_MEANS,
    UNREAD,
    WORRYING,
    accepted,
    asked,
    caution_names,
    cautions_in,
    compared,
    do_label,
    explained,
    how_known,
    in_amounts,
    left_as_found,
    limits_apart,
    not_applying,
    not_judged,
    noted,
    nothing_wrong,
    put_to,
    readings,
    sections_of,
    telling,
    unread_titles,
    unstated_in,
    worrying,
)

MOST_OPEN = 30  # more lines of open questions than this are told fact by fact
MOST_UNREAD = 12  # how many of the facts that no rule reads are named in the text


def render(report: Report, width: int = 80, paint: Paint = plain) -> str:
    """One job's report.

    Args:
        width: Columns of the terminal.
        paint: Puts a text in a style ("heading", "fail", "verify", "pass").
    """
    writer = _Writer(columns(width), paint, report.known)
    return "\n".join(writer.report(report)) + "\n"


def render_station(report: Report, name: str, width: int = 80, paint: Paint = plain) -> str:
    """All that is to say of one station of a job: what was judged there, and what is still to be recorded there."""
    (station,) = (one for one in report.stations if one.name == name)
    findings = [finding for finding in report.findings if at_station(finding, station.place)]
    here = report._replace(
        findings=tuple(findings), notes=(), not_judged=(), unread=(), not_applying=0, left_as_found=0
    )
    writer = _Writer(columns(width), paint, report.known)
    return "\n".join(writer.station(here, station.heading)) + "\n"


def at_station(finding: Finding, place: int) -> bool:
    """Whether a finding is about a station, or waits for something that is seen there."""
    return finding.station == place or any(need.station == place for need in finding.needs)


class _Writer:
    def __init__(self, width: int, paint: Paint, known: Knowledge) -> None:
        self.width, self.paint, self.known = width, paint, known

    def report(self, report: Report) -> Iterator[str]:
        yield from self.head(report)
        yield from self.body(report)

    def station(self, report: Report, heading: str) -> Iterator[str]:
        """A report cut down to one station."""
        yield from (self.paint(line, "heading") for line in self.wrapped(f"{report.job_id}: {heading}"))
        yield from self.body(report)

    def body(self, report: Report) -> Iterator[str]:
        """The findings, and what stands under them in every report."""
        told = list(self.findings(report))
        yield from told
        yield ""
        yield from self.wrapped(explained("".join(told)))
        yield from self.wrapped(report.caution)
        yield from self.wrapped(DEFERRAL)

    def head(self, report: Report) -> Iterator[str]:
        for line in self.wrapped(f"Job {report.job_id}" + (f": {report.title}" if report.title else "")):
            yield self.paint(line, "heading")
        yield from self.wrapped(f"Place: {report.place or 'not recorded'}. Checked on {report.on}.")
        for title, written in report.dates:
            yield from self.wrapped(f"{title}: {written}.")
        used = ", ".join(f"{used.id} {used.version} ({used.digest})" for used in report.rulesets)
        yield from self.wrapped(f"Rulesets: {used}.", hang=2)
        for note in report.notes:
            yield from self.wrapped(f"Note: {note}", hang=2)

    def not_judged(self, report: Report) -> Iterator[str]:
        """The rulesets that are not written for this job."""
        if report.not_judged:
            yield ""
            yield self.paint(f"Not judged here ({len(report.left_out)})", "fail")
        for line in not_judged(report):
            yield from self.wrapped(line, indent=2, hang=2)

    def findings(self, report: Report) -> Iterator[str]:
        yield ""
        yield from self.wrapped(" ".join(filter(None, (report.headline, how_known(report)))))
        yield from self.not_judged(report)
        yield from self.section("Fix first", report.to_fix, self.failed, "fail")
        yield from self.section("Settle before running", report.before_running, self.unsettled, "fail")
        yield from self.section("Practice not followed", report.practice, self.failed, "verify")
        for heading, reasons in GROUPS:
            found = [finding for finding in report.to_verify if finding.reason in reasons]
            yield from self.open_section(heading, found)
        yield from self.section("Accepted by the authority in writing", report.accepted, self.failed, "verify")
        yield from self.worrying(worrying(report))
        yield from self.all_passed(report.passed)
        closing = [not_applying(report), left_as_found(report), unread(report), nothing_wrong(report)]
        yield from [""] if any(closing) else []
        for text in closing:
            yield from self.wrapped(text, hang=2 * (text == unread(report)))

    def worrying(self, found: list[str]) -> Iterator[str]:
        """What is recorded, would worry an inspector, and was judged by no rule."""
        if found:
            yield ""
            yield from (self.paint(line, "verify") for line in self.wrapped(f"{WORRYING} ({len(found)})"))
        for line in found:
            yield from self.wrapped(line, indent=2, hang=2)

    def section(
        self, heading: str, found: list[Finding], show: Callable[[Finding], Iterator[str]], style: str
    ) -> Iterator[str]:
        if not found:
            return
        yield ""
        yield self.paint(f"{heading} ({len(found)})", style)
        for finding in found:
            yield from show(finding)
        yield from self.cautions(found)

    def open_section(self, heading: str, found: list[Finding]) -> Iterator[str]:
        """Open findings under a heading, those that belong together on one line."""
        if not found:
            return
        yield ""
        yield self.paint(f"{heading} ({len(found)})", "verify")
        lines = folded(found)
        if len(lines) > MOST_OPEN:
            yield from self.by_fact(found)
            return
        for line in lines:
            if line.why:
                yield from self.together(line)
            else:
                yield from self.unsettled(line.findings[0])

    def by_fact(self, found: list[Finding]) -> Iterator[str]:
        """So much is open that it is told fact by fact, in the order in which the facts can be seen."""
        yield from self.wrapped(
            "Much is open, so here it is by what to record, with how many rules wait for each. 'changeout interview' asks "
            "them one at a time and leaves out what no longer matters; the JSON report names them by rule.",
            indent=2,
        )
        for one in waiting(found):
            yield from self.wrapped(f"{asked(one.need)} [{one.need.fact}] ({one.requirements})", indent=2, hang=2)

    def together(self, line: OpenLine) -> Iterator[str]:
        """Several findings that wait for the same thing: what to record, then for which of them."""
        word = "NOTE" if line.why == PRACTICE else "VERIFY"
        yield from self.wrapped(f"{word}: {line.why}, {len(line.findings)} requirements.", indent=2, hang=2)
        for need in line.needs:
            yield from self.need(need)
        for title, sections in titles(line).items():
            yield from self.wrapped(f"For: {title}. {sections}", indent=4, hang=2)

    def failed(self, finding: Finding) -> Iterator[str]:
        word = "ACCEPTED" if finding.accepted else "PRACTICE NOT FOLLOWED" if finding.practice else "FAIL"
        yield from self.titled(finding, word, ["LIFE SAFETY"] if finding.life_safety else [], finding.headline)
        if finding.headline not in ("", finding.title):
            yield from self.labelled("Required", finding.title)
        yield from self.wrapped(finding.message, indent=4)
        yield from self.workings(finding)
        yield from self.labelled("How known", self.known.line(finding))
        yield from self.labelled(do_label(finding), finding.remedy)
        yield from self.labelled("Caution, see below", caution_names(finding))
        if finding.acceptance:
            yield from self.labelled("Accepted", accepted(finding.acceptance))
        yield from self.tail(finding)

    def unsettled(self, finding: Finding) -> Iterator[str]:
        advice = finding.practice and finding.reason == "not_recorded"
        word = "NOTE: good practice, not recorded" if advice else "VERIFY, practice" if finding.practice else "VERIFY"
        yield from self.titled(finding, word, ["LIFE SAFETY"] if finding.life_safety else [])
        yield from self.labelled("Ask", put_to(finding))
        yield from self.limits(limits_apart(finding))
        for need in finding.needs:
            yield from self.need(need)
        if not finding.needs_exact:
            yield from self.wrapped(NOT_ALL_NEEDED, indent=4)
        for alternative in () if finding.answers else finding.alternatives:
            yield from self.wrapped(
                f"Under {alternative.label}: {alternative.outcome.replace('_', ' ')}", indent=4, hang=2
            )
        yield from self.labelled("Caution, see below", caution_names(finding))
        yield from self.tail(finding)

    def all_passed(self, found: list[Finding]) -> Iterator[str]:
        """What passed, short, by station, core first: a rule once, its items with reading and limit, and how they are known;
        at the end one line of unstated accuracies."""
        if not found:
            return
        yield ""
        yield self.paint(f"Passed ({len(found)})", "pass")
        by_rule: dict[str, list[Finding]] = {}
        for finding in sorted(found, key=lambda one: (one.station, one.by_weight)):
            by_rule.setdefault(finding.rule, []).append(finding)
        for findings in by_rule.values():
            yield from self.passed(findings)
        unstated = dict.fromkeys(name for finding in found for name in unstated_in(finding))
        yield from self.wrapped(f"[ ] how it is known. {STATED_MEANS}", indent=2, hang=2)
        if unstated:
            yield from self.wrapped(f"Accuracy unstated: {', '.join(unstated)}.", indent=2, hang=2)

    def passed(self, findings: list[Finding]) -> Iterator[str]:
        first = findings[0]
        said = [" ".join(filter(None, (finding.item, readings(finding)))) for finding in findings]
        items = f": {'; '.join(filter(None, said))}" if any(said) else ""
        word = "ok, practice" if first.practice else "ok"
        word += f" ({NEAR})" if any(finding.near for finding in findings) else ""
        how = " / ".join(dict.fromkeys(self.known.words(finding) for finding in findings))
        yield from self.wrapped(f"{word}: {first.title}{items}. {sections_of(first)}. [{how}]", indent=2, hang=2)
        apart = (limit for finding in findings for limit in limits_apart(finding, filter(in_amounts, finding.workings)))
        yield from self.limits(dict.fromkeys(apart))
        notes = dict.fromkeys(note for finding in findings for note in finding.notes if not note.startswith(UNSTATED))
        for note in notes:
            yield from self.wrapped(f"Note: {noted(note)}", indent=4, hang=2)

    def titled(self, finding: Finding, word: str, marks: list[str], named: str = "") -> Iterator[str]:
        """A finding by its requirement, or as it is named here: a failure by what is wrong."""
        item = f" [{finding.item}]" if finding.item else ""
        marked = "".join(f" ({mark})" for mark in marks)
        said = f"{word}: {named or finding.title}{item}{marked}. {sections_of(finding)}"
        yield from self.wrapped(said, indent=2, hang=2)

    def need(self, need: Need) -> Iterator[str]:
        yield from self.wrapped(f"{asked(need)} [{need.fact}]", indent=4, hang=2)

    def workings(self, finding: Finding) -> Iterator[str]:
        told = [w for w in finding.workings if w.uncertainty or (w.holds == "does not hold" and telling(w))]
        for working in told:
            parts = [f"{compared(working)}: {working.holds}", f"margin {working.margin}"]
            parts += [f"uncertainty {working.uncertainty}"] if working.uncertainty else []
            parts += [f"probability of conformity {working.probability}"] if working.probability else []
            yield from self.wrapped("; ".join(parts), indent=4, hang=2)
        yield from self.limits(limits_apart(finding, told))

    def limits(self, said: Iterable[str]) -> Iterator[str]:
        for limit in said:
            yield from self.labelled("Limit", limit)

    def tail(self, finding: Finding) -> Iterator[str]:
        for note in finding.notes:
            yield from self.wrapped(f"Note: {noted(note)}", indent=4, hang=2)
        yield from self.wrapped(f"Rule {finding.rule}", indent=4)

    def cautions(self, found: list[Finding]) -> Iterator[str]:
        """The cautions that the findings of a section name, each once."""
        for name, text in cautions_in(found):
            yield from self.wrapped(f"CAUTION, {name}: {text}", indent=2, hang=2)

    def labelled(self, label: str, text: str) -> Iterator[str]:
        if text:
            yield from self.wrapped(f"{label}: {text}", indent=4, hang=2)

    def wrapped(self, text: str, indent: int = 0, hang: int = 0) -> Iterator[str]:
        yield from wrapped(text, self.width, indent, hang)


def titles(line: OpenLine) -> dict[str, str]:
    """The rules of a folded line, each once with the items it is about, and their sections."""
    items: dict[str, list[str]] = {}
    for finding in line.findings:
        items.setdefault(finding.title, []).append(finding.item)
    by_title = {finding.title: finding for finding in line.findings}
    said = {title: ", ".join(filter(None, found)) for title, found in items.items()}
    return {
        title + (f" [{said[title]}]" if said[title] else ""): sections_of(finding)
        for title, finding in by_title.items()
    }


def unread(report: Report) -> str:
    """How many recorded facts no rule that applied looked at, and the first of them."""
    titles = unread_titles(report)
    if not titles:
        return ""
    more = f", and {len(titles) - MOST_UNREAD} more (all in the JSON report)" if len(titles) > MOST_UNREAD else ""
    return f"{UNREAD}: {', '.join(titles[:MOST_UNREAD])}{more}."
