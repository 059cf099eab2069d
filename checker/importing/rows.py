"""Each row made into a job and read like any other job; mistakes are told by row and column."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from datetime import date
from typing import Any, NamedTuple

from checker.importing.cells import values_of
from checker.importing.headings import Column, Item, Step, plain, read_columns
from checker.importing.places import Fault, Place, shortened
from checker.importing.table import MOST_ROWS, Cell, Row, Sheet, place_of
from checker.problems.document import Document
from checker.problems.problem import Problem, ProblemsFound
from checker.reading import known_by
from checker.reading.job import load
from checker.reading.job_reader import SCHEMA_VERSION
from checker.reading.second_look import second_look
from checker.reading.vocabulary import Vocabulary

At = tuple[str | int, ...]


class RowJob(NamedTuple):
    """A job that a row made, the row's number, and what to look at again in it."""

    row: int
    id: str
    data: dict[str, Any]
    looks: tuple[str, ...] = ()


class Imported(NamedTuple):
    """The rows that are jobs, and what is wrong with the others; `rows` counts all of them. `passed_over` are columns
    that no job records."""

    jobs: tuple[RowJob, ...]
    problems: tuple[Problem, ...]
    rows: int
    passed_over: tuple[str, ...] = ()


class _Filled(NamedTuple):
    """A value at its place in the sheet."""

    value: Any
    place: Place


def read_jobs(
    sheet: Sheet, vocabulary: Vocabulary, file_name: Callable[[str], str] | None = None, on: date = date.max
) -> Imported:
    """Every row of a sheet as a job.

    Args:
        file_name: The name of the file that a job would get, where each gets one: two may not be the same.
        on: The day of the import. A day that comes after it is to be looked at again.

    Raises:
        ProblemsFound: The headings cannot be used, or there is no row under them; what is wrong in the rows is told along.
    """
    columns, problems, below, passed_over = read_columns(sheet, vocabulary)
    if not below:
        place = Place(sheet.name)
        problems.append(Problem(place, "There are headings but no jobs under them.", "Write one job a row."))
    if len(below) > MOST_ROWS:
        problems.append(
            Problem(Place(sheet.name), f"The sheet holds more than {MOST_ROWS:,} jobs.", "Split it into several.")
        )
    usable = not problems
    jobs: list[RowJob] = []
    for row in below if len(below) <= MOST_ROWS else ():
        try:
            jobs.append(_job(sheet, columns, row, vocabulary, on))
        except ProblemsFound as error:
            problems += error.problems
    if not usable:
        raise ProblemsFound(problems)
    named = next(column for column in columns if column.leaf.path == "job_id")
    at = named.number - 1
    called = [(row.number, row.cells[at]) for row in below if at < len(row.cells)]
    names = [(row, name) for row, name in called if isinstance(name, str) and name]
    problems += _twice(sheet, named, names, "The job number '{}' stands in row {} too.")
    if file_name:
        wrong_rows = {problem.where.line for problem in problems}
        files = [(row, file_name(name).casefold()) for row, name in names if row not in wrong_rows]
        problems += _twice(sheet, named, files, "The job's file would be called '{}', as that of row {} would.")
    wrong = {problem.where.line for problem in problems}
    return Imported(tuple(job for job in jobs if job.row not in wrong), tuple(problems), len(below), tuple(passed_over))


def _job(sheet: Sheet, columns: Sequence[Column], row: Row, vocabulary: Vocabulary, on: date) -> RowJob:
    filled, problems = _cells(sheet, columns, row, vocabulary)
    places: dict[At, Place] = {(): Place(sheet.name, row.number)}
    first = {"job_id": f"row {row.number}", "schema_version": SCHEMA_VERSION}
    data = {**first, **_group(filled, (), (), vocabulary, places)}
    try:
        job = load(Document(sheet.name, "", data, lambda: dict(places)), vocabulary)
    except ProblemsFound as error:
        problems += error.problems
    if problems:
        raise ProblemsFound(problems)
    sections = [name for name in data if vocabulary.leaf(name) is None]
    # Whoever filled in the sheet says so, and no more is known.
    how = dict.fromkeys(sections, known_by.stated(vocabulary))
    looks = tuple(look.said for look in second_look(job, on))
    return RowJob(row.number, job.id, known_by.noted(data, vocabulary, how), looks)


