"""What a value node comes to at many places at once, as `judging.code_values` writes it for one.

A function is called once for each different set of arguments, and a table is looked up so.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from typing import Any

import numpy as np

from checker.ir import tree
from checker.ir.kleene import NONE
from checker.ir.visitor import walk_through
from checker.judging.columns.column import Column, Flags, Floats, Rows, either, everywhere
from checker.judging.columns.folds import folded
from checker.judging.generated_code import called, found_in
from checker.judging.values import MINUTES_A_DAY

ARITHMETIC: Mapping[str, Callable[[Floats, Floats], Floats]] = {
    "+": np.add,
    "-": np.subtract,
    "*": np.multiply,
    "/": np.divide,
}


class ValueColumns:
    """The values of one rule at some places, each worked out once.

    Args:
        closed: The facts that have a closed list of values.
        assumed: Values that unrecorded facts are taken to have, at every row at which they are not recorded.
    """

    def __init__(
        self,
        rule: tree.BoundRule,
        rows: Rows,
        closed: Collection[tree.Fact],
        assumed: Mapping[tree.Fact, Any] | None = None,
    ) -> None:
        self.rule, self.rows, self.closed, self.assumed = rule, rows, closed, assumed or {}
        self._values: dict[tree.Value, Column] = {}

    def value(self, node: tree.Value) -> Column:
        """What a value comes to at each place."""
        found = self._values.get(node)
        if found is None:
            found = self._values[node] = self._worked_out(node)
        return found

    def number(self, value: Any) -> float:
        """A value of the tree as columns hold it."""
        return self.rows.words.number(value) if isinstance(value, str) else float(value)

    def _worked_out(self, node: tree.Value) -> Column:
        if isinstance(node, tree.Fact):
            return self._fact(node)
        if isinstance(node, tree.Constant):
            return Column(everywhere(np.nan if node.value is None else self.number(node.value), len(self.rows)))
        if isinstance(node, tree.Named):
            return self.value(self.rule.where[node.name])
        if isinstance(node, tree.FirstGiven):
            return _first_given(self.value(node.first), self.value(node.second))
        if isinstance(node, tree.Arithmetic):
            return self._arithmetic(node)
        if isinstance(node, tree.Call):
            tables = tuple(table.value for table in node.tables)
            return self._once_each(node.arguments, lambda *given: called(node.function, tables, *given))
        if isinstance(node, tree.Lookup):
            return self._once_each(node.keys, lambda *keys: found_in(node, *keys))
        assert isinstance(node, tree.Fold), "a rule with any other value is the walk's alone (`outcomes.Ready`)"
        return folded(node, self.rows, self.value, self._could_be_tried)

    def _could_be_tried(self, values: Sequence[tree.Value]) -> Flags:
        """Where a fact in some values is not recorded and has a closed list, or is a day between two days."""
        found = np.zeros(len(self.rows), bool)
        parts = (part for value in values for part in walk_through(value, self.rule.where))
        for fact in (part for part in parts if isinstance(part, tree.Fact)):
            column = self.value(fact)
            found |= column.lies_between | (column.missing & (fact in self.closed))
        return found

    def _fact(self, fact: tree.Fact) -> Column:
        found = self.rows.fact(fact)
        if fact not in self.assumed:
            return found
        assumed, missing = self.assumed[fact], found.missing
        if assumed is NONE:
            return found._replace(none=either(found.none, missing))
        return found._replace(values=np.where(missing, self.number(assumed), found.values))

    def _arithmetic(self, node: tree.Arithmetic) -> Column:
        left, right = self.value(node.left), self.value(node.right)
        with np.errstate(all="ignore"):
            if node.kind == "date":
                values = np.trunc(ARITHMETIC[node.operator](left.values, right.values / MINUTES_A_DAY))
            elif getattr(node.left, "kind", "") == "date":
                values = ARITHMETIC[node.operator](left.values, right.values)
                values = values * (MINUTES_A_DAY if node.operator == "-" else 1)
            else:
                values = ARITHMETIC[node.operator](left.values, right.values)
        values = np.where(np.isfinite(values), values, np.nan)  # a division by zero, or too large for a number
        return Column(values, either(left.none, right.none))

    def _once_each(self, arguments: Sequence[tree.Value], work: Callable[..., Any]) -> Column:
        """What some work comes to: done once for each different set of known arguments."""
        columns = [self.value(argument) for argument in arguments]
        none: Flags | None = None
        for column in columns:
            none = either(none, column.none)
        given = np.column_stack([column.values for column in columns])
        values = np.full(len(self.rows), np.nan)
        known = np.flatnonzero(~np.isnan(given).any(axis=1))
        if not len(known):
            return Column(values, none)
        sets, which = np.unique(given[known], axis=0, return_inverse=True)
        decode = [_decoded(argument.kind, self.rows) for argument in arguments]
        made = [work(*(read(value) for read, value in zip(decode, one, strict=True))) for one in sets.tolist()]
        which = which.reshape(-1)
        values[known] = np.array([np.nan if one is NONE else self.number(one) for one in made])[which]
        nothing = np.array([one is NONE for one in made])[which]
        if nothing.any():
            none = np.zeros(len(self.rows), bool) if none is None else none.copy()
            none[known] |= nothing
        return Column(values, none)


def _first_given(first: Column, second: Column) -> Column:
    if first.none is None:
        return first
    absent = first.none
    none = np.zeros(len(absent), bool) if second.none is None else second.none & absent
    between = either(
        None if first.between is None else first.between & ~absent,
        None if second.between is None else second.between & absent,
    )
    return Column(np.where(absent, second.values, first.values), none, between)


def _decoded(kind: str, rows: Rows) -> Callable[[float], Any]:
    """How a number of a column is read back as the functions of the trade take it."""
    if kind == "word":
        return lambda number: rows.words.words[int(number)]
    if kind == "flag":
        return bool
    return int if kind == "date" else float
