"""Plain data that remembers where in a text each part stood, and the problems told of it."""

from __future__ import annotations

import functools
import re
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, NoReturn

from checker.problems.problem import Problem, ProblemsFound, Where

MOST_DEPTH = 40  # of lists and mappings in each other
MOST_SHOWN = 120

Path_ = tuple[str | int, ...]
POSITION = re.compile(r"[0-9]{1,6}")


def is_position(name: str) -> bool:
    """Whether a name is a place in a list: a whole number in ASCII's digits, of which no list has a million."""
    return POSITION.fullmatch(name) is not None


def steps(names: Iterable[str]) -> Path_:
    """Names as the steps of a path, those that are positions as numbers."""
    return tuple([int(name) if is_position(name) else name for name in names])


class Document:
    """Plain data and the places its parts came from.

    `data` is what was read. `where(path)` is the place of the part at a path of keys and list positions; where the part
    itself is missing, the place of the nearest part around it. A path that ends in "=" is the place of its key.
    `folder` is the folder of its file; None where it came from elsewhere.
    """

    folder: Path | None = None

    def __init__(self, file: str, text: str, data: Any, places: Callable[[], dict[Path_, Where]]) -> None:
        self.file = file
        self.text = text
        self.data = data
        self._read_places = places

    @functools.cached_property
    def _places(self) -> dict[Path_, Where]:
        return self._read_places()

    def where(self, path: Path_ = ()) -> Where:
        if path in self._places:
            return self._places[path]
        for length in range(len(path) - 1, -1, -1):
            if path[:length] in self._places:
                return self._places[path[:length]]
        return Where(self.file)

    def problem(self, path: Path_, what: str, hint: str = "", caret: int = 1) -> Problem:
        """A problem at a part of this document, with the line it stands on.

        `caret` counts characters from the start of the part's own text, quotes and the folding of lines left out.
        """
        where = self.where(path)
        return problem_at(self.text, self._inside(where, caret) if caret > 1 else where, what, hint)

    def _inside(self, where: Where, caret: int) -> Where:
        """The place of the character `caret` of a part's own text."""
        at = _offset(self.text, where)
        at = OPENING.match(self.text, at).end()  # type: ignore[union-attr]
        for _ in range(caret - 1):
            fold = FOLD.match(self.text, at)
            at = fold.end() if fold else min(at + 1, len(self.text))
        return where._replace(line=self.text.count("\n", 0, at) + 1, column=at - self.text.rfind("\n", 0, at))


# What stands before a part's own text: a quote, or the mark of a block and its line's end. And a line folded away.
OPENING = re.compile(r"[\"']|[|>][-+0-9]*[ \t]*\n\s*|")
FOLD = re.compile(r"[ \t]*\n\s*")


def problem_at(text: str, where: Where, what: str, hint: str = "") -> Problem:
    """A problem with the line of the text that it stands on; a long line is cut around its column."""
    lines = _lines(text)
    if not 0 < where.line <= len(lines):
        return Problem(where, what, hint)
    line = lines[where.line - 1].rstrip()
    start = max(len(line) - len(line.lstrip()), where.column - MOST_SHOWN // 2 if len(line) > MOST_SHOWN else 0)
    before, after = "… " if line[:start].strip() else "", " …" if len(line) > start + MOST_SHOWN else ""
    excerpt = before + line[start : start + MOST_SHOWN] + after
    return Problem(where, what, hint, excerpt, max(where.column - start, 1) + len(before))


@functools.lru_cache(maxsize=2)
def _lines(text: str) -> list[str]:
    return text.split("\n")


def _offset(text: str, where: Where) -> int:
    """The offset in a text of a line and column."""
    at = 0
    for _ in range(where.line - 1):
        at = text.index("\n", at) + 1
    return at + max(where.column - 1, 0)


def refuse_at(text: str, where: Where, what: str, hint: str) -> NoReturn:
    raise ProblemsFound([problem_at(text, where, what, hint)])
