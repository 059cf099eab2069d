"""Words that more than one form of the report uses: sections with how sure they are, comparisons, questions, notes."""

from __future__ import annotations

from collections.abc import Iterable

from checker.binding.answers_in_job import OF_THE_JOB
from checker.binding.authority_answers import LAPSED, SETTLED
from checker.findings.citations import section
from checker.findings.finding import (
    STANDS,
    UNSTATED,
    Acceptance,
    Finding,
    LimitUsed,
    Need,
    Published,
    Working,
)
from checker.findings.report import NotJudged, Report, Unread
from checker.ir.outcomes import AGAIN, FAIL, TO_DECIDE, VERIFY
from checker.ir.tree import Caution, Citation, SetBy
from checker.problems.sanitize import low
from checker.reading.sureness import SURE

# What is open, by what to do about it: the heading, and the reasons that stand under it.
GROUPS = (
    ("Record this", ("not_recorded", "date_unknown")),
    ("Measure again", AGAIN),
    ("Ask the authority", TO_DECIDE),
)
NOTHING_JUDGED = "No rule here covers this job; nothing was judged."
WORRYING = "Could worry an inspector, and no rule here judged it"
UNREAD = "Recorded, but no rule that applied looks at it"
NOT_ALL_NEEDED = "(not all of these may be needed)"
NEAR = "too close for the instrument to tell"
NEAR_MEANS = (
    "Too close for the instrument to tell: the reading as it stands is within the limit, by less than the instrument may be "
    "off, so the true value may be over it."
)
STATED_IS = "somebody said so, with no instrument, picture or paper named."
STATED_MEANS = f"Stated: {STATED_IS}"
AS_PUBLISHED = "as published for {}, ask the office"
UNCHECKED = "†"
UNCHECKED_MEANS = (
    "† is about the code book, not about the job: section number or wording not yet checked in the book. "
    "Look it up before you cite it; changeout explain says which."
)
UNCHECKED_IN_SHORT = "† section number or wording not yet checked in the book"
SIGNS = {"<=": "≤", ">=": "≥", "==": "=", "!=": "≠"}


def nothing_wrong(report: Report) -> str:
    """What a report without a fault may say, and no more; nothing where something was found."""
    if report.with_outcome(FAIL) or report.exit_code(strict=False) != 0:
        return ""
    return "Nothing was found wrong in what these rules read. That doesn't mean the job is ready."


def not_judged(report: Report) -> list[str]:
    """Each ruleset that is not written for the job, with how much of it was not judged, and why."""
    return [_not_judged(one) for one in report.not_judged]


def _not_judged(one: NotJudged) -> str:
    many = "rules" if len(one.rules) > 1 else "rule"
    return f"{one.title} ({one.ruleset}): {len(one.rules)} {many} not judged. {' '.join(one.why)}"


def not_applying(report: Report) -> str:
    """How many rules do not apply, in a sentence; nothing where all do."""
    if not report.not_applying:
        return ""
    one = report.not_applying == 1
    return f"{report.not_applying} {'rule does' if one else 'rules do'} not apply to this job."


def left_as_found(report: Report) -> str:
    """How many rules look at existing work that this job did not touch, in a sentence; nothing where there are none."""
    if not report.left_as_found:
        return ""
    return f"Of these, {report.left_as_found} look at existing work that was left as found; it was not judged."


def compared(working: Working) -> str:
    """A comparison with its values in their places: `40 A ≤ 25 A`; behind it, who set the limit, where a layer did."""
    parts = [working.values[0]]
    for operator, value in zip(working.operators, working.values[1:], strict=True):
        parts += [SIGNS.get(operator, operator), value]
    return " ".join(parts) + from_layers(working.limits)


def from_layers(limits: Iterable[LimitUsed]) -> str:
    """Who set these limits, in brackets behind a value; nothing of those that the rule's own citation covers."""
    said = dict.fromkeys(set_by(limit) for limit in limits if not limit.own)
    return f" ({'; '.join(said)})" if said else ""


