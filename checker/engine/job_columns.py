"""Packed jobs as columns that rules can be judged over: places of jobs, and of the items of their lists."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import Any

import numpy as np

from checker.ir import tree
from checker.ir.kleene import NONE, Cause, Range
from checker.judging.columns.column import Column, Items, Numbers, Words, everywhere
from checker.reading.fact_reader import Reading
from checker.reading.job import Job
from checker.reading.packed_jobs import ADDED, HIGH, ID, INSTRUMENT, IS_NONE, JOBS, KEY, LOW, MANY, NAME, OWNER
from checker.reading.vocabulary import Vocabulary

Table = Any  # a table of pyarrow: nothing here imports it


class Packed:
    """The tables of some jobs, their columns made when they are first asked for."""

    def __init__(self, tables: Mapping[str, Table], words: Words) -> None:
        self.tables, self.words = tables, words
        self._columns: dict[tuple[str, str], Column] = {}
        self._inside: dict[str, tuple[Numbers, Numbers]] = {}
        self._texts: dict[tuple[str, str], list[Any]] = {}
        self._facts: dict[str, list[tuple[str, str, dict[str, list[Any]]]]] = {}

    def __len__(self) -> int:
        return int(self.tables[JOBS].num_rows)

    def text(self, name: str, table: str = JOBS) -> list[Any]:
        """A column that is no fact, as it stands."""
        key = table, name
        if key not in self._texts:
            self._texts[key] = self.tables[table].column(name).to_pylist()
        return self._texts[key]

    def column(self, table: str, name: str) -> Column:
        """A fact at every row of a table."""
        key = table, name
        if key not in self._columns:
            self._columns[key] = self._read(self.tables[table], name)
        return self._columns[key]

    def _read(self, table: Table, name: str) -> Column:
        values = self._numbers(table, name)
        none, between = (self._said(table, f"{name}{what}") for what in (IS_NONE, LOW))
        return Column(values, none, between)

    def _numbers(self, table: Table, name: str) -> np.ndarray:
        if name not in table.column_names:
            return everywhere(np.nan, table.num_rows)
        column = table.column(name).combine_chunks()
        if str(column.type) == "string":
            packed = column.dictionary_encode()
            numbers = np.array([self.words.number(word) for word in packed.dictionary.to_pylist()] or [np.nan])
            at = packed.indices.fill_null(-1).to_numpy(zero_copy_only=False)
            return np.where(at < 0, np.nan, numbers[at])
        found: np.ndarray = column.cast("float64").to_numpy(zero_copy_only=False)
        return found

    def _said(self, table: Table, name: str) -> np.ndarray | None:
        if name not in table.column_names:
            return None
        found: np.ndarray = table.column(name).is_valid().to_numpy()
        return found

    def inside(self, path: str) -> tuple[Numbers, Numbers]:
        """Of a list: the first row of each owner's items, and how many there are. -1 items: the list is not recorded."""
        if path not in self._inside:
            self._inside[path] = self._found_inside(path)
        return self._inside[path]

    def _found_inside(self, path: str) -> tuple[Numbers, Numbers]:
        around, name = self.around(path)
        table = self.tables[around]
        column = f"{MANY}{name}"
        if column not in table.column_names:
            return np.zeros(table.num_rows, np.int64), np.full(table.num_rows, -1)
        many = table.column(column).fill_null(-1).to_numpy()
        held = np.maximum(many, 0)
        return np.cumsum(held) - held, many

    def owners(self, path: str) -> Numbers:
        """The owner of each item of a list."""
        table = self.tables[path]
        if OWNER not in table.column_names:
            return np.zeros(0, np.int64)
        found: Numbers = table.column(OWNER).to_numpy()
        return found

    def job(self, row: int, vocabulary: Vocabulary) -> Job:
        """The job of a row, with all that an outcome hangs on and none of its words."""
        readings: dict[str, Reading] = {}
        lists: dict[str, tuple[str, ...]] = {}
        self._gather(JOBS, row, "", readings, lists, vocabulary)
        return Job(self.text(ID)[row], self.text(NAME)[row], readings, {}, lists, vocabulary, {})

    def _gather(
        self,
        table: str,
        row: int,
        at: str,
        readings: dict[str, Reading],
        lists: dict[str, tuple[str, ...]],
        vocabulary: Vocabulary,
    ) -> None:
        """What is recorded in a row of a table, and in the rows of the lists inside it; `at` is the full path of the item."""
        for name, form, parts in self._recorded(table, vocabulary):
            reading = _reading(form, at + name, {part: values[row] for part, values in parts.items()})
            if reading is not None:
                readings[at + name] = reading
        for path, name in self._lists_in(table):
            first, many = (int(part[row]) for part in self.inside(path))
            if many < 0:
                continue
            lists[at + name] = tuple(self.text(KEY, path)[first : first + many])
            for index in range(many):
                self._gather(path, first + index, f"{at}{name}.{index}.", readings, lists, vocabulary)

    def _recorded(self, table: str, vocabulary: Vocabulary) -> list[tuple[str, str, dict[str, list[Any]]]]:
        """The facts of a table: the name of each, its form, and what its columns hold."""
        if table not in self._facts:
            columns: dict[str, dict[str, list[Any]]] = {}
            for column in self.tables[table].column_names:
                name, mark, part = column.partition("?")
                if name:
                    columns.setdefault(name, {})[mark + part] = self.text(column, table)
            leaves, inside = vocabulary.leaves, f"{table}." if table else ""
            self._facts[table] = [(name, leaves[inside + name].form, parts) for name, parts in columns.items()]
        return self._facts[table]

    def _lists_in(self, table: str) -> list[tuple[str, str]]:
        """The lists that stand in a table: the path of each, and its name there."""
        return [(path, name) for path in self.tables if path for around, name in [self.around(path)] if around == table]

    def around(self, path: str) -> tuple[str, str]:
        """The list around a list (or the jobs), and its name there."""
        outer = max((one for one in self.tables if one and path.startswith(f"{one}.")), key=len, default=JOBS)
        return outer, path.removeprefix(f"{outer}.") if outer else path


