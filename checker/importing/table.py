"""The rows and cells of a spreadsheet, whatever file they came from, and how many of them are read at most."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from typing import NamedTuple

from checker.importing.places import Fault, Place
from checker.problems.problem import refused

MOST_BYTES = 64 * 1024 * 1024
MOST_ROWS = 100_000
MOST_COLUMNS = 2_000
MOST_LETTERS = 10_000
MOST_CELLS = 10_000_000

Cell = str | datetime.date | Fault


class Row(NamedTuple):
    """A row that is not blank: its number as the spreadsheet counts, and its cells up to the last filled one."""

    number: int
    cells: tuple[Cell, ...]


class Sheet(NamedTuple):
    """A sheet's rows, and the sign that stands between its cells ("" in a workbook)."""

    name: str
    rows: tuple[Row, ...]
    separator: str = ""


def bounded(name: str, rows: Iterable[Row], separator: str = "") -> Sheet:
    """The rows that are not blank.

    Raises:
        ProblemsFound: There are none, or too many, or one is too wide.
    """
    kept: list[Row] = []
    cells = 0
    for row in rows:
        kept.append(row)
        cells += len(row.cells)
        if len(row.cells) > MOST_COLUMNS:
            what = f"The row has more than {MOST_COLUMNS:,} columns."
            raise refused(Place(name, row.number), what, "A sheet has one fact a column.")
        if len(kept) > MOST_ROWS + 2 or cells > MOST_CELLS:
            what = f"The sheet holds more than {MOST_ROWS:,} rows or {MOST_CELLS:,} cells."
            raise refused(name, what, "Split it into several.")
    if not kept:
        raise refused(name, "The sheet is empty.", "changeout jobs import --headings prints one to fill in.")
    return Sheet(name, tuple(kept), separator)


def trimmed(cells: Iterable[Cell]) -> tuple[Cell, ...]:
    """Cells without blanks around their text, up to the last one that is filled."""
    kept = [cell.strip() if isinstance(cell, str) else cell for cell in cells]
    while kept and kept[-1] == "":
        kept.pop()
    return tuple(kept)


def place_of(sheet: Sheet, row: int, column: int, heading: str = "") -> Place:
    """The place of a cell; columns count from 1."""
    return Place(sheet.name, row, column, heading)
