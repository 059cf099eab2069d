"""Conditions at many places at once, each as where it is surely true and where it is surely false, in strong Kleene logic."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

import numpy as np

from checker.ir import tree
from checker.judging.columns.comparing import Sides, all_of, compared
from checker.judging.columns.values import ValueColumns


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
            found = Sides(~np.isnan(value.values), value.is_none)
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
        return all_of(parts, len(self.rows))

    def _compare(self, node: tree.Compare) -> Sides:
        values = [self.value(operand) for operand in node.operands]
        grain = 0.0 if node.kind in ("word", "flag") else node.grain
        pairs = zip(node.operators, pairwise(values), strict=True)
        return self.all_of(compared(op, left, right, grain) for op, (left, right) in pairs)
