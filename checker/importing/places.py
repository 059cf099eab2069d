"""Where something stands in a spreadsheet, and what is wrong with it."""

from __future__ import annotations

from checker.problems.problem import Problem, Where

MOST_SHOWN = 60


class Place(Where):
    """A cell as spreadsheets name it: `line` is the row, `column` counts from 1, `pointer` is the column's heading."""

    __slots__ = ()

    def __str__(self) -> str:
        row = f"{self.file}, row {self.line}" if self.line else self.file
        if not self.column:
            return row
        heading = f" ({shortened(self.pointer)})" if self.pointer else ""
        return f"{row}, column {letters(self.column)}{heading}"


class Fault(ValueError):
    """A sheet, heading or cell that cannot be used: what is wrong and what to do."""

    def __init__(self, what: str, hint: str) -> None:
        self.what, self.hint = what, hint
        super().__init__(what)

    def at(self, place: Place) -> Problem:
        return Problem(place, self.what, self.hint)


def letters(column: int) -> str:
    """The letters of a column: 1 is A, 27 is AA."""
    written = ""
    while column:
        column, rest = divmod(column - 1, 26)
        written = chr(ord("A") + rest) + written
    return written


def shortened(text: str) -> str:
    """A text on one line, cut where it is long."""
    line = " ".join(text.split())
    return line if len(line) <= MOST_SHOWN else line[: MOST_SHOWN - 2] + " …"
