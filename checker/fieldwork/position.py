"""One point of an interview: the job so far, its report, and which unrecorded facts could still change an outcome."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from checker.engine.checker import Checker
from checker.fieldwork.handed_over import to_name
from checker.fieldwork.open_readings import readings_of
from checker.findings.finding import Finding
from checker.findings.report import Report
from checker.ir.kleene import Scope, Unknown
from checker.ir.outcomes import VERIFY
from checker.ir.references import reads
from checker.judging.conditions import truth
from checker.reading.job import Job, JobFacts
from checker.rulesets.applicability import Versions


class Position(NamedTuple):
    """One point of the interview.

    `text` is what the job file holds, `needed` the unrecorded facts with the findings that they could still settle,
    `deciding` the unrecorded facts that decide whether the rulesets speak of the job, `passed_over` the facts and
    opening questions not to ask again, `last` the fact that was asked about before, `visited` the places of the stations
    where something was asked. `readings` are the measured facts of each open finding. `apart` are the facts that are not
    to be asked on one line with others.
    """

    text: str
    job: Job
    report: Report
    needed: Mapping[str, tuple[Finding, ...]]
    deciding: tuple[str, ...]
    readings: Mapping[str, frozenset[str]]
    passed_over: frozenset[str] = frozenset()
    last: str = ""
    visited: frozenset[int] = frozenset()
    apart: frozenset[str] = frozenset()


def position(checker: Checker, job: Job, text: str, on: datetime.date) -> Position:
    """The point of an interview at which a job is, judged on a day; `text` is what its file should hold."""
    report = checker.check_job(job, on)
    needed = dict.fromkeys(to_name(job, report), ()) | dict(_needed(checker, job, report))
    readings = {one.finding_id: frozenset(readings_of(one, checker.vocabulary)) for one in report.with_outcome(VERIFY)}
    return Position(text, job, report, needed, _deciding(checker, job, on), readings)


def _needed(checker: Checker, job: Job, report: Report) -> Iterator[tuple[str, tuple[Finding, ...]]]:
    """Every unrecorded fact that some open finding needs, with those findings."""
    versions = Versions(job, checker.chain_of(job))
    found: dict[str, list[Finding]] = {}
    for finding in report.with_outcome(VERIFY):
        dates = [versions.calendar.that_count[finding.rule]] if finding.reason == "date_unknown" else []
        for path in dict.fromkeys((*(need.fact for need in finding.needs), *filter(None, dates))):
            if not job.speaks_of(path):
                found.setdefault(path, []).append(finding)
    yield from ((path, tuple(findings)) for path, findings in found.items())


def _deciding(checker: Checker, job: Job, on: datetime.date) -> tuple[str, ...]:
    """The unrecorded facts on which it depends whether the rulesets of the place are written for this job."""
    chain = checker.chain_of(job)
    scope = Scope(JobFacts(job), {})
    found: list[str] = []
    for line in (line for lines in checker.written_for(chain, on.toordinal()).values() for line in lines):
        if isinstance(truth(line.condition, scope), Unknown):
            found += [path for path in reads(line.condition, scope) if not job.speaks_of(path)]
    return tuple(dict.fromkeys(found))
