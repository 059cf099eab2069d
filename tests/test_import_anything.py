"""Whatever is handed over as a spreadsheet, it is read or it is said what is wrong: never a traceback."""

from __future__ import annotations

import csv
import io
import zipfile

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checker.importing.rows import read_jobs
from checker.importing.sheet import read_sheet
from checker.importing.writing import file_name
from checker.problems.problem import ProblemsFound
from tests.support.import_sheets import GOOD, SHEET, VOCABULARY, changed


def survives(content: bytes) -> None:
    """It is read, or it is said what is wrong; nothing else is raised."""
    try:
        read = read_jobs(read_sheet(content, "any"), VOCABULARY, file_name)
    except ProblemsFound as found:
        said = [str(problem) for problem in found.problems if problem.what]
    else:
        said = [str(problem) for problem in read.problems] or ["nothing is wrong"] * (len(read.jobs) == read.rows)
    assert said


@given(st.binary(max_size=400))
def test_any_bytes_are_read_or_told(content: bytes) -> None:
    survives(content)


CELLS = st.one_of(
    st.text(max_size=12),
    st.sampled_from([
        "30", "-", "- A", "e5", "1/0", "3/4", "1e999", "1e400 A", "0,5", "٣", "²", ".", "30 A", "nan", "inf", "not known: x",
        "none:", "none: x", "between 2026-01-02 and 2026-01-01", "2026-13-01", "yes", "=1", "#N/A", "unit", "breaker", '"',
        "a\nb", "9" * 400, "9" * 9,
    ]),
)  # fmt: skip
HEADINGS = st.one_of(
    st.sampled_from([
        "job_id", "Max breaker (A)", "circuits[a].nameplate.maximum_fuse", "circuits.1.key", "circuits[a].devices[b].rating",
        "dates.contract", "scope.system", "scope.furnace", "evacuation.decay_readings.0.vacuum", "circuits.0.nameplate.poles",
        "outdoor_unit.serial", "schema_version", "local.x.y", "circuits", "circuits.0", "circuits.0.1.key", "[", "a[b", "()",
        "job_id (A)",
    ]),
    st.text(max_size=12),
)  # fmt: skip


@pytest.mark.long
@settings(max_examples=300)
@given(st.lists(HEADINGS, max_size=5), st.lists(st.lists(CELLS, max_size=6), max_size=4), st.sampled_from(",;\t"))
def test_any_cells_under_any_headings_are_read_or_told(heads: list[str], rows: list[list[str]], separator: str) -> None:
    text = io.StringIO()
    writer = csv.writer(text, delimiter=separator)
    writer.writerows([["job_id", *heads], *rows])
    survives(text.getvalue().encode("utf-8", "replace"))


@given(st.data())
def test_a_workbook_with_some_bytes_changed_is_read_or_told(data: st.DataObject) -> None:
    content = bytearray(GOOD)
    for _ in range(data.draw(st.integers(1, 8))):
        content[data.draw(st.integers(4, len(content) - 1))] = data.draw(st.integers(0, 255))
    survives(bytes(content))


PIECES = ("", "<f>1</f>", ' t="str"', ' t="d"', ' s="9"', ' r="B0"', ' r="2"', "<v>1e999</v>", "<c/>", "-1")
SHEET_TEXT = zipfile.ZipFile(io.BytesIO(GOOD)).read(SHEET).decode()


@given(st.data())
def test_a_sheet_with_some_text_changed_is_read_or_told(data: st.DataObject) -> None:
    at = data.draw(st.integers(0, len(SHEET_TEXT)))
    until = data.draw(st.integers(at, min(at + 20, len(SHEET_TEXT))))
    piece = data.draw(
        st.sampled_from(
            ["", "<f>1</f>", ' t="str"', ' t="d"', ' s="9"', ' r="B0"', ' r="2"', "<v>1e999</v>", "<c/>", "-1"]
        )
    )
    new = SHEET_TEXT[:at] + piece + SHEET_TEXT[until:]
    survives(changed(GOOD, SHEET, SHEET_TEXT, new))
