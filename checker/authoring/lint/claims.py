"""What a condition claims of single values, and which claims cannot both hold.

A claim is weaker than its condition: two claims that clash show that two conditions do, and no clash shows nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any, NamedTuple

from checker.ir import tree
from checker.ir.visitor import behind_names

ONE_OF, NONE_OF, YES, GIVEN, FROM, UNTIL = "one of", "none of", "yes", "given", "from", "until"
NEEDS_A_VALUE = (ONE_OF, FROM, UNTIL)


class Claim(NamedTuple):
    """One thing that a line of conditions says of a value. `is_` are words, a yes or no, or an end of a range."""

    value: tree.Value
    kind: str
    is_: Any
    line: str


def claims(node: tree.Condition, where: Mapping[str, tree.Value]) -> Iterator[Claim]:
    """What must hold of single values for a condition to be true. Nothing is claimed of an `any_of`."""
    if isinstance(node, tree.All):
        for part in node.conditions:
            yield from claims(part, where)
    elif isinstance(node, tree.NoneOf):
        for part in node.conditions:
            yield from _denied(part, where)
    elif isinstance(node, tree.Truth):
        yield Claim(behind_names(node.value, where), YES, True, node.text)
    elif isinstance(node, tree.Not):
        yield from _denied(node.condition, where, node.text)
    elif isinstance(node, tree.Given):
        yield Claim(node.fact, GIVEN, not node.none, node.text)
    elif isinstance(node, tree.Member):
        kind = NONE_OF if node.negated else ONE_OF
        yield Claim(behind_names(node.value, where), kind, frozenset(node.words), node.text)
    elif isinstance(node, tree.Compare):
        yield from _compared(node, where)


def _denied(node: tree.Condition, where: Mapping[str, tree.Value], text: str = "") -> Iterator[Claim]:
    """What must hold of single values for a condition to be false, where that is one claim."""
    if isinstance(node, tree.Truth):
        yield Claim(behind_names(node.value, where), YES, False, text or f"none_of: {node.text}")
    elif isinstance(node, tree.Member | tree.Compare):
        turned = {ONE_OF: NONE_OF, NONE_OF: ONE_OF}
        for claim in claims(node, where):
            if claim.kind in turned:
                yield claim._replace(kind=turned[claim.kind], line=f"none_of: {claim.line}")


def _compared(node: tree.Compare, where: Mapping[str, tree.Value]) -> Iterator[Claim]:
    for (left, right), operator in zip(pairwise(node.operands), node.operators, strict=True):
        if isinstance(left, tree.Constant) and not isinstance(right, tree.Constant):
            left, right, operator = right, left, tree.MIRRORED[operator]
        if not isinstance(right, tree.Constant) or isinstance(left, tree.Constant):
            continue
        value, limit = behind_names(left, where), right.value
        if isinstance(limit, str) and operator in ("==", "!="):
            yield Claim(value, ONE_OF if operator == "==" else NONE_OF, frozenset([limit]), node.text)
        elif isinstance(limit, int | float) and not isinstance(limit, bool) and operator != "!=":
            step = node.grain if "=" in operator else -node.grain  # amounts that near are the same
            if operator[0] in ">=":
                yield Claim(value, FROM, (limit - step, operator != ">"), node.text)
            if operator[0] in "<=":
                yield Claim(value, UNTIL, (limit + step, operator != "<"), node.text)


def clash(first: Claim, second: Claim) -> bool:
    """Whether two claims cannot both hold."""
    if first.value != second.value:
        return False
    by_kind = {first.kind: first.is_, second.kind: second.is_}
    if first.kind == second.kind:
        if first.kind == ONE_OF:
            return not first.is_ & second.is_
        return first.kind in (YES, GIVEN) and first.is_ != second.is_
    if set(by_kind) == {ONE_OF, NONE_OF}:
        return bool(by_kind[ONE_OF] <= by_kind[NONE_OF])
    if set(by_kind) == {FROM, UNTIL}:
        (low, may_be_low), (high, may_be_high) = by_kind[FROM], by_kind[UNTIL]
        return bool(low > high or (low == high and not (may_be_low and may_be_high)))
    needs = any(kind in NEEDS_A_VALUE or (kind, is_) == (YES, True) for kind, is_ in by_kind.items())
    return by_kind.get(GIVEN) is False and needs
