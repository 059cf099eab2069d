"""What a value node comes to on one job: facts, limits, arithmetic, functions, tables and lists taken together."""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

from checker.ir import tree
from checker.ir.kleene import (
    NONE,
    Cause,
    Evaluated,
    Nothing,
    Range,
    Scope,
    Unknown,
    joined,
)
from checker.ir.references import facts_read
from checker.trade import functions
from checker.trade.function import OutOfRange


def evaluate(node: tree.Value, scope: Scope) -> Evaluated:
    """What a value node comes to."""
    return EVALUATED[type(node)](node, scope)


def _named(node: tree.Named, scope: Scope) -> Evaluated:
    if node.name not in scope.named:
        scope.named[node.name] = evaluate(scope.where[node.name], scope)
    return scope.named[node.name]


def _constant(node: tree.Constant, _: Scope) -> Evaluated:
    if node.value is None:
        return Unknown(frozenset([Cause("not_adopted", "", f"{OPEN}{node.name}")]), ("open", node.name))
    return node.value  # type: ignore[return-value]


MINUTES_A_DAY = 1440
OPEN = "left open: "  # before the name of a limit that no ruleset of the place sets
ARITHMETIC = {"+": operator.add, "-": operator.sub, "*": operator.mul, "/": operator.truediv}
EXTREMES: dict[str, Callable[[float, float], float]] = {"larger_of": max, "smaller_of": min}
MOVES = {"+": (1, 1), "-": (1, -1)}


def _arithmetic(node: tree.Arithmetic, scope: Scope) -> Evaluated:
    left, right = evaluate(node.left, scope), evaluate(node.right, scope)
    if node.operator in EXTREMES:
        return _extreme(node.operator, [left, right])
    work = moved_day(node.operator) if node.kind == "date" else _worked(node.operator)
    result = _apply(work, (left, right), MOVES.get(node.operator, (0, 0)), ("sum", node.operator))
    if node.operator == "-" and node.kind == "duration" and _is_day(node.left):
        return _scaled(result, MINUTES_A_DAY)
    return result


def _extreme(name: str, values: list[Evaluated]) -> Evaluated:
    """The larger or smaller of two values. A known none is passed over; one that is not known is bounded by the other."""
    there = [value for value in values if not isinstance(value, Nothing)]
    if len(there) < 2:
        return there[0] if there else NONE
    if all(isinstance(value, Unknown) for value in there):
        return joined([value for value in there if isinstance(value, Unknown)], ("sum", name))
    pick = EXTREMES[name]
    if not any(isinstance(value, Unknown | Range) for value in there):
        return pick(*there)  # type: ignore[arg-type]
    causes = frozenset[Cause]().union(*(value.causes for value in there if isinstance(value, Unknown | Range)))
    ends = [ends_of(value) for value in there]
    return Range(pick(ends[0][0], ends[1][0]), pick(ends[0][1], ends[1][1]), causes)


def ends_of(value: Any) -> tuple[float, float]:
    """The least and the most that a value can be."""
    if isinstance(value, Range):
        return value.low, value.high
    return (-math.inf, math.inf) if isinstance(value, Unknown) else (value, value)


def _worked(operator: str) -> Callable[[float, float], float]:
    def work(a: float, b: float) -> float:
        if operator == "/" and b == 0:
            raise OutOfRange("a division by zero")
        return float(ARITHMETIC[operator](a, b))

    return work


TOO_LARGE = "a result too large for a number"  # infinite, or no number at all


def _refuse_no_number(result: Any) -> None:
    """
    Raises:
        OutOfRange: A number that is not finite is on no side of any limit.
    """
    if isinstance(result, float) and not math.isfinite(result):
        raise OutOfRange(TOO_LARGE)


def moved_day(operator: str) -> Callable[[float, float], float]:
    """A day so many minutes on or back, as a day number."""

    def work(day: float, minutes: float) -> float:
        moved = ARITHMETIC[operator](day, minutes / MINUTES_A_DAY)
        return int(moved) if math.isfinite(moved) else float(moved)

    return work


def _is_day(node: tree.Value) -> bool:
    return getattr(node, "kind", "") == "date"


def _scaled(value: Evaluated, by: float) -> Evaluated:
    if isinstance(value, Range):
        return Range(value.low * by, value.high * by, value.causes)
    return value * by if isinstance(value, int | float) else value


def _call(node: tree.Call, scope: Scope) -> Evaluated:
    function = functions()[node.function]
    values = tuple(evaluate(argument, scope) for argument in node.arguments)
    for table in node.tables:
        if table.value is None:
            return _constant(table, scope)
    tables = tuple(table.value for table in node.tables)
    moves = tuple(argument.moves for argument in function.arguments)
    result = _apply(lambda *given: function.compute(*given, *tables), values, moves, ("call", node.function))
    if isinstance(result, Unknown):
        facts = sorted(facts_read(node, scope))
        return _blame(result, facts)
    return result


