"""The tree walk: what a node is worth on one job. The oracle of every faster backend, and the explainer.

A value is known (a number, word, yes or no, day number), `NONE` (looked for, there is none), a `Range` of possible
values, or `Unknown`. A condition is true, false or `Unknown`: strong Kleene logic. `Unknown` says why it is unknown
(`causes`) and what is left to settle (`trace`), so that what was absorbed on the way leaves no mark.
"""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Iterator, Mapping
from itertools import product
from typing import Any, NamedTuple, Protocol

from checker import tree
from checker.trade import functions
from checker.trade.function import OutOfRange


class Cause(NamedTuple):
    """Why something is unknown: `reason` out of the closed list, the fact (full path), and more in words."""

    reason: str
    fact: str
    detail: str = ""


class Unknown(NamedTuple):
    causes: frozenset[Cause]
    trace: Any


class Range(NamedTuple):
    """Every value between two, both included."""

    low: float
    high: float
    causes: frozenset[Cause]


class Nothing(NamedTuple):
    """A known none."""


NONE = Nothing()
NO_CAUSES: frozenset[Cause] = frozenset()
Known = float | str | bool | int
Worth = Known | Nothing | Range | Unknown
Truth = bool | Unknown


class Facts(Protocol):
    """What the walk needs to know of a job."""

    def value(self, path: str) -> Worth | None:
        """What is recorded at a full path; None where nothing is."""

    def possible(self, path: str) -> tuple[Known | Nothing, ...] | Range | None:
        """Every value an unrecorded fact could have, where that is a closed list or a range."""

    def items(self, path: str) -> tuple[str, ...] | None:
        """The keys of a recorded list, in order; None where the list is not recorded."""


class Scope:
    """One rule looked at on one job: which item, what is assumed for a trial, and names already worked out."""

    def __init__(
        self,
        facts: Facts,
        where: Mapping[str, tree.Value],
        item: str = "",
        outer: str = "",
        assumed: Mapping[str, Known | Nothing] | None = None,
        moved: Mapping[str, float] | None = None,
        guard: Callable[[tree.Compare, Scope], Unknown | None] | None = None,
    ) -> None:
        self.facts, self.where, self.item, self.outer = facts, where, item, outer
        self.assumed, self.moved, self.guard = assumed or {}, moved or {}, guard
        self.named: dict[str, Worth] = {}

    def assuming(self, assumed: Mapping[str, Known | Nothing]) -> Scope:
        """The same look with some unrecorded facts taken to have these values."""
        return Scope(self.facts, self.where, self.item, self.outer, {**self.assumed, **assumed}, self.moved, self.guard)

    def moving(self, moved: Mapping[str, float]) -> Scope:
        """The same look with some readings moved by so much, in base units."""
        return Scope(self.facts, self.where, self.item, self.outer, self.assumed, moved)

    def path(self, fact: tree.Fact) -> str:
        prefix = {"job": "", "item": self.item, "outer": self.outer}[fact.frame]
        return f"{prefix}.{fact.path}" if prefix and fact.path else prefix or fact.path

    def read(self, path: str) -> Worth:
        """What is known at a full path."""
        if path in self.assumed:
            return self.assumed[path]
        found = self.facts.value(path)
        if found is None:
            possible = self.facts.possible(path)
            return possible if isinstance(possible, Range) else missing(path)
        if path in self.moved and isinstance(found, int | float):
            return found + self.moved[path]
        return found


def missing(path: str, detail: str = "") -> Unknown:
    return Unknown(frozenset([Cause("not_recorded", path, detail)]), ("fact", path))


# --- values ----------------------------------------------------------------------------------------------------------


def worth(node: tree.Value, scope: Scope) -> Worth:
    """What a value node is worth."""
    return _WORTH[type(node)](node, scope)


def _named(node: tree.Named, scope: Scope) -> Worth:
    if node.name not in scope.named:
        scope.named[node.name] = worth(scope.where[node.name], scope)
    return scope.named[node.name]


