"""The canonical form of a ruleset's file: fields in the order in which the shapes of rulesets have them.

A field moves with its comment, the lines above it that begin with `#` at the same indent. Entries stay in the order they were
written in, since findings are told in that order. What stands between braces is left as it is.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from itertools import pairwise
from typing import NamedTuple

from checker.problems.document import Document, Path_
from checker.problems.problem import refused
from checker.reading.files import read_text
from checker.rulesets.headers import Header, Topic
from checker.rulesets.shape import Shape

HEADER = "ruleset.yaml"
DASH = re.compile(r" *- (?=\S)")


class Held(NamedTuple):
    """What a value holds: a record of a shape, or lists or mappings (`around`) of such records; no shape: anything."""

    shape: type[Shape] | None = None
    around: tuple[str, ...] = ()

    def at(self, step: str | int) -> Held:
        """What stands at a name or a position in it."""
        if self.around:
            return Held(self.shape, self.around[1:])
        return Held(*self.shape.holds(str(step))) if self.shape else self

    @property
    def order(self) -> list[str]:
        """The names of its fields, in order; empty where their order is their keeper's."""
        if not self.shape or self.shape is Topic or self.around:
            return []
        return sorted(self.shape.names_in_files(), key="cases".__eq__)  # worked cases, which are long, come last


class Part(NamedTuple):
    """A field of a mapping or an item of a list: its name or position, and the number of the line it begins on."""

    step: str | int
    line: int


def canonical(text: str, shown: str) -> str:
    """A file of a ruleset in its canonical form; it says what it said.

    Args:
        text: The file.
        shown: How to name it; a `ruleset.yaml` is a header, every other file a topic.

    Raises:
        ProblemsFound: It is not YAML as rulesets have it, or its lines are laid out so that they cannot be moved.
    """
    document = read_text(text.encode(), shown)
    lines = [line.rstrip() for line in text.rstrip().split("\n")]
    held = Held(Header if shown.rsplit("/", 1)[-1] == HEADER else Topic)
    found = "\n".join(_ordered(document, (), held, lines, 1)) + "\n"
    if read_text(found.encode(), shown).data != document.data:
        hint = "Write one field a line, its comment above it at the same indent."
        raise refused(shown, "The fields of this file cannot be put in order without changing what it says.", hint)
    return found


def _ordered(document: Document, path: Path_, held: Held, lines: list[str], first: int) -> list[str]:
    """The lines of a value in block style with all fields in it in order.

    Args:
        first: The number that the first of the lines has in the file.
    """
    parts = _parts(document, path, lines, first)
    if not parts or not held.shape:
        return lines
    tail = len(lines) - len("\n".join(lines).rstrip().split("\n"))  # empty lines belong to what comes next
    ends = [part.line for part in parts[1:]] + [first + len(lines) - tail]
    found = {}
    for part, end in zip(parts, ends, strict=True):
        own = lines[part.line - first : end - first]
        found[part.step] = _part(document, (*path, part.step), held.at(part.step), own, part.line)
    if order := held.order:
        place = {name: at for at, name in enumerate(order)}  # a name that nobody knows stays behind the others
        steps = sorted(found, key=lambda step: place.get(str(step), len(place)))
        found = {step: _without_gaps(found[step]) for step in steps}
    return [
        *lines[: parts[0].line - first],
        *(line for one in found.values() for line in one),
        *lines[len(lines) - tail :],
    ]


def _part(document: Document, path: Path_, held: Held, lines: list[str], first: int) -> list[str]:
    """The lines of a field or an item, what is in it in order."""
    if not isinstance(path[-1], int):
        own = document.where((*path, "=")).line - first + 1  # its comment and its name
        return [*lines[:own], *_ordered(document, path, held, lines[own:], first + own)]
    dash = DASH.match(lines[0])
    if not dash:
        return lines
    mark, indent = dash[0], " " * dash.end()
    ordered = _ordered(document, path, held, [indent + lines[0][dash.end() :], *lines[1:]], first)
    return [mark + ordered[0][dash.end() :], *ordered[1:]]


def _parts(document: Document, path: Path_, lines: list[str], first: int) -> list[Part]:
    """The fields of a mapping or the items of a list, each of which begins a line; none where they do not, as between braces."""
    data = _at(document, path)
    if not isinstance(data, Mapping | list):
        return []
    steps = list(data) if isinstance(data, Mapping) else list(range(len(data)))
    found: list[Part] = []
    for step in steps:
        where = document.where((*path, step, "=") if isinstance(data, Mapping) else (*path, step))
        at = where.line - first
        if not 0 <= at < len(lines) or lines[at][: where.column - 1].strip(" -" if isinstance(data, list) else " "):
            return []
        indent = where.column - 1 if isinstance(data, Mapping) else lines[at].find("-")
        while at and lines[at - 1].startswith(" " * indent + "#"):
            at -= 1
        found.append(Part(step, first + at))
    return found if all(one.line < other.line for one, other in pairwise(found)) else []


def _without_gaps(lines: list[str]) -> list[str]:
    """Lines without the empty ones at their end."""
    return "\n".join(lines).rstrip().split("\n")


def _at(document: Document, path: Path_) -> object:
    data = document.data
    for step in path:
        data = data[step]
    return data
