"""What a column records: its heading read as a fact's path or title, with the item of a list and a unit.

`bell.stamp.swings`, `ropes.0.girth`, `ropes[main].girth`, `Girth`, `Girth (in)`. A fact of a list whose heading names no
item belongs to the first one.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from checker.importing.places import Fault, Place, letters, shortened
from checker.importing.table import Cell, Row, Sheet, place_of
from checker.problems.problem import Problem, did_you_mean
from checker.reading import units
from checker.reading.fact_shapes import Leaf
from checker.reading.vocabulary import Vocabulary

PART = re.compile(r"([^.\[\]]+)(?:\[([^\[\]]*)\])?(?:\.(?=.)|$)")
BRACKETS = re.compile(r"(.*\S)\s*\(([^()]*)\)")


class Item(NamedTuple):
    """An item of a list: by its key, or by its position from 0 where no key is named."""

    position: int
    key: str = ""


Step = str | Item


class Column(NamedTuple):
    """A column that is filled: its number from 1, its heading, where its fact goes, and the unit of bare numbers."""

    number: int
    heading: str
    leaf: Leaf
    steps: tuple[Step, ...]
    unit: str = ""


class Headings(NamedTuple):
    """The columns that are filled, what is wrong with others, the rows of jobs, and the columns that are passed over."""

    columns: list[Column]
    problems: list[Problem]
    below: Sequence[Row]
    passed_over: list[str]


def read_columns(sheet: Sheet, vocabulary: Vocabulary) -> Headings:
    """The columns of a sheet by its first row."""
    first, below = sheet.rows[0], sheet.rows[1:]
    columns: list[Column] = []
    problems: list[Problem] = []
    passed_over: list[str] = []
    for number, cell in enumerate(first.cells, 1):
        if cell == "":
            continue
        try:
            column = _column(number, cell, vocabulary)
            _refuse_clash(column, columns)
            columns.append(column)
        except OfTheOffice:
            passed_over.append(f"{letters(number)} ({shortened(str(cell))})")
        except Fault as fault:
            problems.append(fault.at(place_of(sheet, first.number, number, cell if isinstance(cell, str) else "")))
    if not any(column.leaf.path == "job_id" for column in columns) and not problems:
        hint = "Give each job a name or number of its own under the heading job_id, or Job number."
        problems.append(Problem(Place(sheet.name, first.number), "No column has the job's own name.", hint))
    if below and _is_unit_row(below[0]):
        columns, wrong = _with_units(sheet, columns, below[0])
        problems, below = problems + wrong, below[1:]
    return Headings(columns, problems, below, passed_over)


class OfTheOffice(Exception):
    """A heading of what an office keeps and no job records."""


def _column(number: int, cell: Cell, vocabulary: Vocabulary) -> Column:
    if isinstance(cell, Fault):
        raise cell
    if not isinstance(cell, str):
        raise Fault("There is a date where the heading belongs.", "Write the path or the title of a fact.")
    heading = " ".join(cell.split())
    fact = _fact(heading, vocabulary)
    if fact:
        return Column(number, heading, *fact)
    match = BRACKETS.fullmatch(heading)
    fact = _fact(match[1], vocabulary) if match else None
    if match and fact:
        return Column(number, heading, *fact, unit=unit_of(fact[0], match[2].strip()))
    if column := _of_the_office(number, heading, match, vocabulary):
        return column
    raise _unknown(match[1] if match else heading, vocabulary)


def _of_the_office(number: int, heading: str, match: re.Match[str] | None, vocabulary: Vocabulary) -> Column | None:
    """The column of a fact that offices call so.

    Raises:
        OfTheOffice: It is about something that no job records.
    """
    told = vocabulary.commands.get("headings", {})
    known = {_plainly(word): (path, word) for path, words in told.items() for word in words}
    known |= {_plainly(found[1]): pair for pair in known.values() if (found := BRACKETS.fullmatch(pair[1]))}
    path, word = known.get(_plainly(heading)) or known.get(_plainly(match[1] if match else ""), ("", ""))
    if path:
        own = BRACKETS.fullmatch(word)
        unit = match[2].strip() if match else own[2] if own else ""
        leaf = vocabulary.leaves[path]
        return Column(number, heading, leaf, _steps(path, vocabulary), unit_of(leaf, unit))
    words = f" {_plainly(heading)} "
    if any(f" {_plainly(one)} " in words for one in vocabulary.commands.get("passed_over", ())):
        raise OfTheOffice
    return None


def _plainly(heading: str) -> str:
    """A heading without what offices write differently: signs, capitals, `#` and `No.` for number."""
    plain = re.sub(r"#|\bno\b\.?", " number ", heading.casefold()).replace("$", " $ ")
    return " ".join(re.sub(r"[^\w$()]+", " ", plain.replace("_", " ")).split())


def _fact(heading: str, vocabulary: Vocabulary) -> tuple[Leaf, tuple[Step, ...]] | None:
    """The fact that a path or a title names."""
    steps = _steps(heading, vocabulary)
    leaf = vocabulary.leaves.get(plain(steps)) if steps else None
    if leaf:
        return leaf, steps
    titled = [leaf for leaf in vocabulary.leaves.values() if leaf.title.casefold() == heading.casefold()]
    if len(titled) > 1:
        paths = ", ".join(leaf.path for leaf in titled)
        raise Fault(f"Several facts are called '{heading}'.", f"Write the path of the one you mean: {paths}.")
    return (titled[0], _steps(titled[0].path, vocabulary)) if titled else None


def _steps(path: str, vocabulary: Vocabulary) -> tuple[Step, ...]:
    """A path's names, and after each list the item; nothing where it cannot be a path.

    Raises:
        Fault: A key is named where the items have none, or where there is no list.
    """
    parts = [(match[1].strip(), match[2]) for match in PART.finditer(path)]
    if "".join(match[0] for match in PART.finditer(path)) != path:
        return ()
    steps: list[Step] = []
    for name, key in parts:
        if steps and isinstance(steps[-1], Item) and not steps[-1].key and re.fullmatch(r"\d{1,3}", name):
            steps[-1] = Item(int(name))
            continue
        steps.append(name)
        if key is not None:
            _refuse_key(plain(steps), key, vocabulary)
        if plain(steps) in vocabulary.lists:
            steps.append(Item(0, (key or "").strip()))
    return tuple(steps)


def _refuse_key(place: str, key: str, vocabulary: Vocabulary) -> None:
    """Refuse a key where there is no list, or where the list's items have no keys."""
    entry = vocabulary.lists.get(place)
    what = f"'{place}[{shortened(key)}]' names no item."
    if entry is None:
        raise Fault(what, "[ ] is only for the items of a list; take it out.")
    if not entry.keyed:
        raise Fault(what, f"Its items have no keys. Write the first one as '{place}.0'.")
    if not key.strip():
        raise Fault(what, f"Write its key between the brackets, or '{place}.0' for the first one.")


