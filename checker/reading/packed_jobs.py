"""Jobs packed into tables of columns: one for the jobs, one for each list and each list inside a list. The door of pyarrow.

A column is a fact: its amount in the base unit, its day number, yes or no, or its word; null where nothing is recorded. Beside it
stands `PATH?none` where a job says that there is none, `PATH?low` and `PATH?high` where a day is known to lie between two,
`PATH?instrument` the instrument that a reading names, and `PATH?added` the facts that it was added up from. What begins with a
question mark is no fact: in the table of the jobs `?id`, `?name` (its file, and its line), `?document` (the job as it was read)
and `?many:LIST` (how many items it records, null where the list is not recorded); in the table of a list `?owner` (the row of
the job, or of the item around it) and `?key`.
"""

from __future__ import annotations

import datetime
import shutil
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq

from checker.ir.kleene import Nothing, Range
from checker.problems.problem import refused
from checker.reading.archive import Archive, Part, refuse
from checker.reading.fact_reader import Reading
from checker.reading.fact_shapes import Leaf
from checker.reading.job import Job
from checker.reading.second_look import doubts, second_look
from checker.reading.vocabulary import Vocabulary

JOBS = ""  # the table of the jobs; the others are called by the paths of their lists
IS_NONE, LOW, HIGH, INSTRUMENT, ADDED = "?none", "?low", "?high", "?instrument", "?added"  # behind the name of a fact
ID, NAME, DOCUMENT, DOUBTED = "?id", "?name", "?document", "?doubted"  # of a job
OWNER, KEY = "?owner", "?key"  # of an item
MANY = "?many:"  # before the name of a list
TYPES: Mapping[str, Callable[[], pa.DataType]] = {"word": pa.string, "flag": pa.bool_}
Tables = dict[str, pa.Table]