def _blame(result: Unknown, facts: list[str]) -> Unknown:
    """Name the facts that went into an implausible result."""
    causes = {
        c if c.fact or c.reason != "implausible" else c._replace(fact=facts[0] if facts else "") for c in result.causes
    }
    return Unknown(frozenset(causes), result.trace)


def _apply(
    work: Callable[..., Any], values: tuple[Evaluated, ...], moves: tuple[int, ...], name: tuple[str, str]
) -> Evaluated:
    """Work on values of which some may be unknown, none, or a range that the work is monotone in."""
    if any(value == NONE and isinstance(value, Nothing) for value in values):
        return NONE
    unknown = [value for value in values if isinstance(value, Unknown)]
    ranges = [value for value in values if isinstance(value, Range)]
    causes = joined([*unknown, *(Unknown(value.causes, None) for value in ranges)], name).causes
    trace = (*name, *(value.trace if isinstance(value, Unknown) else value for value in values))
    if unknown or any(isinstance(value, Range) and not move for value, move in zip(values, moves, strict=True)):
        return Unknown(causes, trace)
    try:
        if not ranges:
            result: Evaluated = work(*values)
            _refuse_no_number(result)
            return result
        ends = [
            work(
                *(
                    value if not isinstance(value, Range) else (value.low, value.high)[(move > 0) == high]
                    for value, move in zip(values, moves, strict=True)
                )
            )
            for high in (False, True)
        ]
    except OutOfRange as error:
        return Unknown(frozenset([Cause("implausible", "", str(error))]) | causes, trace)
    if any(end != end for end in ends):  # nobody knows what an open end less an open end is
        return Unknown(causes, trace)
    return Range(ends[0], ends[1], causes)


def _first_given(node: tree.FirstGiven, scope: Scope) -> Evaluated:
    first = evaluate(node.first, scope)
    return evaluate(node.second, scope) if isinstance(first, Nothing) else first


def _lookup(node: tree.Lookup, scope: Scope) -> Evaluated:
    keys = tuple(evaluate(key, scope) for key in node.keys)
    if any(isinstance(key, Nothing) for key in keys):
        return NONE
    unknown = [key for key in keys if isinstance(key, Unknown | Range)]
    if unknown:
        causes = frozenset[Cause]().union(*(key.causes for key in unknown))
        return Unknown(causes, ("table", node.table, *keys))
    found = looked_up(node, keys)
    if found is not None:
        return found
    detail = f"no row of '{node.table}' serves {', '.join(map(str, keys))}"
    return _blame(
        Unknown(frozenset([Cause("implausible", "", detail)]), ("table", node.table, *keys)),
        sorted(facts_read(node, scope)),
    )


def looked_up(node: tree.Lookup, keys: tuple[Evaluated, ...]) -> Evaluated | None:
    """The value of the first row that these keys are of, all of them known; None where there is no such row."""
    for row in _rows_for(node, keys):
        if all(_hit(part, key) for part, key in zip(row.keys, keys, strict=True)):
            return NONE if row.value is None else row.value
    return None


class _Words(NamedTuple):
    """A table, which of its keys are words in every row, and its rows by these."""

    table: tree.Lookup
    at: list[int]
    rows: dict[tuple[Any, ...], list[tree.Row]]


MOST_TABLES = 1000
_words: dict[int, _Words] = {}  # by the identity of a table, which is held, lest another come to have it


def _rows_for(node: tree.Lookup, keys: tuple[Evaluated, ...]) -> Sequence[tree.Row]:
    """The rows that have these words, in order; what is left to see is in which ranges the amounts lie."""
    found = _words.get(id(node))
    if found is None:
        if len(_words) >= MOST_TABLES:
            _words.clear()
        found = _words[id(node)] = _by_words(node)
    return found.rows.get(tuple(keys[index] for index in found.at), ())


def _by_words(node: tree.Lookup) -> _Words:
    at = [index for index in range(len(node.keys)) if all(isinstance(row.keys[index], str) for row in node.rows)]
    rows: dict[tuple[Any, ...], list[tree.Row]] = {}
    for row in node.rows:
        rows.setdefault(tuple(row.keys[index] for index in at), []).append(row)
    return _Words(node, at, rows)


def _hit(part: str | tuple[float, float], key: Evaluated) -> bool:
    if isinstance(part, tuple):
        return isinstance(key, int | float) and part[0] <= key < part[1]
    return part == key


# Each kind of value. `conditions` puts lists taken together here, and what hangs on a condition.
EVALUATED: dict[type, Callable[[Any, Scope], Evaluated]] = {
    tree.Fact: lambda node, scope: scope.read(scope.path(node)),
    tree.Constant: _constant,
    tree.Named: _named,
    tree.Arithmetic: _arithmetic,
    tree.Call: _call,
    tree.FirstGiven: _first_given,
    tree.Lookup: _lookup,
}
