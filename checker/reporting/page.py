"""The report of one job as a page: one HTML file that needs no network and no script, for a phone and for paper.

The first printed page names the job and says what to do, then what an inspector looks at first. What failed comes next, by
what is wrong; then what is open; what passed is one table. How each was found stands behind a fold.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from checker.findings.finding import UNSTATED, Finding, Working
from checker.findings.known import STATED
from checker.findings.report import DEFERRAL, Report
from checker.ir.outcomes import FAIL, PASS
from checker.problems.file_names import safe_stem
from checker.reading.fact_shapes import Station
from checker.reading.job import Job
from checker.reporting import next_step, passed, words
from checker.reporting.figures import cycle, figures
from checker.reporting.figures.canvas import Figure
from checker.reporting.first_look import NOT_JUDGED, first_look
from checker.reporting.html import environment
from checker.reporting.in_short import in_short
from checker.reporting.open_facts import OpenFact, open_facts
from checker.reporting.photographs import by_finding, photographs, with_what_they_prove
from checker.reporting.title_block import title_block

OUTCOMES = {
    "fail": "would fail",
    "verify_locally": "to verify",
    "pass": "would pass",
    "does_not_apply": "does not apply",
}


class Line(NamedTuple):
    """One comparison as a reader wants it: what was read against which limit, and how sure that is."""

    reading: str
    limit: str
    holds: str
    margin: str
    uncertainty: str


class Group(NamedTuple):
    """A part of the page: its heading, its anchor, the word beside each finding, and the findings.

    `waiting` are findings, of this group and others, that only wait for something to be recorded: their facts are listed
    here by station. `elsewhere` counts those of this group whose facts another part lists.
    """

    heading: str
    anchor: str
    word: str
    findings: list[Finding]
    waiting: tuple[Finding, ...] = ()

    @property
    def rest(self) -> list[Finding]:
        """Those that are told each by itself."""
        return [finding for finding in self.findings if not _waits(finding)]

    @property
    def elsewhere(self) -> int:
        return 0 if self.waiting else sum(map(_waits, self.findings))

    def by_station(self, stations: Sequence[Station]) -> list[tuple[str, list[OpenFact]]]:
        """What they wait for, each fact once, by where it is seen; core first."""
        found = open_facts(self.waiting)
        told = ((one.heading, [fact for fact in found if fact.need.station == one.place]) for one in stations)
        return [(heading, facts) for heading, facts in told if facts]

    def numbers(self, stations: Sequence[Station]) -> dict[str, int]:
        """The number of each question, by the fact that it asks for."""
        facts = (one.need.fact for _, some in self.by_station(stations) for one in some)
        return {fact: number for number, fact in enumerate(facts, 1)}


def _waits(finding: Finding) -> bool:
    return finding.reason == "not_recorded" and not finding.ask


def render(report: Report, job: Job, folder: Path | None) -> str:
    """One job's page; arguments as in `told`."""
    return environment().get_template("job.html").render(**SPOKEN, **told(report, job, folder))


def told(report: Report, job: Job, folder: Path | None) -> dict[str, Any]:
    """What a page tells, by the names that its template calls it.

    Args:
        job: The same job that was judged.
        folder: The folder of the job file, where its photographs are; None where the job came without one.
    """
    pictures = list(with_what_they_prove(photographs(job, folder), report))
    looks = first_look(report, job)
    placed = by_finding(pictures, report.findings)
    beside = {picture.anchor for found in placed.values() for picture in found}
    return {
        "report": report,
        "unchecked": words.explained("".join(words.sections_of(finding) for finding in report.findings)),
        "block": title_block(job, report.authority, report),
        "short": in_short(report),
        "looks": looks,
        "looked_at": {line.rule for look in looks for line in look.lines},
        "headline": next_step.headline(report),
        "answered": next_step.answered(report),
        "known": words.how_known(report),
        "instruments": report.known.instruments(report.findings),
        "manual": report.known.manual(),
        "groups": list(groups(report)),
        "stations": job.vocabulary.stations,
        "passed": passed.rows(report),
        "facts": passed.facts(report.passed),
        "sections": passed.sections(report.passed),
        "unstated": list(dict.fromkeys(name for finding in report.passed for name in words.unstated_in(finding))),
        "figures": _figures(report, job),
        "cycle": cycle(job),
        "photographs": placed,
        "other_photographs": [picture for picture in pictures if picture.anchor not in beside],
        "footer": safe_stem(report.job_id),
    }


