"""Which way a limit has to move so that the rules that read it ask less."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from checker.binding.parser import (  # fmt: skip
    Arithmetic,
    Call,
    Choice,
    Compare,
    ExpressionError,
    Lookup,
    Not,
    Syntax,
    Word,
    parse_condition,
    parse_value,
)
from checker.binding.value_resolver import EXTREMES
from checker.ir.visitor import walk

UP, DOWN, UNKNOWN = 1, -1, 0
MOST_NAMES = 10  # names under `where` behind one another


def which_way(limit: str, rules: Iterable[Mapping[str, Any]]) -> int:
    """UP where a greater value asks less of every rule, DOWN where a smaller one does, UNKNOWN where that cannot be told.

    Args:
        rules: Rules as plain data.
    """
    ways = {way for rule in rules for way in _in_rule(limit, rule)}
    return ways.pop() if len(ways) == 1 else UNKNOWN


def _in_rule(limit: str, rule: Mapping[str, Any]) -> Iterator[int]:
    where = rule.get("where", {})
    for field, sense in (("require", UP), ("applies_when", DOWN), ("verify_when", UNKNOWN)):
        for line in rule.get(field) or ():
            yield from (way * sense for way in _in_condition(limit, line, where))


def _in_condition(limit: str, condition: Any, where: Mapping[str, str]) -> Iterator[int]:
    if isinstance(condition, str):
        try:
            yield from _compared(limit, parse_condition(condition), where)
        except ExpressionError:
            yield UNKNOWN
    elif isinstance(condition, Mapping):
        sense = DOWN if "none_of" in condition else UP
        inside = [one for key in ("when", "any_of", "all_of", "none_of") for one in listed(condition.get(key))]
        yield from (way * sense for one in inside for way in _in_condition(limit, one, where))


def listed(part: Any) -> list[Any]:
    """A list as it is; anything else as a list of one, and nothing as an empty one."""
    return part if isinstance(part, list) else [part] if part else []


def _compared(limit: str, syntax: Syntax, where: Mapping[str, str]) -> Iterator[int]:
    """What a greater limit does to a condition: UP, it is met more often."""
    if isinstance(syntax, Not):
        yield from (-way for way in _compared(limit, syntax.value, where))
    elif isinstance(syntax, Compare):
        for index, operator in enumerate(syntax.operators):
            more = UP if operator in ("<", "<=") else DOWN if operator in (">", ">=") else UNKNOWN
            yield from (-way * more for way in _grows(limit, syntax.operands[index], where))
            yield from (way * more for way in _grows(limit, syntax.operands[index + 1], where))
    else:
        yield from (UNKNOWN for _ in _grows(limit, syntax, where))


def _grows(limit: str, value: Syntax, where: Mapping[str, str], depth: int = 0) -> Iterator[int]:
    """What a greater limit does to a value: UP, it grows too. Amounts that are multiplied count as not below zero."""
    if isinstance(value, Word):
        if value.text == limit:
            yield UP
        elif value.text in where and depth < MOST_NAMES:
            yield from _grows(limit, parse_value(where[value.text]), where, depth + 1)
    elif isinstance(value, Lookup):
        if value.table == limit:
            yield UP
    elif isinstance(value, Arithmetic):
        yield from _grows(limit, value.left, where, depth)
        falls = value.operator in ("-", "/")
        yield from (-way if falls else way for way in _grows(limit, value.right, where, depth))
    elif isinstance(value, Choice):
        yield from _grows(limit, value.value, where, depth)
        yield from _grows(limit, value.otherwise, where, depth)
        yield from (UNKNOWN for _ in _compared(limit, value.condition, where))
    elif isinstance(value, Call) and value.name in EXTREMES:
        for part in value.arguments:
            yield from _grows(limit, part, where, depth)
    elif any(isinstance(part, Word) and part.text == limit for part in walk(value)):
        yield UNKNOWN
