"""Generated code, first part: the facts, each read once for all rules, and the values made of them."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import Any

from checker.ir import tree
from checker.judging.exactness import Domain

EXTREMES = {"larger_of": (">=", ">"), "smaller_of": ("<=", "<")}  # how each prefers its first side, and its second
DomainOf = Callable[[tree.BoundRule, tree.Fact], Domain]


class ValueWriter:
    """Writes lines that work values out; what is not known is a NaN.

    `at` are the facts that do not start at the job: the function is handed their paths for each place.
    """

    def __init__(self, domain: DomainOf) -> None:
        self.domain = domain
        self.rule: tree.BoundRule
        self.constants: list[Any] = []
        self.names: dict[Any, str] = {}
        self.at: list[tree.Fact] = []
        self.facts: dict[tree.Fact, str] = {}
        self.paths: dict[tree.Fact, str] = {}
        self.values: dict[tree.Value, str] = {}
        self.reads: list[str] = []
        self.lines: list[str] = []
        self.depth = self.count = self.number = 0

    # --- text ---

    def line(self, text: str) -> None:
        """One line, as far in as the code is now."""
        self.lines.append("    " * self.depth + text)

    def inside(self, write: Callable[[], Any]) -> None:
        """Lines one level further in; at least one."""
        self.depth += 1
        before = len(self.lines)
        write()
        if len(self.lines) == before:
            self.line("pass")
        self.depth -= 1

    def constant(self, value: Any) -> str:
        """The name of a constant; equal ones of one type share it."""
        key = (type(value), value)
        if key not in self.names:
            self.names[key] = f"c{len(self.constants)}"
            self.constants.append(value)
        return self.names[key]

    def result(self, expression: str) -> str:
        """The name of a result that is worked out here."""
        self.count += 1
        self.line(f"v{self.count} = {expression}")
        return f"v{self.count}"

    # --- values ---

    def value(self, node: tree.Value) -> str:
        """The name of a value, worked out once a rule."""
        if isinstance(node, tree.Fact):
            return self.fact(node)
        if isinstance(node, tree.Constant):
            return "NAN" if node.value is None else self.constant(node.value)
        if node not in self.values:
            self.values[node] = self.worked_out(node)
        return self.values[node]

    def worked_out(self, node: tree.Value) -> str:
        """The lines that work a value out."""
        if isinstance(node, tree.Named):
            return self.value(self.rule.where[node.name])
        if isinstance(node, tree.FirstGiven):
            first, second = self.value(node.first), self.value(node.second)
            return self.result(f"{second} if {first} is NONE else {first}")
        if isinstance(node, tree.Call):
            given = [self.value(argument) for argument in node.arguments]
            tables = self.constant(tuple(table.value for table in node.tables))
            return self.result(f"call({', '.join([self.constant(node.function), tables, *given])})")
        if isinstance(node, tree.Lookup):
            keys = [self.value(key) for key in node.keys]
            return self.result(f"look({', '.join([self.constant(node), *keys])})")
        if isinstance(node, tree.Arithmetic):
            return self.arithmetic(node)
        if isinstance(node, tree.Choice):
            held, no = self.both(node.condition)
            first, second = self.value(node.value), self.value(node.otherwise)
            return self.result(f"{first} if {held} else {second} if {no} else NAN")
        return self.result(f"walk(see({self.number}), {self.constant(node)})")

    def both(self, node: tree.Condition) -> tuple[str, str]:
        """What makes a condition surely true and what makes it surely false; `ConditionWriter` writes it."""
        raise NotImplementedError

    def fact(self, node: tree.Fact) -> str:
        """A fact is read once for all rules. A day between two days is no plain day."""
        if node not in self.facts:
            name = self.facts[node] = f"f{len(self.facts)}"
            if node.frame == "job":
                path = self.constant(sys.intern(node.path))
            else:
                path = f"at[{len(self.at)}]"
                self.at.append(node)
            self.paths[node] = path
            self.reads.append(f"{name} = get({path}, UNREAD).value")
            if node.kind == "date":
                self.reads.append(f"if {name}.__class__ is Range: {name} = BETWEEN")
        return self.facts[node]

    def arithmetic(self, node: tree.Arithmetic) -> str:
        left, right = self.value(node.left), self.value(node.right)
        if node.operator in EXTREMES:
            return self.extreme(node, left, right)
        if node.kind == "date":
            return self.result(f"day({self.constant(node.operator)}, {left}, {right})")
        if getattr(node.left, "kind", "") == "date":
            return self.result(f"days({self.constant(node.operator)}, {left}, {right})")
        known = f"{left} {node.operator} {right}"
        if node.operator == "/":
            known = f"(NAN if {right} == {self.constant(0)} else {known})"
        none = self.none_among((node.left, left), (node.right, right))
        found = self.result(f"NONE if {none} else {known}" if none else known)
        held = f"{found} is not NONE and " if none else ""
        self.line(f"if {held}{found} - {found} != {self.constant(0)}: {found} = NAN")  # too large for a number
        return found

    def extreme(self, node: tree.Arithmetic, left: str, right: str) -> str:
        """The larger or smaller of two values, a known none passed over. Where one is not known, the walk bounds it."""
        first, second = EXTREMES[node.operator]
        absent, other = (f"{name} is NONE" if self.may_be_none(one) else "False"
                         for one, name in ((node.left, left), (node.right, right)))  # fmt: skip
        return self.result(
            f"{right} if {absent} else {left} if {other} or {left} {first} {right} "
            f"else {right} if {right} {second} {left} else NAN"
        )

    def none_among(self, *sides: tuple[tree.Value, str]) -> str:
        """What holds where one of these is a known none; nothing where none of them can be."""
        return " or ".join(f"{name} is NONE" for node, name in sides if self.may_be_none(node))

    def may_be_none(self, node: tree.Value) -> bool:
        if isinstance(node, tree.Fact):
            return self.domain(self.rule, node).may_be_none
        if isinstance(node, tree.Arithmetic):
            return self.may_be_none(node.left) or self.may_be_none(node.right)
        return not isinstance(node, tree.Constant)
