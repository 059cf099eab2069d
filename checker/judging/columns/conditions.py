"""Conditions at many places at once, each as where it is surely true and where it is surely false, in strong Kleene logic."""

from __future__ import annotations

import functools
import operator
from collections.abc import Iterable
from typing import NamedTuple

import numpy as np

from checker.ir import tree
from checker.judging.columns.column import Column, Flags
from checker.judging.columns.values import ValueColumns


class Sides(NamedTuple):
    """Where a condition is surely true, and where it is surely false."""

    true: Flags
    false: Flags

    @property
    def negated(self) -> Sides:
        return Sides(self.false, self.true)


class ConditionColumns(ValueColumns):
    """The conditions of one rule at some places."""

    def sides(self, node: tree.Condition) -> Sides:
        """Where a condition holds and where it does not."""
        if isinstance(node, tree.Compare):
            return self._compare(node)
        if isinstance(node, tree.Member):
            value = self.value(node.value)
            held = np.isin(value.values, [self.number(word) for word in node.words])
            found = Sides(held, value.known & ~held)
            return found.negated if node.negated else found
        if isinstance(node, tree.Truth):
            value = self.value(node.value)
            held = value.values == 1
            return Sides(held, value.known & ~held)
        if isinstance(node, tree.Given):
            value = self.value(node.fact)
            none = self._none(value)
            found = Sides(~np.isnan(value.values), none)
            return found.negated if node.none else found
        if isinstance(node, tree.Not):
            return self.sides(node.condition).negated
        if isinstance(node, tree.All):
            return self.all_of(self.sides(part) for part in node.conditions)
        if isinstance(node, tree.AnyOf):
            return self.all_of(self.sides(branch.condition).negated for branch in node.branches).negated
        if isinstance(node, tree.NoneOf):
            return self.all_of(self.sides(part).negated for part in node.conditions)
        held = np.full(len(self.rows), isinstance(node, tree.Constantly) and node.value)
        unsettled = not isinstance(node, tree.Constantly)
        return Sides(held, np.zeros(len(self.rows), bool) if unsettled else ~held)

    def all_of(self, parts: Iterable[Sides]) -> Sides:
        """Where all of some conditions hold, and where one of them does not."""
        every = list(parts)
        nowhere = np.zeros(len(self.rows), bool)
        return Sides(
            functools.reduce(operator.and_, (one.true for one in every), ~nowhere),
            functools.reduce(operator.or_, (one.false for one in every), nowhere),
        )

    def _none(self, value: Column) -> Flags:
        return np.zeros(len(self.rows), bool) if value.none is None else value.none

    def _compare(self, node: tree.Compare) -> Sides:
        values = [self.value(operand) for operand in node.operands]
        pairs = zip(node.operators, values, values[1:], node.operands[1:], strict=False)
        return self.all_of(self._compared(op, node, left, right, limit) for op, left, right, limit in pairs)

    def _compared(self, op: str, node: tree.Compare, left: Column, right: Column, limit: tree.Value) -> Sides:
        """One comparison. A known none is equal to nothing and on no side of anything."""
        if node.kind in ("word", "flag"):
            there = ~np.isnan(left.values) & ~np.isnan(right.values)
            same = left.values == right.values
            found = Sides(there & same, there & ~same)
            found = found.negated if op == "!=" else found
        else:
            found = _amounts(op, left.values, right.values, node.grain)
        if left.none is None and right.none is None:
            return found
        none = self._none(left) | self._none(right)
        return Sides(found.true | none, found.false) if op == "!=" else Sides(found.true, found.false | none)


def _amounts(op: str, left: np.ndarray, right: np.ndarray, grain: float) -> Sides:
    """Two amounts; of what is not known nothing holds."""
    if op in ("==", "!="):
        apart = np.abs(left - right)
        found = Sides(apart <= grain, apart > grain)
        return found if op == "==" else found.negated
    if op in ("<=", ">"):
        limit = right + grain
        found = Sides(left <= limit, left > limit)
    else:
        limit = right - grain
        found = Sides(left >= limit, left < limit)
    return found if op in ("<=", ">=") else found.negated
