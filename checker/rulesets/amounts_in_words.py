"""Amounts that the words of a rule tell, such as "within 50 ft": which of them is a limit, and what stands there instead."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator

from checker.ir import tree
from checker.reading import units
from checker.rulesets import limits

AMOUNT = re.compile(r"(?<![\w.,/-])\d[\d,]*(?:\.\d+)?(?:-\d+/\d+|/\d+)? (?:°?[A-Za-z%µ][A-Za-z0-9µ%/]*)")


def told(text: str, limit: tree.Held) -> list[tuple[int, int]]:
    """Where a text tells the value of a limit: the first and last place of each amount that is equal to it."""
    if limit.kind not in units.kinds() or not isinstance(limit.value, int | float) or isinstance(limit.value, bool):
        return []
    return [span for span, value in _amounts(text, limit.kind) if math.isclose(value, limit.value, rel_tol=1e-9)]


def with_limits_of_here(title: str, several: tuple[tree.Held, ...]) -> str:
    """A title with the limits that hold here, where it tells once of one that a layer replaced.

    `A disconnect within 50 ft` becomes `A disconnect within 25 ft` where the county asks for 25 ft.
    """
    for held in several:
        spans = told(title, held.below) if held.below else []
        if len(spans) != 1 or told(title, held):
            continue
        if now := limits.shown(held.value, held.kind, held.unit):
            ((start, end),) = spans
            title = title[:start] + now + title[end:]
    return title


def _amounts(text: str, kind: str) -> Iterator[tuple[tuple[int, int], float]]:
    for match in AMOUNT.finditer(text):
        try:
            yield match.span(), units.read_amount(match[0], kind, units.base_unit(kind).name)[0]
        except units.UnitError:
            continue