def _constant(node: tree.Constant, _: Scope) -> Worth:
    if node.value is None:
        return Unknown(
            frozenset([Cause("not_adopted", "", f"the limit '{node.name}' is left to the place")]), ("open", node.name)
        )
    return node.value  # type: ignore[return-value]


ARITHMETIC = {"+": operator.add, "-": operator.sub, "*": operator.mul, "/": operator.truediv}
MOVES = {"+": (1, 1), "-": (1, -1)}


def _arithmetic(node: tree.Arithmetic, scope: Scope) -> Worth:
    left, right = worth(node.left, scope), worth(node.right, scope)
    day_moved = node.kind == "date"

    def work(a: float, b: float) -> float:
        if node.operator == "/" and b == 0:
            raise OutOfRange("a division by zero")
        return (
            int(a + math.copysign(1, {"+": 1, "-": -1}[node.operator]) * b / 1440)
            if day_moved
            else ARITHMETIC[node.operator](a, b)
        )

    result = _apply(work, (left, right), MOVES.get(node.operator, (0, 0)), ("sum", node.operator))
    if node.operator == "-" and node.kind == "duration" and not day_moved and _is_day(node.left):
        return _scaled(result, 1440)
    return result


def _is_day(node: tree.Value) -> bool:
    return getattr(node, "kind", "") == "date"


def _scaled(value: Worth, by: float) -> Worth:
    if isinstance(value, Range):
        return Range(value.low * by, value.high * by, value.causes)
    return value * by if isinstance(value, int | float) else value


def _call(node: tree.Call, scope: Scope) -> Worth:
    function = functions()[node.function]
    values = tuple(worth(argument, scope) for argument in node.arguments)
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


def _apply(work: Callable[..., Any], values: tuple[Worth, ...], moves: tuple[int, ...], name: tuple[str, str]) -> Worth:
    """Work on values of which some may be unknown, none, or a range that the work is monotone in."""
    if any(value == NONE and isinstance(value, Nothing) for value in values):
        return NONE
    unknown = [value for value in values if isinstance(value, Unknown)]
    ranges = [value for value in values if isinstance(value, Range)]
    causes = frozenset().union(*(value.causes for value in (*unknown, *ranges)))
    trace = (*name, *(value.trace if isinstance(value, Unknown) else value for value in values))
    if unknown or any(isinstance(value, Range) and not move for value, move in zip(values, moves, strict=True)):
        return Unknown(causes, trace)
    try:
        if not ranges:
            return work(*values)  # type: ignore[no-any-return]
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
    return Range(ends[0], ends[1], causes)


def _first_given(node: tree.FirstGiven, scope: Scope) -> Worth:
    first = worth(node.first, scope)
    return worth(node.second, scope) if isinstance(first, Nothing) else first


def _lookup(node: tree.Lookup, scope: Scope) -> Worth:
    keys = tuple(worth(key, scope) for key in node.keys)
    if any(isinstance(key, Nothing) for key in keys):
        return NONE
    unknown = [key for key in keys if isinstance(key, Unknown | Range)]
    if unknown:
        causes = frozenset().union(*(key.causes for key in unknown))
        return Unknown(causes, ("table", node.table, *keys))
    for row in node.rows:
        if all(_hit(part, key) for part, key in zip(row.keys, keys, strict=True)):
            return NONE if row.value is None else row.value
    detail = f"no row of '{node.table}' serves {', '.join(map(str, keys))}"
    return _blame(
        Unknown(frozenset([Cause("implausible", "", detail)]), ("table", node.table, *keys)),
        sorted(facts_read(node, scope)),
    )


def _hit(part: str | tuple[float, float], key: Worth) -> bool:
    if isinstance(part, tuple):
        return isinstance(key, int | float) and part[0] <= key < part[1]
    return part == key


# --- folds -----------------------------------------------------------------------------------------------------------


