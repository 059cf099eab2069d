"""Conditions and facts put together by hand, for tests of judging that need no rule file."""

from __future__ import annotations

import math
from typing import Any

from checker.ir import tree
from checker.ir.kleene import Cause, Known, Nothing, Range, Scope
from checker.ir.node import replace
from checker.judging.judge import Verdict, settle
from checker.judging.uncertainty import Accuracy, Margin, margin
from tests.support.small_domains import SmallFacts, rule

ROOT3 = math.sqrt(3)
TIGHT = 1e-9
LOW, CUT, HIGH = 100, 150, 200  # days
CLOSED: dict[str, Any] = {"p": (True, False), "q": (True, False)}


class Job(SmallFacts):
    """Facts by full path; lists by the path of the list and the keys of its items; closed lists of values by path."""

    def __init__(
        self,
        recorded: dict[str, Any],
        lists: dict[str, tuple[str, ...]] | None = None,
        closed: dict[str, tuple[Known | Nothing, ...] | Range] | None = None,
    ) -> None:
        super().__init__(recorded)
        self.lists, self.closed = lists or {}, closed or {}

    def possible(self, path: str) -> Any:
        return self.closed.get(path)

    def items(self, path: str) -> tuple[str, ...] | None:
        return self.lists.get(path)


def number(path: str, frame: str = "job") -> tree.Fact:
    return tree.Fact(path, frame, "number")


def flag(path: str, frame: str = "job") -> tree.Truth:
    return tree.Truth(tree.Fact(path, frame, "flag"), path)


def compare(*parts: Any, text: str = "") -> tree.Compare:
    """Operands and operators in turn: `compare(1.0, "<=", number("x"))`."""
    operands = tuple(tree.Constant("limit", p, "number") if isinstance(p, float) else p for p in parts[::2])
    return tree.Compare(operands, tuple(parts[1::2]), "number", TIGHT, text)


def accuracies(**stated: Accuracy | bool | None) -> Any:
    """The accuracy of a path; what is not named is not a measured fact."""
    return lambda path: stated.get(path, False)


def standard(value: float, instrument: str = "meter") -> Accuracy:
    """An accuracy of which the standard uncertainty is this."""
    return Accuracy(value * ROOT3, instrument)


def average(items: str) -> tree.Fold:
    return tree.Fold("average", tree.Fact(items, "job", "list"), "value", "number")


def found(node: tree.Compare, facts: Job, accuracy: Any, where: dict[str, tree.Value] | None = None) -> Margin:
    said = margin(node, Scope(facts, where or {}), accuracy)
    assert said is not None
    return said


def verdict(applies: Any, require: Any, facts: Job, **more: Any) -> Verdict:
    asked = replace(rule(applies, require), **more)
    return settle(asked, Scope(facts, asked.where))


def day(path: str, operator: str, limit: int) -> tree.Compare:
    limited = tree.Constant("cut", limit, "date")
    return tree.Compare((tree.Fact(path, "job", "date"), limited), (operator,), "date", 0.0, operator)


def between(path: str, low: int = LOW, high: int = HIGH) -> Range:
    return Range(low, high, frozenset([Cause("date_unknown", path)]))
