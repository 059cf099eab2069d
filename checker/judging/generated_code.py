"""Bound rules as generated Python: the quick way to an outcome that plain facts settle.

One function for any number of rules that go through the same list (or none), written from the typed tree alone. No text of
a ruleset is part of the code: whatever a node holds is handed over under a name of its own. Each condition is written
twice, as what makes it surely true and what makes it surely false, in strong Kleene logic; a fact that is not recorded is
a NaN, on no side of anything. What the function cannot settle it leaves to the walk, which is its oracle; reasons, needs
and words are the walk's anyhow.
"""

from __future__ import annotations

import math
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from types import SimpleNamespace
from typing import Any, NamedTuple

from checker.ir import tree
from checker.ir.kleene import NONE, Known, Nothing, Range, Scope, Unknown
from checker.ir.node import Node
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.ir.references import parts_that_read
from checker.ir.visitor import children, walk
from checker.judging.values import worth
from checker.trade import functions
from checker.trade.function import OutOfRange

DOES_NOT_APPLY = "does_not_apply"
NAN = float("nan")

UNREAD = SimpleNamespace(worth=NAN)  # stands where nothing is recorded

# (`Facts.recorded`; full paths of the facts of a place; the scope of a rule) → outcomes
Judging = Callable[[Callable[[str, Any], Any], Sequence[str], Callable[[int], Scope]], "list[str | None]"]
Quick = Callable[[Scope], "str | None"]


class Domain(NamedTuple):
    """What is known of a fact before any job: its closed list of values, if it has one; whether it can be a known none;
    and whether one that is not recorded still lies in a range."""

    closed: tuple[Known | Nothing, ...] = ()
    may_be_none: bool = True
    ranged: bool = True


class Generated(NamedTuple):
    """The function of some rules: an outcome a rule, or None where the walk has to say.

    `facts` are those of an item or of the item around it, whose full paths the function is handed for each place.
    """

    judge: Judging
    facts: tuple[tree.Fact, ...]


def compiled(rule: tree.BoundRule) -> Quick:
    """The outcome of one rule in a scope, as far as it can be told without knowing what values facts could have."""
    function = together([rule], lambda _, __: Domain())

    def quick(scope: Scope) -> str | None:
        at = [scope.path(fact) for fact in function.facts]
        return function.judge(scope.facts.recorded, at, lambda _: scope)[0]

    return quick


def together(rules: Sequence[tree.BoundRule], domain: Callable[[tree.BoundRule, tree.Fact], Domain]) -> Generated:
    """One function for rules that all go through the same list. A rule judged `guarded`, or stale, is the walk's alone."""
    writer = _Writer(domain)
    source = writer.function(rules)
    own = {"NAN": NAN, "NONE": NONE, "UNREAD": UNREAD, "Range": Range, "abs": abs, "call": _call, "walk": _walk}
    space: dict[str, Any] = own | {f"c{index}": value for index, value in enumerate(writer.constants)}
    exec(compile(source, f"<{len(rules)} rules>", "exec"), space)
    return Generated(space["judge"], tuple(writer.at))


def _call(name: str, tables: tuple[Any, ...], *given: Any) -> Any:
    if any(isinstance(value, Nothing) for value in given):
        return NONE
    if any(value is NAN or value != value for value in given) or None in tables:
        return NAN
    try:
        found = functions()[name].compute(*given, *tables)
    except OutOfRange:
        return NAN
    return NAN if isinstance(found, float) and not math.isfinite(found) else found


def _walk(scope: Scope, node: Any) -> Any:
    """Lists and table look-ups are the walk's own."""
    value = worth(node, scope)
    return NAN if isinstance(value, Range | Unknown) else value


