"""A spreadsheet's cells as they stand, from CSV or from a workbook, within bounds.

A cell is text, a day, or a `Fault` where a workbook holds something that no fact can be. An empty cell is "".
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from pathlib import Path

from checker.importing.places import Place
from checker.importing.table import MOST_BYTES, MOST_LETTERS, Row, Sheet, bounded, trimmed
from checker.problems.problem import refused

ZIP, OLD_WORKBOOK = b"PK\x03\x04", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
SEPARATORS = ",;\t"


def read_sheet(content: bytes, name: str, wanted: str = "") -> Sheet:
    """Read a spreadsheet by what is in it, whatever its name ends in.

    Args:
        content: The bytes of the file.
        name: Its name, for messages.
        wanted: Which sheet of a workbook; the first where nothing is said.

    Raises:
        ProblemsFound: It is not a spreadsheet that can be read, or is too large.
    """
    if len(content) > MOST_BYTES:
        raise refused(name, f"The file is larger than {MOST_BYTES // 2**20} MiB.", "Split it into several.")
    if content.startswith(OLD_WORKBOOK):
        raise refused(
            name,
            "This is an old workbook (.xls), or one that a password protects.",
            "Take the password off and save it as .xlsx without macros, or as CSV in UTF-8.",
        )
    if content.startswith(ZIP):
        from checker.importing.workbook import read_workbook

        return bounded(name, read_workbook(content, name, wanted))
    if wanted:
        raise refused(name, "A CSV file has one sheet only.", "Leave --sheet out.")
    text = _decoded(content, name)
    separator, skipped = separator_of(text)
    return bounded(name, _csv_rows(text, name, separator, skipped), separator)


def read_bytes(path: Path, name: str) -> bytes:
    """A file's bytes, one more than `MOST_BYTES` at most.

    Raises:
        ProblemsFound: It cannot be read.
    """
    try:
        with path.open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        hint = "Check its name and permissions."
        raise refused(name, f"The file cannot be read: {reason}.", hint) from None


def separator_of(text: str) -> tuple[str, int]:
    """The separator of a CSV text, and how many lines before the headings only name it.

    A first line such as `sep=;` decides. Else it is the comma, semicolon or tab that stands most often in the first
    line that is not blank, quoted text passed over; a comma where none does.
    """
    first = next((line for line in text.splitlines() if line.strip()), "")
    if len(first) == 5 and first[:4].lower() == "sep=" and first[4] in SEPARATORS and text.startswith(first):
        return first[4], 1
    bare = "".join(first.split('"')[::2])
    return max(SEPARATORS, key=lambda sign: (bare.count(sign), -SEPARATORS.index(sign))), 0


def _decoded(content: bytes, name: str) -> str:
    form = "utf-16" if content[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    hint = 'Save it as "CSV UTF-8", or as .xlsx.'
    try:
        text = content.decode(form)
    except UnicodeDecodeError as error:
        row = content.count(b"\n", 0, error.start) + 1 if form != "utf-16" else 0
        charset = form.upper().removesuffix("-SIG")
        raise refused(
            Place(name, row), f"A character in this line of the file is not text in {charset}.", hint
        ) from None
    if "\0" in text:
        raise refused(name, "The file is not a spreadsheet: it has characters that are not text.", hint)
    return text


def _csv_rows(text: str, name: str, separator: str, skipped: int) -> Iterator[Row]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    number = 0
    try:
        for number, cells in enumerate(reader, 1):
            kept = trimmed(cells)
            if kept and number > skipped:
                yield Row(number - skipped, kept)
    except csv.Error as error:
        raise refused(Place(name, number + 1 - skipped), *_unreadable(str(error))) from None


def _unreadable(error: str) -> tuple[str, str]:
    """What is wrong and what to do, for what the reader of CSV says."""
    if "field limit" in error:
        return (f"A cell is longer than {MOST_LETTERS:,} characters.", "Look for a quote that is not closed.")
    if "expected after" in error:
        return ("Text goes on after a closing quote.", 'Write a quote inside of quoted text twice: "".')
    return ("A quote is opened and not closed.", 'Close it, or write a quote inside of quoted text twice: "".')