def plain(steps: Sequence[Step]) -> str:
    """A path without the items of its lists."""
    return ".".join(step for step in steps if isinstance(step, str))


def unit_of(leaf: Leaf, written: str) -> str:
    """A unit beside a heading, as far as the fact can be in it.

    Raises:
        Fault: The fact takes no unit, or not this one.
    """
    if not written:
        return ""
    if leaf.form != "quantity" or leaf.kind == "number":
        raise Fault(f"{leaf.title} takes no unit.", f"Take '({written})' out of the heading or the row of units.")
    try:
        units.read_amount(f"1 {written}", leaf.kind, leaf.unit)
    except units.UnitError as error:
        raise Fault(f"{leaf.title}: {error.what}", error.hint) from None
    return written


def _unknown(heading: str, vocabulary: Vocabulary) -> Fault:
    """Why a heading is not a fact, with the nearest path or title."""
    steps = _steps(heading, vocabulary)
    place = plain(steps) or heading
    shown = shortened(heading)
    if place in vocabulary.places:
        names = vocabulary.children(place)
        some = ", ".join(names[:8]) + (" and more" if len(names) > 8 else "")
        return Fault(f"'{shown}' is not one fact; it holds several.", f"Name one of them after a point: {some}.")
    items = {plain(steps[:at]): step for at, step in enumerate(steps) if isinstance(step, Item)}
    paths = [written(path, items, vocabulary) for path in vocabulary.leaves]
    hint = did_you_mean(heading, [*paths, *(leaf.title for leaf in vocabulary.leaves.values())])
    what = f"'{shown}' is not a fact of a job."
    return Fault(what, hint or "Write the path or the title of a fact, or take the column out.")