def limits_apart(finding: Finding, told: Iterable[Working] = ()) -> list[str]:
    """The limits that another layer than the rule's own set, each with its value and who set it.

    One that the authority's answer set is left out: a note tells of the answer.

    Args:
        told: Comparisons that are told already, and their limits with them.
    """
    known = {limit.name for working in told for limit in working.limits}
    said = " ".join(note for note in finding.notes if note.startswith(SETTLED))
    apart = [limit for limit in finding.limits if not limit.own and limit.name not in known]
    return [limit_said(limit) for limit in apart if not any(section(one) in said for one in limit.set_by.citations)]


def limits_from_layers(finding: Finding) -> list[str]:
    """Every limit that another layer than the rule's own set, those of an answer too."""
    return [limit_said(limit) for limit in finding.limits if not limit.own]


def limit_said(limit: LimitUsed) -> str:
    """A limit with its value and who set it."""
    return f"{limit.title}: {f'{limit.value}, ' if limit.value else ''}{set_by(limit)}"


def set_by(limit: LimitUsed) -> str:
    """Who set a limit: `Alder County ordinance, 2026-07 section 4, in place of 50 ft, NEC 440.14`."""
    before = limit.instead_of
    took = f", in place of {before.value}, {_source(before.set_by)}" if before and before.value else ""
    by = limit.set_by
    if not by.source:
        return f"left to the place by {by.ruleset}"
    return (_source(by) if by.citations else f"{_source(by)}, set by {by.ruleset}") + took


def _source(by: SetBy) -> str:
    """Where a limit stands: the section, or where its ruleset names no document, the source in its own words."""
    return cited(by.citations) or by.source


def telling(working: Working) -> bool:
    """Whether a comparison tells a reader something: how many of a list there are does not."""
    return bool(working.operators and working.margin) and not all(value.isdigit() for value in working.values)


def in_amounts(working: Working) -> bool:
    """Whether a passing comparison is of amounts with units: counts and bare numbers tell a reader nothing."""
    amounts = all(" " in value for value in working.values)
    return bool(working.operators and working.margin and working.holds == "holds" and amounts)


def readings(finding: Finding) -> str:
    """The comparisons that a passing finding rests on, with the uncertainty of what was measured."""
    said = []
    for working in finding.workings:
        if in_amounts(working):
            sure = f" ({working.uncertainty.replace(' (k = 2)', ', k = 2')})" if working.uncertainty else ""
            said.append(compared(working) + sure)
    return ", ".join(dict.fromkeys(said))


def asked(need: Need) -> str:
    """What to record, as a question, with what is noted of it and until when it can be seen."""
    early = need.known.startswith("before_") and need.known != "before_leaving"
    stage = f"check {need.known.replace('_', ' ')}" if early else ""
    more = "".join(f" ({part})" for part in (need.detail, stage) if part)
    return f"{need.ask or need.title}{more}"


def put_to(finding: Finding) -> str:
    """The question of a finding, whom it is put to, and what follows from each answer; nothing where nobody is asked."""
    if not finding.ask:
        return ""
    answers = [noted(f"If {one.answer}: {one.leads_to}") for one in finding.answers]
    return " ".join([f"{finding.asked_of[:1].upper()}{finding.asked_of[1:]}:", finding.ask, *answers])


def accepted(acceptance: Acceptance) -> str:
    """Who at the authority accepted a failure, where it is written, through which day, and how it stands."""
    stands = acceptance.standing if acceptance.standing == STANDS else f"does not count: {acceptance.standing}"
    return f"{acceptance.accepted_by}, {acceptance.reference}, through {acceptance.until}; {stands}"


def warned(finding: Finding) -> tuple[Caution, ...]:
    """The cautions that a reader has to know before acting on a finding: where something is to be done, or can kill."""
    return finding.cautions if finding.outcome == FAIL or finding.life_safety else ()


def caution_names(finding: Finding) -> str:
    """The cautions of a finding by name; their texts stand once at the end of the section."""
    return ", ".join(dict.fromkeys(_caution_name(caution) for caution in warned(finding)))


def cautions_in(findings: Iterable[Finding]) -> dict[tuple[str, str], None]:
    """Name and text of every caution that findings of one section name, each once."""
    return dict.fromkeys((_caution_name(one), one.text) for finding in findings for one in warned(finding))


def _caution_name(caution: Caution) -> str:
    return caution.key.rpartition("/")[2].replace("_", " ")


