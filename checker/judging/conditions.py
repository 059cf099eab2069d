"""The tree walk: whether a condition holds on one job. The oracle of every faster backend, and the explainer."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import product
from math import prod
from typing import Any

from checker.ir import tree
from checker.ir.kleene import (
    Cause,
    Evaluated,
    Known,
    Nothing,
    Range,
    Scope,
    Truth,
    Unknown,
    all_of,
    any_of,
    compared,
    negated,
)
from checker.ir.node import Node
from checker.ir.references import facts_read
from checker.ir.visitor import walk_through
from checker.judging.lists import folded
from checker.judging.values import EVALUATED, ends_of, evaluate


def truth(node: tree.Condition, scope: Scope) -> Truth:
    """Whether a condition holds."""
    return _TRUTH[type(node)](node, scope)


def _compare(node: tree.Compare, scope: Scope) -> Truth:
    result = _compare_plainly(node, scope)
    if isinstance(result, Unknown):
        return _over_every_value(node, scope, result)
    doubt = scope.guard(node, scope) if scope.guard else None
    return result if doubt is None else doubt


def _compare_plainly(node: tree.Compare, scope: Scope) -> Truth:
    values = [evaluate(operand, scope) for operand in node.operands]
    parts = [compared(op, values[i], values[i + 1], node.grain) for i, op in enumerate(node.operators)]
    return all_of(parts)


MOST_COMBINATIONS = 64


def _over_every_value(node: tree.Compare | tree.Member, scope: Scope, result: Unknown) -> Truth:
    """True if true for every value the unrecorded facts could have, false if false for all, else unknown."""
    choices = open_choices([node], scope)
    if not choices:
        return result
    plainly: Callable[[Any, Scope], Truth] = _compare_plainly if isinstance(node, tree.Compare) else _member_plainly
    answers = set[bool]()
    for world in combinations(choices):
        answer = plainly(node, scope.assuming(world))
        if isinstance(answer, Unknown):
            return result
        answers.add(answer)
        if len(answers) > 1:
            return result
    return answers.pop()


def open_choices(nodes: Sequence[Any], scope: Scope) -> dict[str, tuple[Known | Nothing, ...]]:
    """The facts in these nodes that are open and have a closed list of values; empty where they are too many to try."""
    found = all_open_choices(nodes, scope)
    return found if prod(map(len, found.values())) <= MOST_COMBINATIONS else {}


def all_open_choices(nodes: Sequence[Any], scope: Scope) -> dict[str, tuple[Known | Nothing, ...]]:
    """The same, however many they are.

    A day known to lie between two days stands for one day of each piece that the dates it is compared with cut.
    """
    found: dict[str, tuple[Known | Nothing, ...]] = {}
    for path in sorted({path for node in nodes for path in facts_read(node, scope)}):
        if path in scope.assumed:
            continue
        value = scope.facts.value(path)
        possible = scope.facts.possible(path) if value is None else _days(path, value, nodes, scope)
        if isinstance(possible, tuple) and not isinstance(possible, Range):
            found[path] = possible
    return found


def open_in_list(node: tree.Fold, scope: Scope) -> dict[str, tuple[Known | Nothing, ...]]:
    """The same of a list taken together."""
    base, facts = scope.path(node.items), scope.facts
    fields = [field for field in (node.field, node.clock, *(part.field for part in node.where)) if field]
    values = (*(part.value for part in node.where), *([node.until] if node.until else []))
    found = all_open_choices(values, scope)
    for path in [f"{base}.{at}.{field}" for at in range(len(facts.items(base) or ())) for field in fields]:
        value = None if path in scope.assumed else facts.value(path)
        if isinstance(value, Range):
            return all_open_choices([node], scope)
        possible = facts.possible(path) if value is None and path not in scope.assumed else None
        if isinstance(possible, tuple) and not isinstance(possible, Range):
            found[path] = possible
    return found


def _days(path: str, value: Evaluated, nodes: Sequence[Any], scope: Scope) -> tuple[int, ...] | None:
    """A day for each piece that the days it is compared with cut; None where not all of those are known."""
    if not isinstance(value, Range) or not any(cause.reason == "date_unknown" for cause in value.causes):
        return None
    parts = [part for node in nodes for part in walk_through(node, scope.where)]
    if any(isinstance(part, tree.Call | tree.Fold) or _moves_days(part) for part in parts):
        return None
    others = {scope.path(part) for part in parts if isinstance(part, tree.Fact) and part.kind == "date"} - {path}
    limits: list[Any] = [part.value for part in parts if isinstance(part, tree.Constant) and part.kind == "date"]
    recorded: list[Any] = [scope.facts.value(other) for other in others]
    days = [day for day in limits + recorded if isinstance(day, int)]
    if len(days) < len(limits + recorded):
        return None
    tried = {int(value.low), int(value.high), *(day + step for day in days for step in (-1, 0, 1))}
    return tuple(sorted(day for day in tried if value.low <= day <= value.high))


def _moves_days(part: Node) -> bool:
    return isinstance(part, tree.Arithmetic) and part.kind in ("date", "duration")


def combinations(choices: Mapping[str, tuple[Known | Nothing, ...]]) -> Iterator[dict[str, Known | Nothing]]:
    """Every way of filling in these facts."""
    for values in product(*choices.values()):
        yield dict(zip(choices, values, strict=True))


def _member(node: tree.Member, scope: Scope) -> Truth:
    result = _member_plainly(node, scope)
    return _over_every_value(node, scope, result) if isinstance(result, Unknown) else result


def _member_plainly(node: tree.Member, scope: Scope) -> Truth:
    value = evaluate(node.value, scope)
    if isinstance(value, Unknown):
        return Unknown(value.causes, ("in", node.words, node.negated, value.trace))
    return (value in node.words) != node.negated


def _truth_of(node: tree.Truth, scope: Scope) -> Truth:
    value = evaluate(node.value, scope)
    if isinstance(value, Unknown):
        return Unknown(value.causes, ("flag", value.trace))
    return value is True


def _given(node: tree.Given, scope: Scope) -> Truth:
    value = scope.read(scope.path(node.fact))
    if isinstance(value, Unknown | Range):
        trace = value.trace if isinstance(value, Unknown) else ("fact", scope.path(node.fact))
        return Unknown(value.causes, ("given", node.none, trace))
    return isinstance(value, Nothing) == node.none


def _choice(node: tree.Choice, scope: Scope) -> Evaluated:
    """The value that a condition picks. Where it is not known: every amount between the two, or what both values are."""
    held = truth(node.condition, scope)
    if not isinstance(held, Unknown):
        return evaluate(node.value if held else node.otherwise, scope)
    values = [evaluate(one, scope) for one in (node.value, node.otherwise)]
    open_ones = [value for value in values if isinstance(value, Unknown | Range)]
    if not open_ones and values[0] == values[1]:
        return values[0]
    causes = held.causes.union(*(value.causes for value in open_ones))
    if all(isinstance(value, int | float | Range) and not isinstance(value, bool) for value in values):
        (low, high), (other_low, other_high) = map(ends_of, values)
        return Range(min(low, other_low), max(high, other_high), causes)
    return Unknown(causes, ("choice", held.trace, *(v.trace if isinstance(v, Unknown) else v for v in values)))


EVALUATED |= {tree.Choice: _choice, tree.Fold: folded}


def _not(node: tree.Not, scope: Scope) -> Truth:
    return negated(truth(node.condition, scope))


def _unsettled(node: tree.Unsettled, _: Scope) -> Truth:
    return Unknown(
        frozenset([Cause("not_adopted", "", f"which edition of {node.code} is in force")]),
        ("edition", node.code, node.text),
    )


_TRUTH: dict[type, Callable[[Any, Scope], Truth]] = {
    tree.Compare: _compare,
    tree.Member: _member,
    tree.Truth: _truth_of,
    tree.Given: _given,
    tree.Not: _not,
    tree.All: lambda node, scope: all_of([truth(part, scope) for part in node.conditions]),
    tree.AnyOf: lambda node, scope: any_of([truth(branch.condition, scope) for branch in node.branches]),
    tree.NoneOf: lambda node, scope: negated(any_of([truth(part, scope) for part in node.conditions])),
    tree.Constantly: lambda node, _: node.value,
    tree.Unsettled: _unsettled,
}