def _figures(report: Report, job: Job) -> dict[str, Figure]:
    """The picture of each finding that has one; of what passed, one of each kind.

    Two findings of one picture have it once, what did not pass before the rest.
    """
    found: dict[str, Figure] = {}
    kinds, seen = set[str](), set[str]()
    for finding in sorted(report.findings, key=lambda one: one.outcome == PASS):
        figure = None if finding.outcome == PASS and finding.picture in kinds else figures(finding, job)
        if figure and figure.description not in seen:
            found[finding.finding_id] = figure
            seen.add(figure.description)
            kinds.update([finding.picture] if finding.outcome == PASS else [])
    return found


def anchor(finding: Finding) -> str:
    return f"finding-{finding.finding_id}"


def groups(report: Report) -> Iterator[Group]:
    """What is not passed, in the order of the work; parts with nothing in them are left out."""
    parts = [
        Group("Fix first", "fix", "Fix", report.to_fix),
        Group("Settle before running", "settle", "Verify", report.before_running),
        Group("Practice not followed", "practice", "Practice", report.practice),
    ]
    waiting = tuple(filter(_waits, (*report.before_running, *report.to_verify)))
    for heading, reasons in words.GROUPS:
        found = [finding for finding in report.to_verify if finding.reason in reasons]
        listed = waiting if "not_recorded" in reasons else ()
        parts.append(Group(heading, f"verify-{heading.split()[0].lower()}", "Verify", found, listed))
    parts.append(Group("Accepted by the authority in writing", "accepted", "Accepted", report.accepted))
    return (part for part in parts if part.findings or part.waiting)


def lines(finding: Finding) -> Iterator[Line]:
    """The comparisons that tell how far a reading is from its limit; of a failure, those that do not hold."""
    return map(_line, _told(finding))


def _told(finding: Finding) -> list[Working]:
    told = [working for working in finding.workings if working.operators]
    if finding.outcome == FAIL:
        told = [working for working in told if working.holds == "does not hold"]
    return [working for working in told if words.telling(working)]


def limits(finding: Finding) -> list[str]:
    """The limits of a finding that another layer set and no line above tells of."""
    told = _told(finding) if finding.outcome != PASS else [w for w in finding.workings if words.in_amounts(w)]
    return words.limits_apart(finding, told)


def _line(working: Working) -> Line:
    reading, limit = passed.reading(working._replace(uncertainty=""))
    return Line(reading, limit, working.holds, working.margin, how_uncertain(working))


def how_uncertain(working: Working) -> str:
    """The uncertainty of a comparison in words; nothing where no measurement is in it."""
    if working.uncertainty:
        sure = f", probability of conformity {working.probability}" if working.probability else ""
        return working.uncertainty + sure
    return "unknown, accuracy unstated" if working.note.startswith(UNSTATED) else ""


def comparison(working: Working) -> str:
    """The values of a comparison, or of a condition on one value."""
    return words.compared(working) if working.operators else ", ".join(working.values)


def compared(finding: Finding) -> list[Working]:
    """The comparisons of amounts that a passing finding rests on, each once; a condition on one fact is told by the fact."""
    return list(dict.fromkeys(one for one in finding.workings if words.in_amounts(one)))


def working(one: Working) -> str:
    """How far a comparison that holds is from its limit; its values stand in the table."""
    return f"margin {one.margin}" + (f", probability of conformity {one.probability}" if one.probability else "")


def badge(finding: Finding) -> str:
    """The word beside a finding that did not pass: what the authority accepted and what is practice look unlike a failure."""
    if finding.accepted:
        return "Accepted"
    if finding.practice:
        return "Practice"
    return "Fix" if finding.outcome == FAIL else "Verify"


def notes(finding: Finding) -> list[str]:
    """The notes of a finding; what passed tells its unstated accuracies in its own line and once at the end."""
    kept = (note for note in finding.notes if finding.outcome != PASS or not note.startswith(UNSTATED))
    return [words.noted(note) for note in kept]


# What the templates may call, all of it words for what they are handed.
SPOKEN = {
    "words": words,
    "deferral": DEFERRAL,
    "outcomes": OUTCOMES,
    "not_judged": NOT_JUDGED,
    "stated": STATED,
    "looked": {"Passed": "passed", "Fix": "fix", "Accepted": "accepted", "Open": "verify"},
    "anchor": anchor,
    "badge": badge,
    "compared": compared,
    "comparison": comparison,
    "limits": limits,
    "lines": lines,
    "notes": notes,
    "working": working,
}
