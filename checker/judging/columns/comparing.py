"""Two columns compared, in strong Kleene logic: where a comparison is surely true, and where it is surely false."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np

from checker.judging.columns.column import Column, Flags, Floats


class Sides(NamedTuple):
    """Where a condition is surely true, and where it is surely false."""

    true: Flags
    false: Flags

    @property
    def negated(self) -> Sides:
        return Sides(self.false, self.true)


def all_of(parts: Iterable[Sides], count: int) -> Sides:
    """Where all of some conditions hold, and where one of them does not; with none, that they hold everywhere."""
    true, false = np.ones(count, bool), np.zeros(count, bool)
    for part in parts:
        true, false = true & part.true, false | part.false
    return Sides(true, false)


def compared(op: str, left: Column, right: Column, grain: float) -> Sides:
    """One comparison. A known none is equal to nothing and on no side of anything."""
    found = _amounts(op, left.values, right.values, grain)
    if left.none is None and right.none is None:
        return found
    none = left.is_none | right.is_none
    return Sides(found.true | none, found.false) if op == "!=" else Sides(found.true, found.false | none)


def _amounts(op: str, left: Floats, right: Floats, grain: float) -> Sides:
    """Two amounts, or two words by their numbers; of what is not known nothing holds."""
    if op in ("==", "!="):
        apart = np.abs(left - right)
        found = Sides(apart <= grain, apart > grain)
        return found if op == "==" else found.negated
    if op in ("<=", ">"):
        limit = right + grain
        found = Sides(left <= limit, left > limit)
    else:
        limit = right - grain
        found = Sides(left >= limit, left < limit)
    return found if op in ("<=", ">=") else found.negated
