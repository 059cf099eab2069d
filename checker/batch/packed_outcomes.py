"""The outcomes of packed jobs as a table: a row for each rule at each place where it applies."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

from checker.engine.checker import Checker
from checker.engine.column_rows import ColumnRun, Counts
from checker.engine.job_columns import Packed
from checker.judging.columns.column import Words
from checker.judging.columns.outcomes import NAMES, NONE_APPLY
from checker.reading.archive import Archive
from checker.reading.packed_jobs import ID, JOBS, NAME, tables_of, write_table

COLUMNS = ("job", "file", "place", "rule", "item", "outcome")


class Written(NamedTuple):
    """How many rows were written, of how many jobs, and how many more jobs cannot be judged."""

    rows: int
    jobs: int
    unusable: int


def write_outcomes(archive: Archive, checker: Checker, on: datetime.date, file: Path) -> Written:
    """Judge an archive part by part, and write its outcomes to a Parquet file, whole or not at all.

    Raises:
        ProblemsFound: A part of the archive cannot be read, or the file cannot be written.
    """
    rows = jobs = unusable = 0

    def parts() -> Iterator[dict[str, list[Any]]]:
        nonlocal rows, jobs, unusable
        for part in archive.parts:
            packed = Packed(tables_of(archive, part), Words())
            run = ColumnRun(checker, packed, on, Counts())
            found = _table(run, packed)
            rows += len(found["job"])
            jobs += part.jobs - len(run.unusable)
            unusable += len(run.unusable)
            yield found

    write_table(file, COLUMNS, parts())
    return Written(rows, jobs, unusable)


def _table(run: ColumnRun, packed: Packed) -> dict[str, list[Any]]:
    """The rows of one part, in the order of its jobs, rules and items."""
    ids, names = packed.text(ID), packed.text(NAME)
    place = run.checker.vocabulary.at("place")
    known = place in packed.tables[JOBS].column_names
    places = packed.text(place) if known else [None] * len(packed)
    told = sorted(
        (job, said.rule, item, NAMES[outcome])
        for said in run.said()
        for job, item, outcome in zip(said.jobs.tolist(), said.items, said.outcomes.tolist(), strict=True)
        if outcome != NONE_APPLY
    )
    rows = [(ids[job], names[job], places[job], rule, item, outcome) for job, rule, item, outcome in told]
    return {name: [row[at] for row in rows] for at, name in enumerate(COLUMNS)}