class _Writer:
    """Writes the function: the facts first, each under a name of its own, then rule after rule."""

    def __init__(self, domain: Callable[[tree.BoundRule, tree.Fact], Domain]) -> None:
        self.domain = domain
        self.constants: list[Any] = []
        self.names: dict[Any, str] = {}
        self.at: list[tree.Fact] = []
        self.facts: dict[tree.Fact, str] = {}
        self.reads: list[str] = []
        self.lines: list[str] = []
        self.depth = self.count = self.number = 0

    def function(self, rules: Sequence[tree.BoundRule]) -> str:
        outcomes = [self.outcome(number, rule) for number, rule in enumerate(rules)]
        body = [*self.reads, *self.lines, f"return [{', '.join(outcomes)}]"]
        return "def judge(get, at, see):\n" + "".join(f"    {line}\n" for line in body)

    def outcome(self, number: int, rule: tree.BoundRule) -> str:
        """The lines that settle one rule.

        Returns:
            The name that its outcome has then.
        """
        if rule.judged == "guarded" or rule.stale:
            return "None"
        self.rule, self.number, self.named = rule, number, dict[str, str]()
        unsure = self.constant(VERIFY) if self.exact() else "None"
        applies, never = self.both(rule.applies)
        self.line(f"if {never}: o{number} = {self.constant(DOES_NOT_APPLY)}")
        self.line("else:")
        self.depth += 1
        asked = [self.both(ask.condition) for ask in rule.verify]
        met, broken = self.both(rule.require)
        steps = [(self.constant(VERIFY), _or(held for held, _ in asked)), (unsure, _not(_and(no for _, no in asked)))]
        passing, failing = self.firm(rule)
        steps += [(passing, met), (failing, _and([broken, applies]))]
        said = "".join(f"{outcome} if {held} else " for outcome, held in steps if held != "False")
        self.line(f"o{number} = {said}{unsure}")
        self.depth -= 1
        return f"o{number}"

    def firm(self, rule: tree.BoundRule) -> tuple[str, str]:
        """What is said where it passes and where it fails: nothing firm of what nobody is sure of, life safety aside."""
        doubtful = bool(rule.doubtful)
        passing = VERIFY if doubtful else PASS
        failing = VERIFY if doubtful and not rule.life_safety else FAIL
        return self.constant(passing), self.constant(failing)

    def exact(self) -> bool:
        """Whether to try the values that unrecorded facts could have would never say more than the function does.

        So it is where every fact is read once and independently of the others, and none is of a range or of a closed
        list that a condition could be true or false of as a whole.
        """
        rule = self.rule
        nodes = [rule.applies, rule.require, *(ask.condition for ask in rule.verify)]
        times = Counter(fact for node in nodes for fact in _facts(node, rule.where))
        if any(fact is None or count > 1 for fact, count in times.items()):
            return False
        if any(fact and (self.domain(rule, fact).ranged or fact.kind == "date") for fact in times):
            return False
        return all(self.plain(node) for node in nodes)

    def plain(self, node: Node) -> bool:
        """Whether no condition in a node could be true or false of a whole closed list."""
        if isinstance(node, tree.Member) and isinstance(node.value, tree.Fact):
            within = [value in node.words for value in self.domain(self.rule, node.value).closed]
            return not within or (any(within) and not all(within))
        if isinstance(node, tree.Compare | tree.Given | tree.Truth):
            operands = node.operands if isinstance(node, tree.Compare) else ()
            given = (node.fact,) if isinstance(node, tree.Given) else operands
            return not any(isinstance(one, tree.Fact) and self.domain(self.rule, one).closed for one in given)
        return all(self.plain(part) for part in children(node))

    # --- text ---

    def line(self, text: str) -> None:
        self.lines.append("    " * self.depth + text)

    def constant(self, value: Any) -> str:
        """The name of a constant; equal ones of one type share it."""
        key = (type(value), value)
        if key not in self.names:
            self.names[key] = f"c{len(self.constants)}"
            self.constants.append(value)
        return self.names[key]

    def result(self, expression: str) -> str:
        self.count += 1
        self.line(f"v{self.count} = {expression}")
        return f"v{self.count}"

    # --- values ---

    def value(self, node: tree.Value) -> str:
        if isinstance(node, tree.Fact):
            return self.fact(node)
        if isinstance(node, tree.Constant):
            return "NAN" if node.value is None else self.constant(node.value)
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
        return self.result(f"walk(see({self.number}), {self.constant(node)})")

    def fact(self, node: tree.Fact) -> str:
        """A fact is read once for all rules. A day between two days is no plain day."""
        if node not in self.facts:
            name = self.facts[node] = f"f{len(self.facts)}"
            if node.frame == "job":
                path = self.constant(sys.intern(node.path))
            else:
                path = f"at[{len(self.at)}]"
                self.at.append(node)
            self.reads.append(f"{name} = get({path}, UNREAD).worth")
            if node.kind == "date":
                self.reads.append(f"if {name}.__class__ is Range: {name} = NAN")
        return self.facts[node]

    def arithmetic(self, node: tree.Arithmetic) -> str:
        left, right = self.value(node.left), self.value(node.right)
        known = f"{left} {node.operator} {right}"
        if node.operator == "/":
            known = f"(NAN if {right} == {self.constant(0)} else {known})"
        none = self.none_among((node.left, left), (node.right, right))
        found = self.result(f"NONE if {none} else {known}" if none else known)
        held = f"{found} is not NONE and " if none else ""
        self.line(f"if {held}{found} - {found} != {self.constant(0)}: {found} = NAN")  # too large for a number
        return found

    def none_among(self, *sides: tuple[tree.Value, str]) -> str:
        """What holds where one of these is a known none; nothing where none of them can be."""
        return " or ".join(f"{name} is NONE" for node, name in sides if self.may_be_none(node))

    def may_be_none(self, node: tree.Value) -> bool:
        if isinstance(node, tree.Fact):
            return self.domain(self.rule, node).may_be_none
        if isinstance(node, tree.Arithmetic):
            return self.may_be_none(node.left) or self.may_be_none(node.right)
        return not isinstance(node, tree.Constant)

    # --- conditions: what makes one surely true, and surely false ---

    def both(self, node: tree.Condition) -> tuple[str, str]:
        if isinstance(node, tree.Compare):
            return self.compare(node)
        if isinstance(node, tree.Member):
            return self.member(node)
        if isinstance(node, tree.Truth):
            value = self.value(node.value)
            no = (
                f"({value} is not NAN and {value} is not True)" if self.may_be_none(node.value) else f"{value} is False"
            )
            return f"{value} is True", no
        if isinstance(node, tree.Given):
            value = self.value(node.fact)
            there, none = f"({value} is not NAN and {value} is not NONE)", f"{value} is NONE"
            return (none, there) if node.none else (there, none)
        if isinstance(node, tree.Not):
            return self.both(node.condition)[::-1]
        if isinstance(node, tree.All):
            parts = [self.both(part) for part in node.conditions]
            return _and(held for held, _ in parts), _or(no for _, no in parts)
        if isinstance(node, tree.AnyOf | tree.NoneOf):
            inner = [b.condition for b in node.branches] if isinstance(node, tree.AnyOf) else list(node.conditions)
            parts = [self.both(part) for part in inner]
            found = _or(held for held, _ in parts), _and(no for _, no in parts)
            return found if isinstance(node, tree.AnyOf) else found[::-1]
        if isinstance(node, tree.Constantly):
            return str(node.value), str(not node.value)
        return "False", "False"

    def member(self, node: tree.Member) -> tuple[str, str]:
        value, words = self.value(node.value), self.constant(frozenset(node.words))
        found = f"{value} in {words}", f"({value} is not NAN and {value} not in {words})"
        return found[::-1] if node.negated else found

    def compare(self, node: tree.Compare) -> tuple[str, str]:
        values = [self.value(operand) for operand in node.operands]
        parts = [self.compared(op, node, values, index) for index, op in enumerate(node.operators)]
        return _and(held for held, _ in parts), _or(no for _, no in parts)

    def compared(self, op: str, node: tree.Compare, values: list[str], index: int) -> tuple[str, str]:
        left, right = values[index], values[index + 1]
        nodes = node.operands[index], node.operands[index + 1]
        if node.kind in ("word", "flag"):
            known = f"{left} is not NAN and {right} is not NAN"
            held, no = (f"({known} and {left} {sign} {right})" for sign in ("==", "!="))
        else:
            held, no = self.amounts(op, left, nodes[1], right, node.grain)
        if op == "!=" and node.kind in ("word", "flag"):
            held, no = no, held
        none = self.none_among((nodes[0], left), (nodes[1], right))
        if not none:
            return held, no
        absent = f"not ({none})"
        return (f"({none} or {held})", f"({absent} and {no})") if op == "!=" else (
            f"({absent} and {held})", f"({none} or {no})"
        )  # fmt: skip

    def amounts(self, op: str, left: str, node: tree.Value, right: str, grain: float) -> tuple[str, str]:
        """Two amounts; what is not known is a NaN, of which nothing holds."""
        if op in ("==", "!="):
            apart, width = f"abs({left} - {right})", self.constant(grain)
            near, far = f"{apart} <= {width}", f"{apart} > {width}"
            return (near, far) if op == "==" else (far, near)
        more = op in ("<=", ">")
        if isinstance(node, tree.Constant) and isinstance(node.value, float | int):
            limit = self.constant(node.value + grain if more else node.value - grain)
        else:
            limit = f"{right} {'+' if more else '-'} {self.constant(grain)}"
        opposite = {"<=": ">", ">": "<=", "<": ">=", ">=": "<"}[op]
        return f"{left} {op} {limit}", f"{left} {opposite} {limit}"


def _facts(node: Any, where: Mapping[str, tree.Value]) -> Iterator[tree.Fact | None]:
    """The facts that a node reads, as often as it does; None for what reads more than plain facts."""
    for part in parts_that_read(node):
        if isinstance(part, tree.Named):
            yield from _facts(where[part.name], where)
        else:
            yield part if isinstance(part, tree.Fact) else None
    if _goes_further(node):
        yield None


def _goes_further(node: Node) -> bool:
    """Whether a node holds what works on ranges of values, or tries them, in ways of its own."""
    own = tree.Call | tree.Lookup | tree.Fold | tree.FirstGiven
    return any(isinstance(one, own) for one in walk(node))


def _and(parts: Iterable[str]) -> str:
    return _joined(parts, "and", "True", "False")


def _or(parts: Iterable[str]) -> str:
    return _joined(parts, "or", "False", "True")


def _joined(parts: Iterable[str], word: str, empty: str, deciding: str) -> str:
    left = [part for part in parts if part != empty]
    if not left:
        return empty
    if deciding in left:
        return deciding
    return left[0] if len(left) == 1 else f"({f' {word} '.join(left)})"


def _not(held: str) -> str:
    return {"True": "False", "False": "True"}.get(held, f"not {held}")
