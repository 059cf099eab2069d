"""The page that lists the pages of a run: each job with its headline, those with something to fix first."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from checker.findings.report import DEFERRAL, Report
from checker.problems.file_names import safe_stem
from checker.problems.problem import Problem
from checker.reporting import words
from checker.reporting.html import environment

MOST_OFTEN = 10


class Entry(NamedTuple):
    """A job of the run and the file of its page."""

    report: Report
    file: str


class Unreadable(NamedTuple):
    """A job that could not be read or judged, and why."""

    name: str
    problems: tuple[Problem, ...]


class Often(NamedTuple):
    """A requirement that failed, and on how many jobs."""

    title: str
    citations: str
    jobs: int


def render(entries: list[Entry], unreadable: list[Unreadable]) -> str:
    """The index of a run's pages."""
    return (
        environment()
        .get_template("index.html")
        .render(
            words=words,
            cautions=sorted({entry.report.caution for entry in entries}),
            deferral=DEFERRAL,
            entries=sorted(entries, key=_urgency),
            unreadable=unreadable,
            counts=words.counts([entry.report for entry in entries]),
            often=(most := often(entry.report for entry in entries)),
            unchecked=words.explained("".join(one.citations for one in most)),
            days=sorted({entry.report.on for entry in entries}),
        )
    )


class FileNames:
    """A name for each job's page out of its id: safe on every system, no two alike, none that of the index."""

    def __init__(self) -> None:
        self._taken = {"index"}

    def of(self, job_id: str, ending: str = ".html") -> str:
        base = name = safe_stem(job_id)
        number = 2
        while name.casefold() in self._taken:
            name, number = f"{base}-{number}", number + 1
        self._taken.add(name.casefold())
        return f"{name}{ending}"


def often(reports: Iterable[Report]) -> list[Often]:
    """The requirements that failed on most jobs and are not accepted, the most frequent first."""
    found: dict[str, Often] = {}
    for report in reports:
        failed = {finding.rule: finding for finding in report.failed}
        for rule, finding in failed.items():
            before = found.get(rule, Often(finding.title, words.cited(finding.citations), 0))
            found[rule] = before._replace(jobs=before.jobs + 1)
    return sorted(found.values(), key=lambda one: (-one.jobs, one.title))[:MOST_OFTEN]


def _urgency(entry: Entry) -> tuple[int, int, str]:
    """Jobs with something to fix, then with something to settle, then not judged, then with open questions."""
    report = entry.report
    failed = len(report.failed)
    ranks = (failed > 0, bool(report.before_running), bool(report.not_judged), bool(report.to_verify))
    rank = next((place for place, is_so in enumerate(ranks) if is_so), len(ranks))
    return rank, -failed, report.job_id