def _fold(node: tree.Fold, scope: Scope) -> Worth:
    base = scope.path(node.items)
    keys = scope.facts.items(base)
    if keys is None:
        return missing(base)
    chosen: list[int] = []
    doubts: list[Unknown] = []
    for index in range(len(keys)):
        belongs = _belongs(node, scope, f"{base}.{index}")
        if isinstance(belongs, Unknown):
            doubts.append(belongs)
        elif belongs:
            chosen.append(index)
    if doubts:
        causes = frozenset().union(*(doubt.causes for doubt in doubts))
        if node.name == "count":
            return Range(len(chosen), len(chosen) + len(doubts), causes)
        return Unknown(causes, ("fold", node.name, base, frozenset(doubt.trace for doubt in doubts)))
    return FOLDS[node.name](node, scope, base, chosen)


def _belongs(node: tree.Fold, scope: Scope, item: str) -> Truth:
    if node.where is None:
        return True
    field, value = node.where
    found, wanted = scope.read(f"{item}.{field}"), worth(value, scope)
    return _compared("==", found, wanted, 0.0)


def _count(_: tree.Fold, __: Scope, ___: str, chosen: list[int]) -> Worth:
    return float(len(chosen))


def _picked(pick: Callable[[list[Any]], Any]) -> Callable[[tree.Fold, Scope, str, list[int]], Worth]:
    def fold(node: tree.Fold, scope: Scope, base: str, chosen: list[int]) -> Worth:
        values = [scope.read(f"{base}.{index}.{node.field}") for index in chosen]
        values = [value for value in values if not isinstance(value, Nothing)]
        unknown = [value for value in values if isinstance(value, Unknown)]
        if unknown:
            return _joined(unknown, ("fold", node.name, base))
        return pick(values) if values else NONE  # type: ignore[no-any-return]

    return fold


def _ended(at: int) -> Callable[[tree.Fold, Scope, str, list[int]], Worth]:
    def fold(node: tree.Fold, scope: Scope, base: str, chosen: list[int]) -> Worth:
        return scope.read(f"{base}.{chosen[at]}.{node.field}") if chosen else NONE

    return fold


def _joined(unknown: list[Unknown], name: tuple[str, ...]) -> Unknown:
    causes = frozenset().union(*(value.causes for value in unknown))
    return Unknown(causes, (*name, frozenset(value.trace for value in unknown)))


def _timed(node: tree.Fold, scope: Scope, base: str, chosen: list[int]) -> list[tuple[float, float]] | Unknown:
    """(clock, value) pairs in order of the clock, or why they are not all known."""
    pairs, unknown = [], []
    for index in chosen:
        clock, value = scope.read(f"{base}.{index}.{node.clock}"), scope.read(f"{base}.{index}.{node.field}")
        unknown += [part for part in (clock, value) if isinstance(part, Unknown)]
        if isinstance(clock, int | float) and isinstance(value, int | float):
            pairs.append((float(clock), float(value)))
    return _joined(unknown, ("fold", node.name, base)) if unknown else sorted(pairs)


def _highest_until(node: tree.Fold, scope: Scope, base: str, chosen: list[int]) -> Worth:
    """The highest value up to a time. Readings that stop too early leave open how high it went after them."""
    assert node.until is not None
    pairs, until = _timed(node, scope, base, chosen), worth(node.until, scope)
    if isinstance(pairs, Unknown):
        return pairs
    if isinstance(until, Unknown | Range | Nothing):
        return until if isinstance(until, Unknown | Nothing) else Unknown(until.causes, ("until", base))
    assert isinstance(until, int | float)
    within = [value for clock, value in pairs if clock <= until + 1e-6]
    if not within:
        return missing(base)
    if pairs[-1][0] >= until - 1e-6 and any(abs(clock - until) <= 1e-6 for clock, _ in pairs):
        return max(within)
    after = [value for clock, value in pairs if clock > until]
    cause = Cause(
        "not_recorded",
        base,
        f"the readings stop short of {until:g} minutes" if not after else f"no reading at {until:g} minutes",
    )
    return Range(max(within), max(*within, after[0]) if after else math.inf, frozenset([cause]))


