"""XLSX workbooks: what a cell shows is read, nothing is run, and what cannot be used is refused politely."""

from __future__ import annotations

import datetime
import io
import itertools
from collections.abc import Callable

import pytest
from openpyxl import Workbook

from checker.importing.rows import read_jobs
from checker.importing.sheet import read_sheet
from tests.support.import_sheets import GOOD, SHEET, VOCABULARY, changed, facts, imported, in_xlsx, told, with_part


def test_a_workbook_gives_its_days_numbers_and_flags() -> None:
    rows = [
        ["job_id", "Permit application date", "Outdoor fan FLA", "scope.furnace", "circuits.0.nameplate.poles",
         "circuits.0.segments.0.size", "outdoor_unit.serial"],
        [341, datetime.date(2026, 5, 4), 0.1, True, 2, 10, 4402217],
    ]  # fmt: skip
    assert {
        "job_id": "341", "schema_version": 1, "dates": {"permit_applied": "2026-05-04"},
        "outdoor_unit": {"nameplate": {"fan_current": "0.1 A"}, "serial": "4402217"},
        "scope": {"furnace": True},
        "circuits": [{"key": "circuit 1", "nameplate": {"poles": 2}, "segments": [{"key": "segment 1", "size": "10"}]}],
        "known_by": {"stated": ["dates", "outdoor_unit", "scope", "circuits"]},
    } == facts(in_xlsx(rows))  # fmt: skip


def test_a_number_is_read_as_its_cell_shows_it() -> None:
    rows = [
        ["job_id", "Outdoor fan FLA", "ducts.share_replaced", "site.elevation"],
        ["1", 0.1 + 0.2, 0.06, 300],
        ["2", 30.0, 12.5, 984.25],
    ]
    read = imported(in_xlsx(rows, {"C2": "0.0%", "D2": '0" m"', "C3": '0.0"%"', "D3": '#,##0.0 "ft"'}))
    assert [] == list(read.problems)
    one, two = (job.data for job in read.jobs)
    assert ("0.3 A", "6 %", "300 m") == (
        one["outdoor_unit"]["nameplate"]["fan_current"], one["ducts"]["share_replaced"], one["site"]["elevation"]
    )  # fmt: skip
    assert ("30 A", "12.5 %", "984.25 ft") == (
        two["outdoor_unit"]["nameplate"]["fan_current"], two["ducts"]["share_replaced"], two["site"]["elevation"]
    )  # fmt: skip


def test_a_workbook_tells_its_mistakes_by_row_and_column() -> None:
    rows = [
        ["job_id", "Outdoor unit serial number", "Outdoor fan FLA", "dates.contract", "notes"],
        ["1", datetime.date(2026, 5, 4), "=B2*2", 46000, "=1/0"],
        ["2", datetime.time(7, 30), 1.1, datetime.date(2026, 5, 4), "#DIV/0!"],
        ["3", None, None, None, None, "more"],
    ]
    assert (
        "jobs.xlsx, row 2, column B (Outdoor unit serial number)\n"
        "  Outdoor unit serial number: the cell holds a date (2026-05-04).\n"
        "  Format the cell as text and type again what it should say.\n"
        "jobs.xlsx, row 2, column C (Outdoor fan FLA)\n"
        "  The cell has a formula and no stored value.\n"
        "  Open the file in a spreadsheet program and save it, or type the value.\n"
        "jobs.xlsx, row 2, column D (dates.contract)\n"
        '  Contract date: "46000" is not a date.\n'
        '  Write year-month-day, as in "2026-05-04".\n'
        "jobs.xlsx, row 2, column E (notes)\n"
        "  The cell has a formula and no stored value.\n"
        "  Open the file in a spreadsheet program and save it, or type the value.\n"
        "jobs.xlsx, row 3, column B (Outdoor unit serial number)\n"
        "  The cell holds a time of day or a length of time.\n"
        "  Format the cell as text and type it again.\n"
        "jobs.xlsx, row 3, column E (notes)\n"
        "  Notes: the cell shows the error #DIV/0!.\n"
        "  Fix the formula, or leave the cell empty.\n"
        "jobs.xlsx, row 4, column F\n"
        "  The cell holds 'more', and its column has no heading.\n"
        "  Write its heading, or empty the cell. Text with the separator in it needs quotes."
    ) == told(in_xlsx(rows))


