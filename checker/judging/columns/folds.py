"""Lists taken together at many places at once.

The exact value where every item is known; everywhere else the row is `between`, so that the walk says what it comes to.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from checker.ir import tree
from checker.judging.columns.column import Column, Flags, Floats, Items, Numbers, Rows
from checker.judging.columns.comparing import all_of, compared
from checker.judging.lists import IN_STEP

ValueOf = Callable[[tree.Value], Column]


def folded(
    node: tree.Fold, rows: Rows, value: ValueOf, could_be_tried: Callable[[Sequence[tree.Value]], Flags]
) -> Column:
    """A list taken together at each place.

    Args:
        value: What another value comes to at each place.
        could_be_tried: Where something in some values could be settled by trying values that it could have.
    """
    count = len(rows)
    items = rows.items(node.items)
    chosen, unsure = _narrowed(node, value, items)
    open_ = np.zeros(count, bool)
    open_[items.owner[unsure]] = True
    held = np.flatnonzero(chosen)
    owner = items.owner[held]
    field = items.fields.fact(tree.Fact(node.field, "item", node.kind)).at(held)
    many = np.bincount(owner, minlength=count)
    if node.name == "count":
        found, none = many.astype(float), np.zeros(count, bool)
    elif node.name in PICKED:
        found, none, lacking = PICKED[node.name](field, owner, count)
        open_ |= lacking
        none |= many == 0
    elif node.until is not None:
        clock = items.fields.fact(tree.Fact(node.clock, "item", "")).at(held)
        found, lacking = _by_the_clock(node, _Timed(clock, field, owner), value(node.until))
        open_, none = open_ | lacking, np.zeros(count, bool)
    else:  # a list that may get more items
        found, none, open_ = np.full(count, np.nan), np.zeros(count, bool), np.ones(count, bool)
    settled = items.recorded & ~open_
    inside = [*(part.value for part in node.where), *([node.until] if node.until else [])]
    between = (items.recorded & open_) | (~items.recorded & could_be_tried(inside))
    return Column(np.where(settled & ~none, found, np.nan), none & settled, between)


class _Timed(NamedTuple):
    """Readings with their times, and the place of each."""

    clock: Column
    field: Column
    owner: Numbers


def _by_the_clock(node: tree.Fold, readings: _Timed, until: Column) -> tuple[Floats, Flags]:
    """The reading at a time, or the highest up to it; and where the walk has to say."""
    clock, field, owner = readings
    count = len(until.values)
    lacking = np.isnan(until.values)
    lacking[owner[np.isnan(clock.values) | np.isnan(field.values)]] = True
    apart = clock.values - until.values[owner]
    known = ~lacking[owner]
    at = known & (np.abs(apart) <= IN_STEP)
    exact = np.bincount(owner[at], minlength=count)
    found = np.full(count, -np.inf)
    chosen = known & (apart <= IN_STEP) if node.name == "highest_until" else at
    np.maximum.at(found, owner[chosen], field.values[chosen])
    return found, lacking | (exact == 0 if node.name == "highest_until" else exact != 1)


def _narrowed(node: tree.Fold, value: ValueOf, items: Items) -> tuple[Flags, Flags]:
    """Which items a list is narrowed to, and of which that is not known."""
    parts = (
        compared(
            part.operator or ("!=" if part.negated else "=="),
            items.fields.fact(tree.Fact(part.field, "item", "")),
            value(part.value).at(items.owner),
            part.grain,
        )
        for part in node.where
    )
    inside = all_of(parts, len(items.owner))
    return inside.true, ~(inside.true | inside.false)


Picked = Callable[[Column, Numbers, int], tuple[Floats, Flags, Flags]]


def _lacking(field: Column, owner: Numbers, count: int, *, none_too: bool = False) -> Flags:
    """The places of which an item is not known."""
    lacking = np.zeros(count, bool)
    lacking[owner[np.isnan(field.values) if none_too else ~field.known]] = True
    return lacking


def _extreme(best: np.ufunc, start: float) -> Picked:
    def pick(field: Column, owner: Numbers, count: int) -> tuple[Floats, Flags, Flags]:
        there = ~np.isnan(field.values)
        found = np.full(count, start)
        best.at(found, owner[there], field.values[there])
        return found, np.isinf(found), _lacking(field, owner, count)

    return pick


def _added(field: Column, owner: Numbers, count: int) -> tuple[Floats, Numbers]:
    """The sum of each place from left to right, and of how many."""
    there = ~np.isnan(field.values)
    found = np.zeros(count)
    np.add.at(found, owner[there], field.values[there])  # one after the other, in the order of the items
    return found, np.bincount(owner[there], minlength=count)


def _total(field: Column, owner: Numbers, count: int) -> tuple[Floats, Flags, Flags]:
    found, _ = _added(field, owner, count)
    return found, np.zeros(count, bool), _lacking(field, owner, count, none_too=True)


def _average(field: Column, owner: Numbers, count: int) -> tuple[Floats, Flags, Flags]:
    found, many = _added(field, owner, count)
    with np.errstate(all="ignore"):
        return found / many, many == 0, _lacking(field, owner, count)


def _end(last: bool) -> Picked:
    def pick(field: Column, owner: Numbers, count: int) -> tuple[Floats, Flags, Flags]:
        at = np.full(count, -1)
        order = np.arange(len(owner))
        at[owner if last else owner[::-1]] = order if last else order[::-1]
        there = at >= 0
        found, none, lacking = np.full(count, np.nan), np.zeros(count, bool), np.zeros(count, bool)
        one = field.at(at[there])
        found[there] = one.values
        none[there] = one.is_none
        lacking[there] = ~one.known
        return found, none, lacking

    return pick


PICKED: Mapping[str, Picked] = {
    "first": _end(last=False),
    "last": _end(last=True),
    "lowest": _extreme(np.minimum, np.inf),
    "highest": _extreme(np.maximum, -np.inf),
    "average": _average,
    "total": _total,
}