def _at(node: tree.Fold, scope: Scope, base: str, chosen: list[int]) -> Worth:
    assert node.until is not None
    pairs, until = _timed(node, scope, base, chosen), worth(node.until, scope)
    if isinstance(pairs, Unknown):
        return pairs
    if isinstance(until, Unknown | Nothing):
        return until
    for clock, value in pairs:
        if isinstance(until, int | float) and abs(clock - until) <= 1e-6:
            return value
    return missing(base)


FOLDS: dict[str, Callable[[tree.Fold, Scope, str, list[int]], Worth]] = {
    "count": _count,
    "first": _ended(0),
    "last": _ended(-1),
    "lowest": _picked(min),
    "highest": _picked(max),
    "average": _picked(lambda values: sum(values) / len(values)),
    "at": _at,
    "highest_until": _highest_until,
}

_WORTH: dict[type, Callable[[Any, Scope], Worth]] = {
    tree.Fact: lambda node, scope: scope.read(scope.path(node)),
    tree.Constant: _constant,
    tree.Named: _named,
    tree.Arithmetic: _arithmetic,
    tree.Call: _call,
    tree.FirstGiven: _first_given,
    tree.Lookup: _lookup,
    tree.Fold: _fold,
}


# --- conditions ------------------------------------------------------------------------------------------------------


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
    values = [worth(operand, scope) for operand in node.operands]
    parts = [_compared(op, values[i], values[i + 1], node.grain) for i, op in enumerate(node.operators)]
    return all_of(parts)


COMPARED: dict[str, Callable[[float, float, float], bool]] = {
    "<=": lambda a, b, grain: a <= b + grain,
    "<": lambda a, b, grain: a < b - grain,
    ">=": lambda a, b, grain: a >= b - grain,
    ">": lambda a, b, grain: a > b + grain,
    "==": lambda a, b, grain: abs(a - b) <= grain,
    "!=": lambda a, b, grain: abs(a - b) > grain,
}


def _compared(op: str, left: Worth, right: Worth, grain: float) -> Truth:
    """One comparison. A known none is equal to nothing and on no side of anything."""
    if isinstance(left, Nothing) or isinstance(right, Nothing):
        return op == "!="
    unknown = [value for value in (left, right) if isinstance(value, Unknown)]
    if unknown:
        causes = frozenset().union(*(value.causes for value in (left, right) if isinstance(value, Unknown | Range)))
        return Unknown(causes, (op, *(value.trace if isinstance(value, Unknown) else value for value in (left, right))))
    if isinstance(left, Range) or isinstance(right, Range):
        return _compared_ranges(op, _as_range(left), _as_range(right), grain)
    if isinstance(left, str) or isinstance(right, str):
        return (left == right) if op == "==" else (left != right)
    return COMPARED[op](left, right, grain)


def _as_range(value: Any) -> Range:
    return value if isinstance(value, Range) else Range(value, value, NO_CAUSES)


def _compared_ranges(op: str, left: Range, right: Range, grain: float) -> Truth:
    if op in ("==", "!="):
        apart = left.high < right.low - grain or left.low > right.high + grain
        if apart:
            return op == "!="
        same = left.low == left.high == right.low == right.high
        return (op == "==") if same else Unknown(left.causes | right.causes, (op, left, right))
    holds = {COMPARED[op](a, b, grain) for a, b in product((left.low, left.high), (right.low, right.high))}
    return holds.pop() if len(holds) == 1 else Unknown(left.causes | right.causes, (op, left, right))


MOST_COMBINATIONS = 64


def _over_every_value(node: tree.Compare | tree.Member, scope: Scope, result: Unknown) -> Truth:
    """True if true for every value the unrecorded facts could have, false if false for all, else unknown."""
    choices = open_choices([node], scope)
    if not choices:
        return result
    plainly = _compare_plainly if isinstance(node, tree.Compare) else _member_plainly
    answers = {plainly(node, scope.assuming(world)) for world in combinations(choices)}  # type: ignore[operator]
    first = next(iter(answers))
    return first if len(answers) == 1 and isinstance(first, bool) else result