def do_label(finding: Finding) -> str:
    """What stands before a remedy: with the authority's acceptance it waits."""
    return "If the acceptance ends" if finding.accepted else "Do"


def noted(note: str) -> str:
    """A note as a sentence with one full stop."""
    return note if note.endswith("?") else f"{note}.".replace("..", ".")


def answers_in(finding: Finding) -> list[str]:
    """Whose answers settled what the finding would have asked the authority, or no longer do."""
    return [noted(note) for note in finding.notes if note.startswith((SETTLED, LAPSED))]


def answered_for_the_job(finding: Finding) -> list[str]:
    """Those of them that the job itself records: they are told of what passed too."""
    return [said for said in answers_in(finding) if OF_THE_JOB in said]


def unstated_in(finding: Finding) -> list[str]:
    """The readings of a finding whose accuracy is not stated."""
    found = [note.removeprefix(UNSTATED) for note in finding.notes if note.startswith(UNSTATED)]
    return [name for note in found for name in note.split(", ")]


def unread_titles(report: Report) -> list[str]:
    """The recorded facts that no rule that applied looked at, the worrying ones left out, as they stand inside a sentence."""
    return list(dict.fromkeys(low(one.title) for one in report.unread if not one.alarming))


def worrying(report: Report) -> list[str]:
    """The recorded facts that would worry an inspector and that no rule here judged, each with its value."""
    return [_worrying(one) for one in report.unread if one.alarming]


def _worrying(one: Unread) -> str:
    item = f" [{one.item}]" if one.item else ""
    return f"{one.title}{item}: {one.written.replace('_', ' ')}"


def cited(citations: tuple[Citation, ...], published: Iterable[Published] = ()) -> str:
    """Sections on one line: `NEC 2020, 440.22(A)†; …`, each marked that is not checked. `explained` says what the mark is.

    Args:
        published: The documents whose edition is only the published one: the first section of each says so.
    """
    to_say = dict(published)
    said = []
    for citation in citations:
        state = to_say.pop(citation.document, "") if citation.edition else ""
        aside = f" ({AS_PUBLISHED.format(state)})" if state else ""
        said.append(section(citation, aside) + (UNCHECKED if doubted(citation) else ""))
    return "; ".join(said)


def sections_of(finding: Finding) -> str:
    """The sections of a finding on one line."""
    return cited(finding.citations, finding.published)


def explained(text: str) -> str:
    """What the mark of an unchecked section means, where a text has one; it is said once, whatever the number of marks."""
    return UNCHECKED_MEANS if UNCHECKED in text else ""


def how_known(report: Report) -> str:
    """How what passed is known, counted: what only rests on somebody's word stands apart from what was measured."""
    counts = report.known.counts(report.passed)
    if not counts:
        return ""
    return f"Of {len(report.passed)} passed: {', '.join(f'{count} {way}' for way, count in counts.items())}."


def named(finding: Finding) -> str:
    """A failure by what is wrong, where the rule says it, else by what is required; with the item it is on."""
    return (finding.headline or finding.title) + (f" [{finding.item}]" if finding.item else "")


def doubted(citation: Citation) -> str:
    """What of a citation is not checked and how sure it is: `section from memory`; nothing where all of it is checked."""
    weak = {part: getattr(citation, f"{part}_sure") for part in ("section", "requirement")}
    said = [(part, SURE[sure]) for part, sure in weak.items() if sure != "checked"]
    if len({sure for _, sure in said}) == 1 and len(said) == len(weak):
        return f"section and requirement {said[0][1]}"
    return ", ".join(f"{part} {sure}" for part, sure in said)


def counts(reports: list[Report]) -> str:
    """A closing line over several jobs."""
    failed = sum(1 for report in reports if report.failed)
    not_judged = sum(1 for report in reports if report.not_judged)
    open_ones = sum(1 for report in reports if report.with_outcome(VERIFY) and not report.failed)
    return closing(len(reports), failed, open_ones, not_judged)


def closing(jobs: int, to_fix: int, only_open: int, not_judged: int) -> str:
    """How many jobs there were, and how many of them have something to fix, something open, or rules not judged."""
    parts = [f"{to_fix} with something to fix", f"{only_open} with only open questions"]
    return f"{jobs} jobs: {', '.join(parts)}" + (f", {not_judged} not judged in full" if not_judged else "") + "."
