"""Jobs judged over columns and one by one, to be held against each other."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping

from checker.engine.checker import Checker
from checker.engine.column_rows import ColumnRun, Counts
from checker.engine.job_columns import Packed
from checker.judging.columns.column import Words
from checker.judging.columns.outcomes import NAMES
from checker.problems.problem import ProblemsFound
from checker.reading.job import Job
from checker.reading.packed_jobs import Packing

Outcomes = Mapping[tuple[int, str, str], list[str]]  # by the number of the job, the rule and the item


def one_by_one(checker: Checker, jobs: Iterable[Job], on: datetime.date) -> tuple[Outcomes, set[int]]:
    """The outcomes of each job as the walk and the generated functions have them, and the jobs that cannot be judged."""
    found: dict[tuple[int, str, str], list[str]] = {}
    unusable = set()
    for number, job in enumerate(jobs):
        try:
            rows = checker.outcomes(job, on)
        except ProblemsFound:
            unusable.add(number)
            continue
        for row in rows:
            for rule, outcome in zip(row.rules, row.outcomes, strict=True):
                found.setdefault((number, rule, row.item), []).append(outcome)
    return {key: sorted(outcomes) for key, outcomes in found.items()}, unusable


def over_columns(checker: Checker, jobs: Iterable[Job], on: datetime.date) -> tuple[Outcomes, set[int], Counts]:
    """The same over columns, and what these settled."""
    packing = Packing(checker.vocabulary)
    for number, job in enumerate(jobs):
        packing.add(job, str(number), b"{}")
    counts = Counts()
    run = ColumnRun(checker, Packed(packing.tables(), Words()), on, counts)
    found: dict[tuple[int, str, str], list[str]] = {}
    for said in run.said():
        for job, item, outcome in zip(said.jobs.tolist(), said.items, said.outcomes.tolist(), strict=True):
            found.setdefault((job, said.rule, item), []).append(NAMES[outcome])
    return {key: sorted(outcomes) for key, outcomes in found.items()}, set(run.unusable), counts
