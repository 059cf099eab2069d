"""Text that goes into a cell of CSV and must stay text when a spreadsheet opens it."""

from __future__ import annotations

import re

# A cell that begins so is taken for a formula; blanks before it are passed over. The wide signs count as the plain ones.
FORMULA = re.compile(r"[\t\r\n]|\s*[=+\-@＝＋－＠]")
NUMBER = re.compile(r"[-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?", re.ASCII)


def safe_cell(text: str) -> str:
    """The text, with an apostrophe before it where a spreadsheet would take it for a formula.

    A plain number such as `-5.2` stays as it is.
    """
    if NUMBER.fullmatch(text) or not FORMULA.match(text):
        return text
    return f"'{text}"
