"""The report of one job as a page: one HTML file that needs no network and no script, for a phone and for paper.

What is said is what the text report says; the order and the words are the same, and the working stands behind a fold.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

from checker.findings.finding import UNSTATED, Finding, Working
from checker.findings.report import DEFERRAL, Report
from checker.ir.outcomes import FAIL, PASS
from checker.reading.job import Job
from checker.reporting import words
from checker.reporting.figures import cycle, figures
from checker.reporting.folding import waiting
from checker.reporting.html import environment
from checker.reporting.photographs import by_finding, photographs

UNSAFE = re.compile(r"[^A-Za-z0-9._-]+")
OUTCOMES = {
    "fail": "would fail",
    "verify_locally": "to verify",
    "pass": "would pass",
    "does_not_apply": "does not apply",
}
MOST_LISTED = 8  # a longer list at the top of the page is folded


class Line(NamedTuple):
    """One comparison as a reader wants it: what was read against which limit, and how sure that is."""

    reading: str
    limit: str
    holds: str
    margin: str
    uncertainty: str


class Group(NamedTuple):
    """A part of the page: its heading, its anchor, the word beside each finding, and the findings."""

    heading: str
    anchor: str
    word: str
    findings: list[Finding]


class Passed(NamedTuple):
    """A rule that passed, on all of its items."""

    title: str
    citations: str
    findings: list[Finding]

    @property
    def near(self) -> bool:
        """Whether a reading of it is nearer its limit than the instrument can tell."""
        return any(finding.near for finding in self.findings)

    @property
    def lines(self) -> list[str]:
        """Each item with its readings, and in one line the items that have none."""
        read = [
            f"{finding.item}: {said}" if finding.item else said
            for finding in self.findings
            if (said := passing(finding))
        ]
        bare = [finding.item for finding in self.findings if finding.item and not passing(finding)]
        return [*read, "; ".join(bare)] if bare else read


def render(report: Report, job: Job, folder: Path | None) -> str:
    """One job's page.

    Args:
        job: The same job that was judged.
        folder: The folder of the job file, where its photographs are; None where the job came without one.
    """
    pictures = list(photographs(job, folder))
    placed = by_finding(pictures, report.findings)
    beside = {picture.anchor for found in placed.values() for picture in found}
    return (
        environment()
        .get_template("job.html")
        .render(
            **SPOKEN,
            report=report,
            unchecked=words.explained("".join(words.cited(finding.citations) for finding in report.findings)),
            address=job.text(job.at("address")),
            groups=list(groups(report)),
            topics=topics(report.passed),
            unstated=list(dict.fromkeys(name for finding in report.passed for name in words.unstated_in(finding))),
            figures={finding.finding_id: figure for finding in report.findings if (figure := figures(finding, job))},
            cycle=cycle(job),
            photographs=placed,
            other_photographs=[picture for picture in pictures if picture.anchor not in beside],
            footer=file_name(report.job_id),
        )
    )


def file_name(job_id: str) -> str:
    """A job's id as a name that every system takes, without an ending."""
    return UNSAFE.sub("-", job_id).strip("-.")[:80] or "job"


def anchor(finding: Finding) -> str:
    return f"finding-{finding.finding_id}"


def groups(report: Report) -> Iterator[Group]:
    """What is not passed, in the order of the work; parts with nothing in them are left out."""
    parts = [
        Group("Fix first", "fix", "Fix", report.to_fix),
        Group("Settle before running", "settle", "Verify", report.before_running),
        Group("Practice not followed", "practice", "Practice", report.practice),
    ]
    for heading, reasons in words.GROUPS:
        found = [finding for finding in report.to_verify if finding.reason in reasons]
        parts.append(Group(heading, f"verify-{heading.split()[0].lower()}", "Verify", found))
    parts.append(Group("Accepted by the authority in writing", "accepted", "Accepted", report.accepted))
    return (part for part in parts if part.findings)


def topics(found: Iterable[Finding]) -> dict[str, list[Passed]]:
    """What passed by topic, each rule once with all of its items."""
    by_rule: dict[str, list[Finding]] = {}
    for finding in found:
        by_rule.setdefault(finding.rule, []).append(finding)
    by_topic: dict[str, list[Passed]] = {}
    for findings in by_rule.values():
        first = findings[0]
        passed = Passed(first.title, words.cited(first.citations), findings)
        by_topic.setdefault(first.topic.replace("_", " ").capitalize(), []).append(passed)
    return by_topic


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
    values, signs = working.values, [words.SIGNS.get(sign, sign) for sign in working.operators]
    if len(values) == 3:  # a range: what was read stands in the middle
        reading, limit = values[1], f"{values[0]} {signs[0]} … {signs[1]} {values[2]}"
    else:
        reading, limit = values[0], f"{signs[0]} {values[-1]}"
    limit += words.from_layers(working.limits)
    return Line(reading, limit, working.holds, working.margin, how_uncertain(working))


def how_uncertain(working: Working) -> str:
    """The uncertainty of a comparison in words; nothing where no measurement is in it."""
    if working.uncertainty:
        sure = f", probability of conformity {working.probability}" if working.probability else ""
        return working.uncertainty + sure
    return "unknown, accuracy unstated" if working.note.startswith(UNSTATED) else ""


def passing(finding: Finding) -> str:
    """What a passing finding rests on: each reading, its limit, its margin and its uncertainty."""
    said = []
    for working in finding.workings:
        if words.in_amounts(working):
            unsure = working.uncertainty or ("accuracy unstated" if working.note.startswith(UNSTATED) else "")
            said.append(", ".join(filter(None, (words.compared(working), f"margin {working.margin}", unsure))))
    return "; ".join(dict.fromkeys(said))


def comparison(working: Working) -> str:
    """The values of a comparison, or of a condition on one value."""
    return words.compared(working) if working.operators else ", ".join(working.values)


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
    "most_listed": MOST_LISTED,
    "anchor": anchor,
    "badge": badge,
    "comparison": comparison,
    "limits": limits,
    "lines": lines,
    "notes": notes,
    "passing": passing,
    "waiting": waiting,
}