def _cells(
    sheet: Sheet, columns: Sequence[Column], row: Row, vocabulary: Vocabulary
) -> tuple[dict[str, Any], list[Problem]]:
    """The filled cells of a row by the steps of their columns, and what is wrong with any."""
    filled: dict[str, Any] = {}
    problems: list[Problem] = []
    for column in columns:
        cell = row.cells[column.number - 1] if column.number <= len(row.cells) else ""
        place = place_of(sheet, row.number, column.number, column.heading)
        around = _around(filled, column.steps)
        try:
            if cell != "":
                values = values_of(vocabulary, column.leaf, cell, column.unit, sheet.separator)
                for other in columns if len(values) > 1 else ():
                    if other is not column and other.steps[:-1] == column.steps[:-1] and other.steps[-1] in values:
                        what = f"{column.leaf.title}: the cell holds several values, and one of them has a column of its own."
                        raise Fault(what, f"Write one value here and the other under '{shortened(other.heading)}'.")
                around |= {name: _Filled(value, place) for name, value in values.items()}
            elif column.leaf.path == "job_id":
                raise Fault("The row has no job number.", "Give the job a name or number of its own.")
        except Fault as fault:
            problems.append(fault.at(place))
    return filled, problems + _without_heading(sheet, row)


def _without_heading(sheet: Sheet, row: Row) -> list[Problem]:
    """Cells with something in them and nothing above."""
    headings = sheet.rows[0].cells
    return [
        Problem(
            place_of(sheet, row.number, number),
            f"The cell holds {_shown(cell)}, and its column has no heading.",
            "Write its heading, or empty the cell. Text with the separator in it needs quotes.",
        )
        for number, cell in enumerate(row.cells, 1)
        if cell != "" and (number > len(headings) or headings[number - 1] == "")
    ]


def _shown(cell: Cell) -> str:
    return f"'{shortened(cell)}'" if isinstance(cell, str) else "a date" if isinstance(cell, date) else "something"


def _around(filled: dict[Any, Any], steps: Sequence[Step]) -> dict[Any, Any]:
    """The group that a fact stands in, made where it is not there yet: items keep the order of the columns."""
    for step in steps[:-1]:
        filled = filled.setdefault(step, {})
    return filled


def _group(
    filled: dict[str, Any], steps: tuple[Step, ...], at: At, vocabulary: Vocabulary, places: dict[At, Place]
) -> dict[str, Any]:
    """The group of a job that some filled cells make. Notes in `places` the cell that each part came from."""
    group: dict[str, Any] = {}
    for name, part in filled.items():
        here = (*at, name)
        if isinstance(part, _Filled):
            places[here] = part.place
            group[name] = part.value
            continue
        first = _first_place(part)
        if first is None:
            continue
        places[here] = first
        if plain((*steps, name)) in vocabulary.lists:
            group[name] = _list(part, (*steps, name), here, vocabulary, places)
        else:
            group[name] = _group(part, (*steps, name), here, vocabulary, places)
    return group


def _list(
    filled: dict[Item, Any], steps: tuple[Step, ...], at: At, vocabulary: Vocabulary, places: dict[At, Place]
) -> list[dict[str, Any]]:
    """The items that have something recorded, by position or in the order of the columns, each with its key."""
    entry = vocabulary.lists[plain(steps)]
    items: list[dict[str, Any]] = []
    for item in sorted(filled, key=lambda item: item.position):
        here = (*at, len(items))
        first = _first_place(filled[item])
        if first is None:
            continue
        places[here] = first
        group = _group(filled[item], (*steps, item), here, vocabulary, places)
        key = item.key or f"{_one_of(entry.path)} {item.position + 1}"
        items.append({"key": key, **group} if entry.keyed else group)
    return items


def _one_of(path: str) -> str:
    """What one item of a list is called: `ropes` → `rope`, `copies` → `copy`."""
    name = path.rsplit(".", 1)[-1].replace("_", " ")
    return name.removesuffix("ies") + "y" if name.endswith("ies") else name.removesuffix("s")


def _first_place(filled: Any) -> Place | None:
    """The place of the first filled cell of a group, or None where none is."""
    if isinstance(filled, _Filled):
        return filled.place
    return next((place for part in filled.values() if (place := _first_place(part))), None)


def _twice(sheet: Sheet, named: Column, names: Iterable[tuple[int, str]], what: str) -> list[Problem]:
    """Rows of one name, each told of another."""
    rows: dict[str, list[int]] = defaultdict(list)
    for row, name in names:
        rows[name].append(row)
    return [
        Problem(
            place_of(sheet, row, named.number, named.heading),
            what.format(shortened(name), same[1] if row == same[0] else same[0]),
            "Give each job a name or number of its own.",
        )
        for name, same in rows.items()
        if len(same) > 1
        for row in same
    ]
