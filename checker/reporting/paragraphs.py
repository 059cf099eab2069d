"""Plain text for a terminal: sentences wrapped to its width, and numbers with their nouns."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable

from checker.problems.sanitize import inert

Paint = Callable[[str, str], str]
NARROWEST, WIDEST = 40, 100  # columns: what is wider is hard to read


def plain(text: str, _: str) -> str:
    """No color."""
    return text


def columns(width: int) -> int:
    """The columns to keep text within, for a terminal of so many."""
    return max(NARROWEST, min(width, WIDEST))


def wrapped(text: str, width: int, indent: int = 0, hang: int | None = None) -> list[str]:
    """A sentence as the lines that it takes, each within so many columns; none for an empty text.

    Args:
        hang: How much further in the second line and those after it stand; without it, two under an indent.
    """
    hang = hang if hang is not None else 2 if indent else 0
    first, later = " " * indent, " " * (indent + hang)
    return textwrap.wrap(inert(text), width, initial_indent=first, subsequent_indent=later, break_on_hyphens=False)


def fitted(waiting: Iterable[list[str]], room: int, more: str = "  and {} more") -> list[str]:
    """The lines of as many paragraphs as fit, some of the first at least. How many were left out is said in the last line."""
    left, told = [lines for lines in waiting if lines], list[str]()
    if left and len(left[0]) > room - (len(left) > 1):
        kept = left[0][: max(1, room - (len(left) > 1))]
        left[0] = [*kept[:-1], broken_off(kept[-1])]
    while left and len(told) + len(left[0]) <= room - (len(left) > 1):
        told += left.pop(0)
    if left and room > 0:
        told.append(more.format(len(left)))
    return told


def broken_off(line: str) -> str:
    """The last line that is shown of a longer text: its last word makes room for the sign, so that it still fits."""
    return f"{line.rsplit(' ', 1)[0]} …"


def paragraphs(sentences: Iterable[tuple[str, int]], width: int) -> str:
    """Sentences, each with its indent, as text for a terminal of so many columns. An empty one is a blank line."""
    lines = (line for text, indent in sentences for line in wrapped(text, columns(width), indent) or [""])
    return "\n".join(lines) + "\n"


def counted(count: int, name: str) -> str:
    """`1 job`, `3 jobs`."""
    return f"{count} {name}" if count == 1 else f"{count} {name}s"
