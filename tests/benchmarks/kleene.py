"""The reference: strong Kleene logic over the workload, as plainly as it can be written. Every engine must agree with it."""

from __future__ import annotations

import operator
from typing import Any

from tests.benchmarks.workload import (
    DOES_NOT_APPLY,
    FAIL,
    PASS,
    VERIFY,
    Against,
    Among,
    AnyOf,
    Condition,
    Fact,
    Flagged,
    Rule,
    Workload,
)

COMPARE = {"<=": operator.le, ">=": operator.ge, "<": operator.lt, ">": operator.gt}
Truth = bool | None


def outcomes(work: Workload, document: dict[str, Any]) -> list[int]:
    """The outcome of each rule, then of each rule of items at each item, item by item."""
    found = [outcome(rule, document, {}) for rule in work.of_job]
    return found + [outcome(rule, document, item) for item in document["items"] for rule in work.of_item]


def outcome(rule: Rule, document: dict[str, Any], item: dict[str, Any]) -> int:
    applies = every([truth(condition, document, item) for condition in rule.applies])
    require = every([truth(condition, document, item) for condition in rule.require])
    if applies is False:
        return DOES_NOT_APPLY
    if require is True:
        return PASS
    return FAIL if require is False and applies is True else VERIFY


def truth(condition: Condition, document: dict[str, Any], item: dict[str, Any]) -> Truth:
    if isinstance(condition, AnyOf):
        return some([truth(part, document, item) for part in condition.parts])
    value = read(condition.fact, document, item)
    if value is None:
        return None
    if isinstance(condition, Flagged):
        return bool(value)
    if isinstance(condition, Among):
        return value in condition.words
    other = read(condition.other, document, item) if isinstance(condition, Against) else condition.limit
    return None if other is None else bool(COMPARE[condition.operator](value, other))


def read(fact: Fact, document: dict[str, Any], item: dict[str, Any]) -> Any:
    return (document[fact.group] if fact.group else item).get(fact.name)


def every(values: list[Truth]) -> Truth:
    return False if False in values else None if None in values else True


def some(values: list[Truth]) -> Truth:
    return True if True in values else None if None in values else False
