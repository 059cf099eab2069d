"""Bound rules as generated Python: the quick way to an outcome that plain facts settle.

One function a rule, written from the typed tree alone. No text of a ruleset is part of the code: whatever a node holds is
handed over in a tuple of constants. The function answers as section 3.3 of the design does, in strong Kleene logic with
`None` for unknown, and leaves everything else (possible values, reasons, needs, words) to the walk, which is its oracle.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from checker import tree
from checker.findings import FAIL, PASS
from checker.trade import functions
from checker.trade.function import OutOfRange
from checker.values import NONE, Nothing, Range, Scope, Unknown
from checker.worth import worth

Quick = Callable[[Scope], "str | None"]
DOES_NOT_APPLY = "does_not_apply"


def compiled(rule: tree.BoundRule) -> Quick:
    """The outcome of a rule in a scope, or None where the walk has to say.

    A rule judged `guarded`, or stale, is left to the walk altogether.
    """
    if rule.judged == "guarded" or rule.stale:
        return lambda scope: None
    writer = _Writer(rule)
    source = writer.function()
    space: dict[str, Any] = {"K": tuple(writer.constants), "NONE": NONE, "read": _read, "call": _call, "fold": _fold}
    exec(compile(source, f"<rule {len(source)}>", "exec"), space)
    quick: Quick = space["judge"]
    return quick


def _read(scope: Scope, fact: tree.Fact) -> Any:
    """A plain fact: its value, NONE, or None where it is not plainly known."""
    value = scope.facts.value(scope.path(fact))
    return None if isinstance(value, Range) else value


def _call(name: str, tables: tuple[Any, ...], *given: Any) -> Any:
    if any(isinstance(value, Nothing) for value in given):
        return NONE
    if any(value is None for value in (*given, *tables)):
        return None
    try:
        return functions()[name].compute(*given, *tables)
    except OutOfRange:
        return None


def _fold(scope: Scope, node: Any) -> Any:
    """Lists and table look-ups are the walk's own."""
    value = worth(node, scope)
    return None if isinstance(value, Range | Unknown) else value


class _Writer:
    """Writes one function, a line a node; every node's result has a name of its own."""

    def __init__(self, rule: tree.BoundRule) -> None:
        self.rule = rule
        self.constants: list[Any] = []
        self.lines: list[str] = []
        self.named: dict[str, str] = {}
        self.count = 0

    def function(self) -> str:
        rule = self.rule
        applies = self.condition(rule.applies)
        self.line(f"if {applies} is False: return {self.constant(DOES_NOT_APPLY)}")
        for ask in rule.verify:
            self.line(f"if {self.condition(ask.condition)} is not False: return None")
        require = self.condition(rule.require)
        doubtful = bool(rule.doubtful)
        self.line(f"if {require} is True: return {'None' if doubtful else self.constant(PASS)}")
        failing = "None" if doubtful and not rule.life_safety else self.constant(FAIL)
        self.line(f"if {require} is False and {applies} is True: return {failing}")
        self.line("return None")
        return "def judge(scope):\n" + "".join(f"    {line}\n" for line in self.lines)

    def line(self, text: str) -> None:
        self.lines.append(text)

    def constant(self, value: Any) -> str:
        self.constants.append(value)
        return f"K[{len(self.constants) - 1}]"

    def result(self, expression: str) -> str:
        self.count += 1
        self.line(f"v{self.count} = {expression}")
        return f"v{self.count}"

    # --- values ---

    def value(self, node: tree.Value) -> str:
        if isinstance(node, tree.Fact):
            return self.result(f"read(scope, {self.constant(node)})")
        if isinstance(node, tree.Constant):
            return self.constant(node.value)
        if isinstance(node, tree.Named):
            if node.name not in self.named:
                self.named[node.name] = self.value(self.rule.where[node.name])
            return self.named[node.name]
        if isinstance(node, tree.FirstGiven):
            first, second = self.value(node.first), self.value(node.second)
            return self.result(f"{second} if {first} is NONE else {first}")
        if isinstance(node, tree.Call):
            given = [self.value(argument) for argument in node.arguments]
            tables = self.constant(tuple(table.value for table in node.tables))
            return self.result(f"call({', '.join([self.constant(node.function), tables, *given])})")
        if isinstance(node, tree.Arithmetic) and "date" not in (node.kind, node.left.kind):
            return self.arithmetic(node)
        return self.result(f"fold(scope, {self.constant(node)})")

    def arithmetic(self, node: tree.Arithmetic) -> str:
        left, right = self.value(node.left), self.value(node.right)
        known = f"{left} {node.operator} {right}"
        if node.operator == "/":
            known = f"None if {right} == 0 else {known}"
        return self.result(
            f"NONE if {left} is NONE or {right} is NONE else None if {left} is None or {right} is None else {known}"
        )

    # --- conditions ---

    def condition(self, node: tree.Condition) -> str:
        if isinstance(node, tree.Compare):
            return self.compare(node)
        if isinstance(node, tree.Member):
            value = self.value(node.value)
            held = "not in" if node.negated else "in"
            return self.result(f"None if {value} is None else {value} {held} {self.constant(node.words)}")
        if isinstance(node, tree.Truth):
            value = self.value(node.value)
            return self.result(f"None if {value} is None else {value} is True")
        if isinstance(node, tree.Given):
            value = self.value(node.fact)
            return self.result(f"None if {value} is None else ({value} is NONE) is {node.none}")
        if isinstance(node, tree.Not):
            return self.negated(self.condition(node.condition))
        if isinstance(node, tree.All):
            return self.joined([self.condition(part) for part in node.conditions], "False", "True")
        if isinstance(node, tree.AnyOf):
            return self.joined([self.condition(branch.condition) for branch in node.branches], "True", "False")
        if isinstance(node, tree.NoneOf):
            return self.negated(self.joined([self.condition(part) for part in node.conditions], "True", "False"))
        return self.constant(node.value if isinstance(node, tree.Constantly) else None)

    def negated(self, held: str) -> str:
        return self.result(f"None if {held} is None else not {held}")

    def joined(self, parts: list[str], decides: str, otherwise: str) -> str:
        if not parts:
            return self.constant(otherwise == "True")
        one = " or ".join(f"{part} is {decides}" for part in parts)
        unknown = " or ".join(f"{part} is None" for part in parts)
        return self.result(f"{decides} if {one} else None if {unknown} else {otherwise}")

    def compare(self, node: tree.Compare) -> str:
        values = [self.value(operand) for operand in node.operands]
        grain = self.constant(node.grain)
        return self.joined(
            [self.compared(op, values[i], values[i + 1], grain, node.kind) for i, op in enumerate(node.operators)],
            "False",
            "True",
        )

    def compared(self, op: str, left: str, right: str, grain: str, kind: str) -> str:
        forms = {
            "<=": f"{left} <= {right} + {grain}", "<": f"{left} < {right} - {grain}",
            ">=": f"{left} >= {right} - {grain}", ">": f"{left} > {right} + {grain}",
            "==": f"abs({left} - {right}) <= {grain}", "!=": f"abs({left} - {right}) > {grain}",
        }  # fmt: skip
        held = f"{left} {op} {right}" if kind in ("word", "flag") else forms[op]
        none = f"{left} is NONE or {right} is NONE"
        return self.result(f"{op == '!='} if {none} else None if {left} is None or {right} is None else {held}")
