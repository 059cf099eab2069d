"""What is typed on one line about one thing, as the job schema says."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

from checker.reading.typed_input import alike
from checker.reading.vocabulary import Vocabulary


class Line(NamedTuple):
    """What is typed on one line, as the job schema says.

    `labels` are the facts with the words that stand beside their values; `phrases` are words that say facts, where 'answer'
    stands for the value beside them. `plain` are the facts that a number without label or unit may be, in their order,
    `aside` what people type as well and no fact keeps, `rows` a list of readings.
    """

    example: str
    labels: Mapping[str, tuple[str, ...]]
    phrases: Mapping[str, Mapping[str, Any]] = MappingProxyType({})
    plain: tuple[str, ...] = ()
    aside: tuple[str, ...] = ()
    rows: str = ""


def line_of(vocabulary: Vocabulary, paths: Collection[str]) -> Line | None:
    """The line that holds most of some facts, by their paths without list positions; None where none holds any."""
    told = vocabulary.commands.get("lines", ())
    held = [sum(path in line["labels"] or path == line.get("rows") for path in paths) for line in told]
    return _line(told[held.index(max(held))]) if any(held) else None


def _line(told: Mapping[str, Any]) -> Line:
    return Line(
        told["example"],
        {path: tuple(words) for path, words in told["labels"].items()},
        told.get("phrases", {}),
        tuple(told.get("plain", ())),
        tuple(told.get("aside", ())),
        told.get("rows", ""),
    )


def labels_of(line: Line) -> dict[str, tuple[str, ...]]:
    """The facts of each label, in the order of the line."""
    found: dict[str, tuple[str, ...]] = {}
    for path, words in line.labels.items():
        for word in words:
            found[alike(word)] = (*found.get(alike(word), ()), path)
    return found
