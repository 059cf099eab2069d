"""Spreadsheets made for the tests of the import, and what is read and said of them."""

from __future__ import annotations

import csv
import io
import zipfile
from typing import Any

from openpyxl import Workbook

from checker.importing.rows import Imported, read_jobs
from checker.importing.sheet import read_sheet
from checker.problems.problem import ProblemsFound
from checker.reading.job_schema import job_vocabulary
from checker.reading.vocabulary import Vocabulary

VOCABULARY = job_vocabulary()


def imported(content: bytes | str, vocabulary: Vocabulary = VOCABULARY) -> Imported:
    data = content.encode() if isinstance(content, str) else content
    return read_jobs(read_sheet(data, "jobs.csv"), vocabulary)


def facts(content: bytes | str) -> dict[str, Any]:
    """The one job of a sheet."""
    read = imported(content)
    assert [] == list(map(str, read.problems))
    (job,) = read.jobs
    return job.data


def told(content: bytes | str, wanted: str = "") -> str:
    """Everything that is said of a sheet in which something is wrong."""
    data = content.encode() if isinstance(content, str) else content
    try:
        read = read_jobs(read_sheet(data, "jobs.xlsx", wanted), VOCABULARY)
    except ProblemsFound as found:
        return str(found)
    assert read.problems
    return str(ProblemsFound(read.problems))


def in_csv(rows: list[list[str]]) -> bytes:
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    return text.getvalue().encode()


def in_xlsx(rows: list[list[Any]], formats: dict[str, str] | None = None) -> bytes:
    book = Workbook()
    for row in rows:
        book.active.append(row)
    for cell, form in (formats or {}).items():
        book.active[cell].number_format = form
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()


def changed(content: bytes, part: str, old: str, new: str) -> bytes:
    """A workbook with the text of one part changed."""
    found = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as before, zipfile.ZipFile(found, "w", zipfile.ZIP_DEFLATED) as after:
        for name in before.namelist():
            text = before.read(name)
            if name == part:
                assert old.encode() in text
                text = text.replace(old.encode(), new.encode())
            after.writestr(name, text)
    return found.getvalue()


SHEET = "xl/worksheets/sheet1.xml"


def with_part(content: bytes, name: str, text: bytes) -> bytes:
    """A workbook with one part more."""
    found = io.BytesIO(content)
    with zipfile.ZipFile(found, "a", zipfile.ZIP_DEFLATED) as parts:
        parts.writestr(name, text)
    return found.getvalue()


GOOD = in_xlsx([["job_id", "notes"], ["1", "kept"]])
