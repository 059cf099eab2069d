"""What is known, what is not and why: the values of the three-valued logic, and how they combine.

A value is known (a number, word, yes or no, day number), `NONE` (looked for, there is none), a `Range` of possible
values, or `Unknown`. A condition is true, false or `Unknown`: strong Kleene logic. `Unknown` says why it is unknown
(`causes`) and what is left to settle (`trace`), so that what was absorbed on the way leaves no mark.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import product
from typing import Any, NamedTuple, Protocol

from checker.ir import tree


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
Evaluated = Known | Nothing | Range | Unknown
Truth = bool | Unknown


class Facts(Protocol):
    """What the walk needs to know of a job."""

    def value(self, path: str) -> Evaluated | None:
        """What is recorded at a full path; None where nothing is."""

    def recorded(self, path: str, otherwise: Any, /) -> Any:
        """What is recorded at a full path, of which `value` is what it is; `otherwise` where nothing is."""

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
        self.named: dict[str, Evaluated] = {}

    def assuming(self, assumed: Mapping[str, Known | Nothing]) -> Scope:
        """The same look with some unrecorded facts taken to have these values."""
        return Scope(self.facts, self.where, self.item, self.outer, {**self.assumed, **assumed}, self.moved, self.guard)

    def moving(self, moved: Mapping[str, float]) -> Scope:
        """The same look with some readings moved by so much, in base units."""
        return Scope(self.facts, self.where, self.item, self.outer, self.assumed, moved)

    def path(self, fact: tree.Fact) -> str:
        prefix = {"job": "", "item": self.item, "outer": self.outer}[fact.frame]
        return f"{prefix}.{fact.path}" if prefix and fact.path else prefix or fact.path

    def read(self, path: str) -> Evaluated:
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


# --- logic ---


def negated(value: Truth) -> Truth:
    return Unknown(value.causes, ("not", value.trace)) if isinstance(value, Unknown) else not value


def all_of(values: list[Truth]) -> Truth:
    """True if all are, false if any is false, else unknown with what is left to settle."""
    return _together(values, False, "all")


def any_of(values: list[Truth]) -> Truth:
    """True if any is, false if all are false, else unknown with what is left to settle."""
    return _together(values, True, "any")


def _together(values: list[Truth], deciding: bool, name: str) -> Truth:
    """The deciding value if any part has it, the other if all parts are known, else what is left to settle."""
    if any(value is deciding for value in values):
        return deciding
    unknown = [value for value in values if isinstance(value, Unknown)]
    if not unknown:
        return not deciding
    return unknown[0] if len(unknown) == 1 else joined(unknown, (name,))


def joined(unknown: list[Unknown], name: tuple[str, ...]) -> Unknown:
    causes = frozenset[Cause]().union(*(value.causes for value in unknown))
    return Unknown(causes, (*name, frozenset(value.trace for value in unknown)))


COMPARED: dict[str, Callable[[float, float, float], bool]] = {
    "<=": lambda a, b, grain: a <= b + grain,
    "<": lambda a, b, grain: a < b - grain,
    ">=": lambda a, b, grain: a >= b - grain,
    ">": lambda a, b, grain: a > b + grain,
    "==": lambda a, b, grain: abs(a - b) <= grain,
    "!=": lambda a, b, grain: abs(a - b) > grain,
}


def compared(op: str, left: Evaluated, right: Evaluated, grain: float) -> Truth:
    """One comparison. A known none is equal to nothing and on no side of anything."""
    if isinstance(left, Nothing) or isinstance(right, Nothing):
        return op == "!="
    unknown = [value for value in (left, right) if isinstance(value, Unknown)]
    if unknown:
        causes = frozenset[Cause]().union(
            *(value.causes for value in (left, right) if isinstance(value, Unknown | Range))
        )
        return Unknown(causes, (op, *(value.trace if isinstance(value, Unknown) else value for value in (left, right))))
    if isinstance(left, Range) or isinstance(right, Range):
        return _compared_ranges(op, _as_range(left), _as_range(right), grain)
    if isinstance(left, str) or isinstance(right, str):
        return (left == right) if op == "==" else (left != right)
    assert isinstance(left, int | float)
    assert isinstance(right, int | float)
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