def written(path: str, items: Mapping[str, Item], vocabulary: Vocabulary) -> str:
    """A fact's path with an item of each list on the way: `ropes[main].girth`, and `ropes.0.girth` where none is named.

    Args:
        items: The items that are named, by the paths of their lists.
    """
    names, parts = path.split("."), ""
    for at, name in enumerate(names, 1):
        parts += f".{name}" if parts else name
        place = ".".join(names[:at])
        if place in vocabulary.lists:
            item = items.get(place, Item(0))
            parts += f"[{item.key}]" if item.key else f".{item.position}"
    return parts


def _refuse_clash(column: Column, before: Sequence[Column]) -> None:
    """Refuse a column that records the same fact as one before it, or names the items of a list another way."""
    for other in before:
        if other.steps == column.steps:
            raise Fault(f"{_called(other)} records the same fact.", "Keep one of the two.")
    *around, last = column.steps
    if last == "key" and around and isinstance(around[-1], Item) and around[-1].key:
        raise Fault(f"The heading names the key already: '{around[-1].key}'.", "Take this column out.")
    for place, keyed in _ways(column):
        for other in before:
            if (place, not keyed) in _ways(other):
                how, otherwise = ("key", "position") if keyed else ("position", "key")
                what = f"{_called(other)} names an item of the same list by {otherwise}, this one by {how}."
                raise Fault(what, "Name the items of a list in one way throughout.")


def _called(column: Column) -> str:
    return f"Column {letters(column.number)} ({shortened(column.heading)})"


def _ways(column: Column) -> list[tuple[tuple[Step, ...], bool]]:
    """Each list on the way to a column's fact, and whether its item is named by key."""
    return [(column.steps[:at], bool(step.key)) for at, step in enumerate(column.steps) if isinstance(step, Item)]


def _is_unit_row(row: Row) -> bool:
    return isinstance(row.cells[0], str) and row.cells[0].casefold() in ("unit", "units")


def _with_units(sheet: Sheet, columns: list[Column], row: Row) -> tuple[list[Column], list[Problem]]:
    """The columns with the units of a row right under the headings."""
    read, problems = [], []
    for column in columns:
        cell = row.cells[column.number - 1] if 1 < column.number <= len(row.cells) else ""
        try:
            read.append(_with_unit(column, cell))
        except Fault as fault:
            read.append(column)
            problems.append(fault.at(place_of(sheet, row.number, column.number, column.heading)))
    return read, problems


def _with_unit(column: Column, cell: Cell) -> Column:
    if cell == "":
        return column
    if not isinstance(cell, str):
        raise Fault("This needs a unit.", "Write it as text, or leave the cell empty.")
    unit = unit_of(column.leaf, cell.removeprefix("(").removesuffix(")").strip())
    kind = column.leaf.kind
    if column.unit and units.find_unit(kind, column.unit) != units.find_unit(kind, unit):
        raise Fault(f"The heading says {column.unit}, the row of units {unit}.", "Keep one of the two.")
    return column._replace(unit=unit)