def test_of_a_formula_the_stored_value_counts_and_it_may_be_empty() -> None:
    content = in_xlsx([["job_id", "Outdoor fan FLA", "notes"], ["1", "=1+0.5", '=""']])
    content = changed(content, SHEET, "<f>1+0.5</f><v />", "<f>1+0.5</f><v>1.5</v>")
    content = changed(content, SHEET, '<c r="C2"><f>""</f><v />', '<c r="C2" t="str"><f>""</f><v />')
    assert {
        "job_id": "1", "schema_version": 1, "outdoor_unit": {"nameplate": {"fan_current": "1.5 A"}},
        "known_by": {"stated": ["outdoor_unit"]},
    } == facts(content)  # fmt: skip


def test_the_first_sheet_is_read_or_the_one_that_is_named() -> None:
    book = Workbook()
    book.active.append(["job_id", "notes"])
    book.active.append(["1", "first"])
    other = book.create_sheet("June")
    other.append(["job_id", "notes"])
    other.append(["2", "second"])
    content = io.BytesIO()
    book.save(content)
    assert "first" == facts(content.getvalue())["notes"]
    (job,) = read_jobs(read_sheet(content.getvalue(), "jobs.xlsx", "June"), VOCABULARY).jobs
    assert "second" == job.data["notes"]
    assert (
        "jobs.xlsx\n  The workbook has no sheet 'Jun'.\n  Did you mean 'June'?"
    ) == told(content.getvalue(), "Jun")  # fmt: skip


COPY = "Copy the jobs alone into a new workbook, or save the sheet as CSV."
BROKEN = "The workbook is broken and cannot be read.\n  Open it and save it again."
LARGE = f"The sheet is larger than 2,000 columns or 10,000,000 cells.\n  {COPY}"
LAUGHS = '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">' + "".join(
    f'<!ENTITY {name} "{f"&{before};" * 10}">' for before, name in itertools.pairwise("abcdefghij")
)
# How each is made, and what is said of it; making them takes a while, so nothing is made before its test.
UNFIT: dict[str, tuple[Callable[[], bytes], str]] = {
    "macros": (
        lambda: with_part(GOOD, "xl/vbaProject.bin", b"x"),
        "The workbook holds macros.\n  Save it as .xlsx, without macros, or as CSV in UTF-8.",
    ),
    "a bomb": (
        lambda: with_part(GOOD, "xl/media/a.xml", b"<row/>" * (45 * 2**20)),
        f"The workbook unpacks to more than 256 MiB or 5,000 parts.\n  {COPY}",
    ),
    "one endless row": (
        lambda: with_part(GOOD, "xl/worksheets/b.xml", b"<c/>" * (3 * 2**20)),
        f"One row or one part of the workbook is larger than 8 MiB.\n  {COPY}",
    ),
    "an old or protected workbook": (
        lambda: b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600),
        "This is an old workbook (.xls), or one that a password protects.\n"
        "  Take the password off and save it as .xlsx without macros, or as CSV in UTF-8.",
    ),
    "a zip of something else": (
        lambda: with_part(b"", "a.txt", b"x"),
        "This is not an XLSX workbook.\n  Save it as .xlsx, or as CSV in UTF-8.",
    ),
    "half a file": (lambda: GOOD[: len(GOOD) // 2], BROKEN),
    "a text that grows": (
        lambda: changed(changed(GOOD, SHEET, "<worksheet ", f"{LAUGHS}]><worksheet "), SHEET, "kept", "&j;"),
        BROKEN,
    ),
    "an empty sheet": (
        lambda: in_xlsx([]),
        "The sheet is empty.\n  changeout jobs import --headings prints one to fill in.",
    ),
    "a far column": (lambda: changed(GOOD, SHEET, 'r="B2"', 'r="XFD2"'), LARGE),
    "a far row": (lambda: changed(GOOD, SHEET, '<row r="2"', '<row r="99999999999"'), LARGE),
}


@pytest.mark.parametrize("name", UNFIT)
def test_a_workbook_that_cannot_be_used_is_refused_politely(name: str) -> None:
    made, said = UNFIT[name]
    assert f"jobs.xlsx\n  {said}" == told(made())


def test_a_password_inside_the_zip_is_said() -> None:
    content = bytearray(GOOD)
    at = content.index(b"PK\x01\x02")
    content[at + 8] |= 1  # general purpose bit 0: the part is encrypted (PKWARE APPNOTE 4.4.4)
    assert "A password protects the file." in told(bytes(content))


def test_the_size_that_a_sheet_claims_is_not_believed() -> None:
    for claimed in ("A1:A1", "A1:XFD1048576"):
        assert "kept" == facts(changed(GOOD, SHEET, "A1:B2", claimed))["notes"]