def open_choices(nodes: list[Any], scope: Scope) -> dict[str, tuple[Known | Nothing, ...]]:
    """The unrecorded facts in these nodes that have a closed list of values; empty where they are too many to try."""
    found: dict[str, tuple[Known | Nothing, ...]] = {}
    size = 1
    for path in sorted({path for node in nodes for path in facts_read(node, scope)}):
        if path in scope.assumed or scope.facts.value(path) is not None:
            continue
        possible = scope.facts.possible(path)
        if isinstance(possible, tuple) and not isinstance(possible, Range):
            found[path] = possible
            size *= len(possible)
    return found if size <= MOST_COMBINATIONS else {}


def combinations(choices: Mapping[str, tuple[Known | Nothing, ...]]) -> Iterator[dict[str, Known | Nothing]]:
    """Every way of filling in these facts."""
    for values in product(*choices.values()):
        yield dict(zip(choices, values, strict=True))


def _member(node: tree.Member, scope: Scope) -> Truth:
    result = _member_plainly(node, scope)
    return _over_every_value(node, scope, result) if isinstance(result, Unknown) else result


def _member_plainly(node: tree.Member, scope: Scope) -> Truth:
    value = worth(node.value, scope)
    if isinstance(value, Unknown):
        return Unknown(value.causes, ("in", node.words, node.negated, value.trace))
    return (value in node.words) != node.negated


def _truth_of(node: tree.Truth, scope: Scope) -> Truth:
    value = worth(node.value, scope)
    if isinstance(value, Unknown):
        return Unknown(value.causes, ("flag", value.trace))
    return value is True


def _given(node: tree.Given, scope: Scope) -> Truth:
    value = scope.read(scope.path(node.fact))
    if isinstance(value, Unknown | Range):
        trace = value.trace if isinstance(value, Unknown) else ("fact", scope.path(node.fact))
        return Unknown(value.causes, ("given", node.none, trace))
    return isinstance(value, Nothing) == node.none


def _not(node: tree.Not, scope: Scope) -> Truth:
    return negated(truth(node.condition, scope))


def negated(value: Truth) -> Truth:
    return Unknown(value.causes, ("not", value.trace)) if isinstance(value, Unknown) else not value


def all_of(values: list[Truth]) -> Truth:
    """True if all are, false if any is false, else unknown with what is left to settle."""
    if any(value is False for value in values):
        return False
    unknown = [value for value in values if isinstance(value, Unknown)]
    if not unknown:
        return True
    return unknown[0] if len(unknown) == 1 else _joined(unknown, ("all",))


def any_of(values: list[Truth]) -> Truth:
    """True if any is, false if all are false, else unknown with what is left to settle."""
    if any(value is True for value in values):
        return True
    unknown = [value for value in values if isinstance(value, Unknown)]
    if not unknown:
        return False
    return unknown[0] if len(unknown) == 1 else _joined(unknown, ("any",))


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


# --- what is read ----------------------------------------------------------------------------------------------------


def facts_read(node: Any, scope: Scope) -> frozenset[str]:
    """The full paths of the facts a node names, through names under `where` and the items of recorded lists."""
    return frozenset(reads(node, scope))


def reads(node: Any, scope: Scope) -> Iterator[str]:
    """The same, a path as often as it is read."""
    if isinstance(node, tree.Fact):
        yield scope.path(node)
    elif isinstance(node, tree.Named):
        yield from reads(scope.where[node.name], scope)
    elif isinstance(node, tree.Fold):
        yield from _fold_reads(node, scope)
    elif isinstance(node, tuple) and not isinstance(node, tree.Constant):
        for part in node:
            yield from reads(part, scope)


def _fold_reads(node: tree.Fold, scope: Scope) -> Iterator[str]:
    base = scope.path(node.items)
    keys = scope.facts.items(base)
    if keys is None:
        yield base
        return
    for field in (node.field, node.clock, node.where[0] if node.where else ""):
        yield from (f"{base}.{index}.{field}" for index in range(len(keys)) if field)
    for part in (node.where[1] if node.where else None, node.until):
        if part is not None:
            yield from reads(part, scope)
