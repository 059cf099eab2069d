"""Slips of the pen in a job: its amounts one by one, each made another, and what anybody is told of it then."""

from __future__ import annotations

import copy
import datetime
import json
import re
from collections.abc import Iterator
from typing import Any

from checker.engine.checker import Checker
from checker.reading.fact_shapes import pattern
from checker.reading.files import read_text
from checker.reading.job import Job, load
from checker.reading.job_schema import job_vocabulary

ON = datetime.date(2026, 11, 30)
NUMBER = re.compile(r"-?\d+(\.\d+)?")
Step = str | int


def amounts(data: Any, at: tuple[Step, ...] = ()) -> Iterator[tuple[tuple[Step, ...], str | int | float]]:
    """Where a number stands that is an amount or a count: as a number, or before its unit."""
    steps = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for step, value in steps:
        yield from amounts(value, (*at, step))
    if not steps and not isinstance(data, bool) and fact_at(at) and NUMBER.match(str(data)):
        yield at, data


def fact_at(at: tuple[Step, ...]) -> str:
    """The fact that a value is of, where it is an amount or a count."""
    named = pattern(".".join(str(step) for step in at if step != "value"))
    leaf = job_vocabulary().leaf(named)
    return named if leaf and leaf.form in ("quantity", "count") else ""


def changed(data: Any, at: tuple[Step, ...], value: str | int | float) -> Any:
    """A job with another value there."""
    changed = copy.deepcopy(data)
    inside = changed
    for step in at[:-1]:
        inside = inside[step]
    inside[at[-1]] = value
    return changed


def times(value: str | int | float, factor: int) -> str | int | float:
    """So many times an amount."""
    if isinstance(value, str):
        return NUMBER.sub(lambda found: f"{float(found[0]) * factor:g}", value, count=1)
    return value * factor


def read(data: Any) -> Job:
    """A job read.

    Raises:
        ProblemsFound: Something is wrong with it.
    """
    return load(read_text(json.dumps(data).encode(), "job.json"), job_vocabulary())


def seen(checker: Checker, data: Any) -> tuple[Any, ...]:
    """All outcomes of a job, and the notes that decide."""
    report = checker.check_job(read(data), ON)
    return [(finding.rule, finding.item, finding.outcome) for finding in report.findings], report.deciding