class JobRows:
    """Places of packed jobs, a row each: jobs (`path` is empty), or items of the list at `path`.

    Where that list is not recorded, `unlisted` says so: a row is its owner then, and there is no item.
    """

    def __init__(self, packed: Packed, path: str, rows: Numbers, unlisted: bool = False) -> None:
        self.packed, self.path, self.rows, self.unlisted = packed, path, rows, unlisted
        self.words = packed.words

    def __len__(self) -> int:
        return len(self.rows)

    def taken(self, rows: Numbers) -> JobRows:
        """Some of the places."""
        return JobRows(self.packed, self.path, self.rows[rows], self.unlisted)

    def fact(self, fact: tree.Fact) -> Column:
        """What is recorded of a fact at each place."""
        table, rows = self._frame(fact.frame)
        if rows is None:
            return Column(everywhere(np.nan, len(self)))
        return self.packed.column(table, fact.path).at(rows)

    def items(self, fact: tree.Fact) -> Items:
        """A list at each place."""
        table, rows = self._frame(fact.frame)
        path = f"{table}.{fact.path}" if table else fact.path
        assert rows is not None
        first, many = (part[rows] for part in self.packed.inside(path))
        held = np.maximum(many, 0)
        owner = np.repeat(np.arange(len(rows)), held)
        within = np.arange(len(owner)) - np.repeat(np.cumsum(held) - held, held)
        return Items(many >= 0, owner, JobRows(self.packed, path, np.repeat(first, held) + within))

    def _frame(self, frame: str) -> tuple[str, Numbers | None]:
        """The table that a frame's facts stand in, and the row of it at each place; no row where there is no item."""
        if frame == "item" and self.path:
            return self.path, None if self.unlisted else self.rows
        if frame == "outer":
            return self.packed.around(self.path)[0], self._outwards()
        return JOBS, self.jobs

    def _outwards(self) -> Numbers:
        """The row of the owner at each place."""
        return self.rows if self.unlisted or not self.path else self.packed.owners(self.path)[self.rows]

    @functools.cached_property
    def jobs(self) -> Numbers:
        """The job at each place."""
        if not self.path:
            return self.rows
        table, rows = self.packed.around(self.path)[0], self._outwards()
        while table:
            rows, table = self.packed.owners(table)[rows], self.packed.around(table)[0]
        return rows


def _reading(form: str, path: str, parts: Mapping[str, Any]) -> Reading | None:
    """What a row holds of a fact, out of its columns."""
    value: Any = parts.get("")
    if value is None:
        if parts.get(IS_NONE):
            value = NONE
        elif parts.get(LOW) is not None:
            value = Range(int(parts[LOW]), int(parts[HIGH]), frozenset([Cause("date_unknown", path)]))
        else:
            return None
    elif form == "date":
        value = int(value)
    added = tuple((parts.get(ADDED) or "").split())
    return Reading(value, "", instrument=parts.get(INSTRUMENT) or "", added_from=added)


def places(packed: Packed, for_each: tuple[str, ...], jobs: Numbers) -> list[JobRows]:
    """The places of some jobs that a rule goes through: the items of its list, and the owners of lists that are not recorded."""
    rows = JobRows(packed, JOBS, jobs)
    found: list[JobRows] = []
    path = ""
    for name in for_each:
        items = rows.items(tree.Fact(name, "item" if path else "job", ""))
        path = f"{path}.{name}" if path else name
        unlisted = np.flatnonzero(~items.recorded)
        if len(unlisted):
            found.append(JobRows(packed, path, rows.rows[unlisted], unlisted=True))
        assert isinstance(items.fields, JobRows)
        rows = items.fields
    return [rows, *found]
