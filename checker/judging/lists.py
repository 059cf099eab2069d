"""What a list taken together comes to on one job: how many items there are, the first, the lowest, the reading at a time."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from checker.ir import tree
from checker.ir.kleene import (
    NONE,
    Cause,
    Evaluated,
    Nothing,
    Range,
    Scope,
    Truth,
    Unknown,
    all_of,
    compared,
    joined,
    missing,
)
from checker.judging.values import evaluate
from checker.trade.sums import mean, total

IN_STEP = 1e-6  # minutes by which a clock may differ from the time that is asked for


def folded(node: tree.Fold, scope: Scope) -> Evaluated:
    """What a list taken together comes to."""
    base = scope.path(node.items)
    keys = scope.facts.items(base)
    if keys is None:
        return missing(base)
    chosen: list[int] = []
    doubts: list[Unknown] = []
    for index in range(len(keys)):
        inside = belongs(node, scope, f"{base}.{index}")
        if isinstance(inside, Unknown):
            doubts.append(inside)
        elif inside:
            chosen.append(index)
    if doubts:
        causes = frozenset[Cause]().union(*(doubt.causes for doubt in doubts))
        if node.name == "count":
            return Range(len(chosen), len(chosen) + len(doubts), causes)
        if node.name == "count_so_far":
            return Range(len(chosen), math.inf, causes | _more(base))
        return Unknown(causes, ("fold", node.name, base, frozenset(doubt.trace for doubt in doubts)))
    return FOLDS[node.name](node, scope, base, chosen)


def belongs(node: tree.Fold, scope: Scope, item: str) -> Truth:
    """Whether an item is one of those that a list is narrowed to."""
    return all_of([_narrowed(part, scope, item) for part in node.where])


def _narrowed(part: tree.Narrowed, scope: Scope, item: str) -> Truth:
    operator = part.operator or ("!=" if part.negated else "==")
    return compared(operator, scope.read(f"{item}.{part.field}"), evaluate(part.value, scope), part.grain)


def _count(_: tree.Fold, __: Scope, ___: str, chosen: list[int]) -> Evaluated:
    return float(len(chosen))


def _count_so_far(_: tree.Fold, __: Scope, base: str, chosen: list[int]) -> Evaluated:
    return Range(len(chosen), math.inf, _more(base))


def _more(base: str) -> frozenset[Cause]:
    """Why nobody knows how many there will be: the list may get more items."""
    return frozenset([Cause("not_recorded", base)])


def _picked(
    pick: Callable[[list[Any]], Any], ends: Callable[[float], tuple[float, float]] | None
) -> Callable[[tree.Fold, Scope, str, list[int]], Evaluated]:
    """A fold over known values; where some are unknown, the known ones bound it on one side (`ends`), or not at all."""

    def fold(node: tree.Fold, scope: Scope, base: str, chosen: list[int]) -> Evaluated:
        values = [scope.read(f"{base}.{index}.{node.field}") for index in chosen]
        known = [value for value in values if not isinstance(value, Nothing | Unknown | Range)]
        unknown = [
            Unknown(v.causes, v) if isinstance(v, Range) else v for v in values if isinstance(v, Unknown | Range)
        ]
        if not unknown:
            return pick(known) if known else NONE
        together = joined(unknown, ("fold", node.name, base))
        if not known or ends is None:
            return together
        return Range(*ends(pick(known)), together.causes)

    return fold


def _total(node: tree.Fold, scope: Scope, base: str, chosen: list[int]) -> Evaluated:
    """The total of known values. One that is known to be none leaves it open: nobody knows what to add."""
    paths = [f"{base}.{index}.{node.field}" for index in chosen]
    values = [
        missing(path, "none is noted; a total needs it") if (value := scope.read(path)) == NONE else value
        for path in paths
    ]
    unknown = [Unknown(v.causes, v) if isinstance(v, Range) else v for v in values if isinstance(v, Unknown | Range)]
    if unknown:
        return joined(unknown, ("fold", node.name, base))
    return total(value for value in values if isinstance(value, int | float)) if values else NONE


def _ended(at: int) -> Callable[[tree.Fold, Scope, str, list[int]], Evaluated]:
    def fold(node: tree.Fold, scope: Scope, base: str, chosen: list[int]) -> Evaluated:
        return scope.read(f"{base}.{chosen[at]}.{node.field}") if chosen else NONE

    return fold


def _timed(node: tree.Fold, scope: Scope, base: str, chosen: list[int]) -> list[tuple[float, float]] | Unknown:
    """(clock, value) pairs in order of the clock, or why they are not all known."""
    pairs, unknown = [], []
    for index in chosen:
        clock, value = scope.read(f"{base}.{index}.{node.clock}"), scope.read(f"{base}.{index}.{node.field}")
        unknown += [part for part in (clock, value) if isinstance(part, Unknown)]
        if isinstance(clock, int | float) and isinstance(value, int | float):
            pairs.append((float(clock), float(value)))
    return joined(unknown, ("fold", node.name, base)) if unknown else sorted(pairs)


def _highest_until(node: tree.Fold, scope: Scope, base: str, chosen: list[int]) -> Evaluated:
    """The highest value up to a time. Readings that stop too early leave open how high it went after them."""
    assert node.until is not None
    pairs, until = _timed(node, scope, base, chosen), evaluate(node.until, scope)
    if isinstance(pairs, Unknown):
        return pairs
    if isinstance(until, Unknown | Range | Nothing):
        return until if isinstance(until, Unknown | Nothing) else Unknown(until.causes, ("until", base))
    assert isinstance(until, int | float)
    within = [value for clock, value in pairs if clock <= until + IN_STEP]
    if not within:
        return missing(base)
    if pairs[-1][0] >= until - IN_STEP and any(abs(clock - until) <= IN_STEP for clock, _ in pairs):
        return max(within)
    after = [value for clock, value in pairs if clock > until]
    cause = Cause(
        "not_recorded",
        base,
        f"the readings stop short of {until:g} minutes" if not after else f"no reading at {until:g} minutes",
    )
    return Range(max(within), max(*within, after[0]) if after else math.inf, frozenset([cause]))


def _at(node: tree.Fold, scope: Scope, base: str, chosen: list[int]) -> Evaluated:
    assert node.until is not None
    pairs, until = _timed(node, scope, base, chosen), evaluate(node.until, scope)
    if isinstance(pairs, Unknown):
        return pairs
    if isinstance(until, Unknown | Nothing):
        return until
    for clock, value in pairs:
        if isinstance(until, int | float) and abs(clock - until) <= IN_STEP:
            return value
    return missing(base)


FOLDS: dict[str, Callable[[tree.Fold, Scope, str, list[int]], Evaluated]] = {
    "count": _count,
    "count_so_far": _count_so_far,
    "first": _ended(0),
    "last": _ended(-1),
    "lowest": _picked(min, lambda known: (-math.inf, known)),
    "highest": _picked(max, lambda known: (known, math.inf)),
    "average": _picked(mean, None),
    "total": _total,
    "at": _at,
    "highest_until": _highest_until,
}