class Packing:
    """Jobs taken in one after the other, until they are made into tables."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self._tables = {path: _Growing(OWNER, KEY) for path in vocabulary.lists}
        self._tables[JOBS] = _Growing(ID, NAME, DOCUMENT, DOUBTED)

    def __len__(self) -> int:
        return self._tables[JOBS].rows

    def add(self, job: Job, name: str, document: bytes) -> None:
        """Take in a job.

        Args:
            name: Its file, and its line where the file holds several.
            document: The job as it was read.
        """
        jobs = self._tables[JOBS]
        doubted = " ".join(doubts(second_look(job, datetime.date.max)))
        row = jobs.add({ID: job.id, NAME: name, DOCUMENT: document, DOUBTED: doubted or None})
        rows: dict[str, int] = {}  # the row of each item by its full path
        for path in sorted(job.lists, key=lambda path: path.count(".")):
            owner, around, name = _place(path, rows)
            table = self._tables[around] if owner is not None else jobs
            at = row if owner is None else owner
            keys = job.lists[path]
            table.put(at, f"{MANY}{name}", len(keys))
            inside = self._tables[f"{around}.{name}" if around else name]
            for index, key in enumerate(keys):
                rows[f"{path}.{index}"] = inside.add({OWNER: at, KEY: key})
        for path, reading in job.readings.items():
            owner, around, name = _place(path, rows)
            self._tables[around].record(row if owner is None else owner, name, reading)

    def tables(self) -> Tables:
        """All that was taken in."""
        leaves = self.vocabulary.leaves
        return {path: table.made(leaves, f"{path}." if path else "") for path, table in self._tables.items()}


def _place(path: str, rows: Mapping[str, int]) -> tuple[int | None, str, str]:
    """The row of the innermost item around a path (None: the job itself), the list that it is of, and the rest of the path."""
    steps = path.split(".")
    for end in range(len(steps) - 1, 0, -1):
        item = ".".join(steps[:end])
        if steps[end - 1].isdigit() and item in rows:
            return rows[item], ".".join(step for step in steps[:end] if not step.isdigit()), ".".join(steps[end:])
    return None, JOBS, path


class _Growing:
    """The rows of one table. A column holds what is written in it, by row."""

    def __init__(self, *names: str) -> None:
        self.rows = 0
        self.columns: dict[str, dict[int, Any]] = {name: {} for name in names}

    def add(self, values: Mapping[str, Any]) -> int:
        """A row more; returns its number."""
        for name, value in values.items():
            self.columns.setdefault(name, {})[self.rows] = value
        self.rows += 1
        return self.rows - 1

    def put(self, row: int, name: str, value: Any) -> None:
        """A value in a row."""
        self.columns.setdefault(name, {})[row] = value

    def record(self, row: int, name: str, reading: Reading) -> None:
        """What is recorded of a fact in a row."""
        value = reading.value
        if isinstance(value, Nothing):
            self.put(row, f"{name}{IS_NONE}", True)
        elif isinstance(value, Range):
            self.put(row, f"{name}{LOW}", value.low)
            self.put(row, f"{name}{HIGH}", value.high)
        else:
            self.put(row, name, value)
        if reading.instrument:
            self.put(row, f"{name}{INSTRUMENT}", reading.instrument)
        if reading.added_from:
            self.put(row, f"{name}{ADDED}", " ".join(reading.added_from))

    def made(self, leaves: Mapping[str, Leaf], inside: str) -> pa.Table:
        """The table; `inside` stands before the names of its facts in the vocabulary."""
        arrays = {
            name: pa.array([values.get(row) for row in range(self.rows)], _type(name, leaves.get(inside + name)))
            for name, values in sorted(self.columns.items())
        }
        return pa.table(arrays)


def _type(name: str, leaf: Leaf | None) -> pa.DataType:
    if "?" in name[1:]:
        return pa.bool_() if name.endswith(IS_NONE) else pa.float64() if name.endswith((LOW, HIGH)) else pa.string()
    if leaf is None:
        return pa.binary() if name == DOCUMENT else pa.int64() if name.startswith((MANY, OWNER)) else pa.string()
    return pa.float64() if leaf.form == "constant" else TYPES.get(leaf.kind, pa.float64)()


# --- on disk ---------------------------------------------------------------------------------------------------------


def tables_of(archive: Archive, part: Part) -> Tables:
    """The tables of a part.

    Raises:
        ProblemsFound: One of them is cut off, or is no such table.
    """
    found: Tables = {}
    folder = archive.folder_of(part)
    for file in sorted(folder.glob("*.parquet")):
        try:
            table = pq.read_table(file)
        except (pa.ArrowException, OSError):
            refuse(file, "This part of the archive cannot be read: it is cut off, or another program changed it.")
        found[JOBS if file.stem == "jobs" else file.stem] = table
    if JOBS not in found or found[JOBS].num_rows != part.jobs:
        refuse(folder, "This part of the archive is not whole.")
    return found


def write_part(folder: Path, name: str, tables: Tables) -> None:
    """Write the tables of a part; it stands there whole or not at all."""
    beside = folder / f".{name}.new"
    shutil.rmtree(beside, ignore_errors=True)
    beside.mkdir(parents=True)
    for path, table in tables.items():
        pq.write_table(table, beside / f"{path or 'jobs'}.parquet", compression="zstd")
    shutil.rmtree(folder / name, ignore_errors=True)
    beside.rename(folder / name)


def write_table(file: Path, columns: Sequence[str], parts: Iterable[Mapping[str, list[Any]]]) -> None:
    """Write a table of texts part by part; the old file or the new one stands there, never half of it.

    Raises:
        ProblemsFound: The file cannot be written, or as `parts` raises it.
    """
    beside = file.with_name(f".{file.name}.new")
    schema = pa.schema([(name, pa.dictionary(pa.int32(), pa.string())) for name in columns])
    try:
        with pq.ParquetWriter(beside, schema, compression="zstd") as writer:
            for part in parts:
                arrays = {name: pa.array(part[name], pa.string()).dictionary_encode() for name in columns}
                writer.write_table(pa.table(arrays, schema))
        beside.replace(file)
    except OSError as error:
        what = f"The table cannot be written: {error.strerror or error}."
        raise refused(str(file), what, "Check the folder and its permissions.") from None
    finally:
        beside.unlink(missing_ok=True)
