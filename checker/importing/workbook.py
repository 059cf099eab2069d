"""The cells of an XLSX workbook: values only, nothing computed or run. The door of openpyxl.

What a cell shows is what is read: 6 % in a cell formatted as a percentage is `6 %`, and a unit that only the format
shows is read with the number. A formula counts by the value that was stored with it.
"""

from __future__ import annotations

import datetime
import io
import re
import warnings
import zipfile
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from checker.importing.places import Fault
from checker.importing.table import MOST_CELLS, MOST_COLUMNS, Cell, Row, trimmed
from checker.problems.problem import did_you_mean, refused

MOST_UNPACKED = 256 * 1024 * 1024
MOST_PARTS = 5_000
MOST_WHOLE = 8 * 1024 * 1024  # of one part that may have to be held at once, such as one row
MOST_SHEET_ROWS = 1_048_576  # what a workbook can hold at all

COPY = "Copy the jobs alone into a new workbook, or save the sheet as CSV."
AS_TEXT = "Format the cell as text and type it again."
END = re.compile(rb"</(?:\w+:)?(?:row|si|r)>")  # where a reader lets go of what it has read
QUOTED = re.compile(r'"([^"]*)"')


def read_workbook(content: bytes, name: str, wanted: str) -> Iterator[Row]:
    """The rows of one sheet that are not blank.

    Raises:
        ProblemsFound: It is not a workbook without macros, unpacks to too much, or has no such sheet.
    """
    try:
        _refuse_unfit(content)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of parts that are not read, such as drawings
            yield from _rows(content, wanted)
    except Fault as fault:
        raise refused(name, fault.what, fault.hint) from None
    except Exception:  # a broken workbook makes the library raise whatever it stumbles over
        raise refused(name, "The workbook is broken and cannot be read.", "Open it and save it again.") from None


def _refuse_unfit(content: bytes) -> None:
    """Refuse a workbook by its parts, before any of them is unpacked."""
    with zipfile.ZipFile(io.BytesIO(content)) as parts:
        entries = parts.infolist()
        names = {entry.filename.lower() for entry in entries}
        if any(entry.flag_bits & 1 for entry in entries):
            raise Fault("A password protects the file.", "Take the password off and save it again.")
        if any(part.endswith("vbaproject.bin") for part in names):
            raise Fault("The workbook holds macros.", "Save it as .xlsx, without macros, or as CSV in UTF-8.")
        if "[content_types].xml" not in names or "mimetype" in names:
            raise Fault("This is not an XLSX workbook.", "Save it as .xlsx, or as CSV in UTF-8.")
        if len(entries) > MOST_PARTS or sum(entry.file_size for entry in entries) > MOST_UNPACKED:
            what = f"The workbook unpacks to more than {MOST_UNPACKED // 2**20} MiB or {MOST_PARTS:,} parts."
            raise Fault(what, COPY)
        if not all(_in_pieces(parts, entry) for entry in entries if entry.filename.endswith((".xml", ".rels"))):
            raise Fault(f"One row or one part of the workbook is larger than {MOST_WHOLE // 2**20} MiB.", COPY)


def _in_pieces(parts: zipfile.ZipFile, entry: zipfile.ZipInfo) -> bool:
    """Whether a part can be read piece by piece, none of them larger than `MOST_WHOLE`."""
    if entry.file_size <= MOST_WHOLE:
        return True
    with parts.open(entry) as part:
        while piece := part.read(MOST_WHOLE):
            if len(piece) == MOST_WHOLE and not END.search(piece):
                return False
    return True


def _rows(content: bytes, wanted: str) -> Iterator[Row]:
    without_value: list[tuple[int, int]] = []
    rows = list(_values(content, wanted, without_value))
    formulas = _formulas(content, wanted, without_value)
    for number, cells in rows:
        shown = [_formula_fault() if (number, at) in formulas else cell for at, cell in enumerate(cells, 1)]
        kept = trimmed(shown)
        if kept:
            yield Row(number, kept)


def _values(content: bytes, wanted: str, without_value: list[tuple[int, int]]) -> Iterator[tuple[int, list[Cell]]]:
    """Every row with something in it. Notes in `without_value` the cells that exist and hold nothing: they may be formulas."""
    for number, cells in _sheet_cells(content, wanted, data_only=True):
        read = [_cell(cell) for cell in cells]
        empty = [
            at for at, cell in enumerate(cells, 1) if cell.value is None and cell.data_type == "n" and _there(cell)
        ]
        without_value += [(number, at) for at in empty]
        if empty or any(cell != "" for cell in read):
            yield number, read


def _formulas(content: bytes, wanted: str, among: list[tuple[int, int]]) -> set[tuple[int, int]]:
    """Which of these cells hold a formula. The sheet is read again only where there are such cells."""
    if not among:
        return set()
    asked = set(among)
    return {
        (number, at)
        for number, cells in _sheet_cells(content, wanted, data_only=False)
        for at, cell in enumerate(cells, 1)
        if (number, at) in asked and cell.data_type == "f"
    }


def _there(cell: Any) -> bool:
    """Whether a cell stands in the file, or only fills a gap between two that do."""
    return hasattr(cell, "row")


def _formula_fault() -> Fault:
    return Fault(
        "The cell has a formula and no stored value.",
        "Open the file in a spreadsheet program and save it, or type the value.",
    )


def _sheet_cells(content: bytes, wanted: str, data_only: bool) -> Iterator[tuple[int, tuple[Any, ...]]]:
    from openpyxl import load_workbook

    book = load_workbook(io.BytesIO(content), read_only=True, data_only=data_only, keep_links=False)
    try:
        sheet = _sheet(book, wanted)
        sheet.reset_dimensions()  # what the file claims of its own size is not believed
        walked = 0
        for number, cells in enumerate(sheet.iter_rows(), 1):
            walked += len(cells)
            if number > MOST_SHEET_ROWS or len(cells) > MOST_COLUMNS or walked > MOST_CELLS:
                what = f"The sheet is larger than {MOST_COLUMNS:,} columns or {MOST_CELLS:,} cells."
                raise Fault(what, COPY)
            if cells:
                yield number, cells
    finally:
        book.close()


def _sheet(book: Any, wanted: str) -> Any:
    sheets = {sheet.title: sheet for sheet in book.worksheets}
    if not sheets:
        raise Fault("The workbook has no sheet of cells.", "Put the jobs on one, one a row.")
    if wanted and wanted not in sheets:
        hint = did_you_mean(wanted, sheets) or f"There is: {', '.join(sheets)}."
        raise Fault(f"The workbook has no sheet '{wanted}'.", hint)
    return sheets[wanted] if wanted else next(iter(sheets.values()))


def _cell(cell: Any) -> Cell:
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, datetime.datetime):
        return value.date()
    if isinstance(value, datetime.date):
        return value
    if isinstance(value, int | float):
        return _shown(value, cell.number_format or "General")
    return Fault("The cell holds a time of day or a length of time.", AS_TEXT)


def _shown(value: int | float, form: str) -> str:
    """A number as its cell shows it, to the 15 digits that a spreadsheet keeps, with the unit that its format adds."""
    number = Decimal(str(value) if isinstance(value, int) else f"{value:.15g}")
    positive = form.split(";")[0]
    unit = " ".join(part.strip() for part in QUOTED.findall(positive) if part.strip())
    if "%" in QUOTED.sub("", positive):
        number, unit = number * 100, "%"
    text = format(number, "f") if -20 < number.adjusted() < 20 else str(number)
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return f"{text} {unit}".rstrip()
