"""A mistake of an author or of a job: where it is, what it is, what to do about it.

Problems are values. They are collected and shown all at once; only `ProblemsFound` travels as an exception, and it
carries the whole list. Nothing here knows YAML, JSON or rules.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

MOST_TOLD = 100  # mistakes of one text; with more of them it is another kind of text, or made to keep us busy


class Where(NamedTuple):
    """A place in a text: the file as the user named it, and line and column counted from 1 (0: the whole file)."""

    file: str
    line: int = 0
    column: int = 0
    pointer: str = ""

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}:{self.column}" if self.line else self.file
        return f"{place} ({self.pointer})" if self.pointer else place


class Problem(NamedTuple):
    """One mistake.

    `what` says what is wrong and `hint` what to do, both in trade words. `excerpt` is the line of text at fault and
    `caret` the column in it (from 1) that the mistake is at; both may be missing. `sort` is one word for mistakes of its
    sort, for those who count or filter them.
    """

    where: Where
    what: str
    hint: str = ""
    excerpt: str = ""
    caret: int = 0
    sort: str = ""

    def __str__(self) -> str:
        lines = [str(self.where), f"  {self.what}"]
        if self.excerpt:
            lines.append(f"      {self.excerpt}")
            if self.caret:
                lines.append("      " + " " * (self.caret - 1) + "^")
        if self.hint:
            lines.append(f"  {self.hint}")
        return "\n".join(lines)


class ProblemsFound(Exception):
    """Every problem found in one piece of work, in the order of the text."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = sorted(set(problems), key=lambda p: (p.where.file, p.where.line, p.where.column, p.what))
        super().__init__("\n".join(map(str, self.problems)))

    def __reduce__(self) -> tuple[type[ProblemsFound], tuple[list[Problem]]]:
        """How it goes from one process to another: as its problems, not as their text."""
        return type(self), (self.problems,)


def refused(where: Where | Path | str, what: str, hint: str = "") -> ProblemsFound:
    """One mistake, ready to be raised: `raise refused(path, "This is not a folder.", "Name a folder.")`.

    Args:
        where: A place in a text; or a file, an option or a name, to be shown as it is.
    """
    return ProblemsFound([Problem(where if isinstance(where, Where) else Where(str(where)), what, hint)])


def tell(problems: list[Problem], problem: Problem) -> None:
    """Add a problem to those of one text.

    Raises:
        ProblemsFound: These are as many as are told of; the last one says so.
    """
    problems.append(problem)
    if len(problems) >= MOST_TOLD:
        raise ProblemsFound([*problems, _no_more(problem, MOST_TOLD)])


def first_of(problems: Iterable[Problem], most: int = MOST_TOLD) -> list[Problem]:
    """The first mistakes, each once; where there are as many as are told of, one more that says so."""
    each: dict[Problem, None] = {}
    for problem in problems:
        each[problem] = None
        if len(each) == most:
            return [*each, _no_more(problem, most)]
    return list(each)


def _no_more(last: Problem, most: int) -> Problem:
    what = f"{most:,} mistakes were found here, and what comes after them was not looked at."
    return Problem(Where(last.where.file), what, "Fix these, then try again.", sort=last.sort)


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """A sentence that offers the closest known word, all close ones that it is the beginning of, or nothing."""
    close = difflib.get_close_matches(word, list(known), n=3, cutoff=0.6)
    begun = sorted(name for name in close if name.startswith(word))
    offered = begun if close and close[0] in begun else close[:1]
    return f"Did you mean {' or '.join(map(repr, offered))}?" if offered else ""
