"""Changeout Checker: rules as data for the replacement of residential air conditioners and heat pumps.

As a library: a job is a mapping, or the path of a file. What comes back is a frozen report.

>>> import checker
>>> from datetime import date
>>> job = {"job_id": "a-1", "schema_version": 1, "site": {"jurisdiction": "xx-alder"},
...        "circuits": [{"key": "condenser", "serves": "outdoor_unit", "nameplate": {"maximum_breaker": 25},
...                      "devices": [{"key": "panel", "kind": "breaker", "rating": 40}]}]}
>>> report = checker.check(job, on=date(2026, 11, 25))
>>> [finding.rule for finding in report.to_fix if "overcurrent" in finding.rule]
['overcurrent-within-nameplate']

A job that cannot be read raises `ProblemsFound`, with every problem: where, what, and what to do.

>>> try:
...     checker.load({"job_id": "a-1", "schema_version": 1, "dates": {"installed": "soon"}})
... except checker.ProblemsFound as found:
...     len(found.problems)
1

Many jobs come one at a time; one that cannot be read does not stop the others.

>>> for outcome in checker.check_many([job, {"job_id": 7}], on=date(2026, 11, 25)):
...     type(outcome).__name__
'Report'
'ProblemsFound'

Where only the outcomes are wanted, without words and evidence, they come some times sooner: a row for each place in the job.

>>> rules = checker.open_checker()
>>> for row in rules.outcomes(checker.load(job, rules), date(2026, 11, 25)):
...     if row.item == "condenser" and "overcurrent-within-nameplate" in row.rules:
...         row.outcomes[row.rules.index("overcurrent-within-nameplate")]
'fail'

`checker.open_checker([folder], ("our-group",))` opens rulesets once, to be handed over as `rules=`. Judging changes nothing
that is seen from outside: threads may share a checker.
"""

from __future__ import annotations

import datetime
import importlib
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from checker.api.library import open_checker
    from checker.engine.checker import Checker
    from checker.findings.finding import Finding
    from checker.findings.report import Report
    from checker.problems.problem import Problem, ProblemsFound
    from checker.reading.job import Job

__all__ = [
    "Checker",
    "Finding",
    "Job",
    "Problem",
    "ProblemsFound",
    "Report",
    "check",
    "check_many",
    "check_paths",
    "load",
    "open_checker",
]

# What is read only when it is used, so that importing the package costs nothing.
_ELSEWHERE = {
    "Checker": "checker.engine.checker",
    "Finding": "checker.findings.finding",
    "Job": "checker.reading.job",
    "Problem": "checker.problems.problem",
    "ProblemsFound": "checker.problems.problem",
    "Report": "checker.findings.report",
    "open_checker": "checker.api.library",
}


def load(job: Mapping[str, Any] | str | Path, rules: Checker | None = None) -> Job:
    """Read a job: a mapping as the job schema has it, or the path of a file.

    Raises:
        ProblemsFound: Everything that is wrong with it.
    """
    from checker.api.library import load

    return load(job, rules)


def check(
    job: Mapping[str, Any] | str | Path, *, on: datetime.date | str | None = None, rules: Checker | None = None
) -> Report:
    """Check a job.

    Args:
        on: The day that acceptances, reviews and calibrations are looked at, or its text as year-month-day. Default: today.
        rules: The rulesets to check by. Default: the shipped ones.

    Raises:
        ProblemsFound: Everything that is wrong with the job, or with a ruleset it needs.
    """
    from checker.api.library import check

    return check(job, on, rules)


def check_many(
    jobs: Iterable[Mapping[str, Any] | str | Path],
    *,
    on: datetime.date | str | None = None,
    rules: Checker | None = None,
) -> Iterator[Report | ProblemsFound]:
    """Check jobs one after another: of each its report, or what is wrong with it. None is held.

    Raises:
        ProblemsFound: The day is none, or one job came where many are asked for.
    """
    from checker.api.library import check_many

    return check_many(jobs, on, rules)


def check_paths(
    *paths: str | Path, on: datetime.date | str | None = None, rules: Checker | None = None
) -> Iterator[tuple[str, Report | ProblemsFound]]:
    """Check the jobs of files, folders, patterns and JSON Lines, packed or not: of each its name, and its report or what is
    wrong with it."""
    from checker.api.library import check_paths

    return check_paths(paths, on, rules)


def __getattr__(name: str) -> Any:
    if name not in _ELSEWHERE:
        raise AttributeError(f"module 'checker' has no attribute '{name}'")
    return getattr(importlib.import_module(_ELSEWHERE[name]), name)
