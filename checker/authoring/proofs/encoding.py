"""Conditions of bound rules as formulas over known jobs, for an SMT solver. The only module that knows z3.

A job counts as known where each fact has a value or is a known none, so every condition is true or false. What the
formulas cannot say (a function, a list taken together, a limit that is left open, a node that is new here) becomes a free
value. What holds of every job with free values then holds of every real job: an answer "no job does" is a proof. An answer
"some job does" is one only where no free value had a part in it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any, NamedTuple

import z3

from checker.ir import tree
from checker.ir.references import patterns_read
from checker.ir.visitor import rewritten
from checker.reading.fact_shapes import Leaf
from checker.reading.vocabulary import Vocabulary

WORD, FLAG, DATE, AMOUNT = "word", "flag", "date", "amount"
MOST_MILLISECONDS = 2_000  # for one question to the solver
OTHER_WORD = "another"


class Term(NamedTuple):
    """A value: what sort it is, what it comes to, and whether it is a known none."""

    sort: str
    value: Any
    none: Any


class FactTerm(NamedTuple):
    """A fact as a term, what the schema says of it, and what every value of it fulfills."""

    term: Term
    leaf: Leaf
    within: Any


class Formula(NamedTuple):
    """A condition as a formula, the paths of the facts in it, why parts of it are free, and the facts behind these parts."""

    holds: Any
    facts: frozenset[str]
    free: frozenset[str] = frozenset()
    behind: frozenset[str] = frozenset()


class Undecided(Exception):
    """The solver gave no answer in its time."""


class Encoding:
    """Formulas of one vocabulary. The same fact is one term in all of them."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self.facts: dict[str, FactTerm] = {}
        self._codes: dict[str, int] = {}
        self._free: dict[Any, Term] = {}
        self._known: dict[Any, Formula] = {}

    # --- questions to the solver ---

    def job(self, *formulas: Formula) -> dict[str, Any] | None:
        """The facts of a job that fulfills all formulas, by path; None where no job does.

        Raises:
            Undecided: The solver gave no answer in its time.
        """
        solver = z3.SolverFor("QF_LIRA")
        solver.set("timeout", MOST_MILLISECONDS)
        paths = sorted(frozenset[str]().union(*(one.facts for one in formulas)))
        solver.add(*(one.holds for one in formulas), *(self.facts[path].within for path in paths))
        answer = solver.check()
        if answer == z3.unsat:
            return None
        if answer != z3.sat:
            raise Undecided
        model = solver.model()
        return {path: self._read(model, self.facts[path]) for path in paths}

    def with_other(self, path: str, formulas: Sequence[Formula]) -> tuple[list[Formula], Formula]:
        """The same formulas with another value of one fact, and that this is a value which the fact can have."""
        term = self.facts[path].term
        changes = [(term.value, z3.FreshConst(term.value.sort(), path))]
        if not z3.is_false(term.none):
            changes.append((term.none, z3.FreshConst(z3.BoolSort(), path)))
        other = [one._replace(holds=z3.substitute(one.holds, *changes)) for one in formulas]
        return other, Formula(z3.substitute(self.facts[path].within, *changes), frozenset())

    def is_word(self, path: str, word: str | bool) -> Formula:
        """That a fact is this word, or this yes or no."""
        term = self.fact(path).term
        value = term.value == (word if isinstance(word, bool) else self.code(word))
        return Formula(z3.And(value, z3.Not(term.none)), frozenset([path]))

    def _read(self, model: Any, fact: FactTerm) -> Any:
        if z3.is_true(model.eval(fact.term.none, model_completion=True)):
            return {"none": "there is none"}
        value = model.eval(fact.term.value, model_completion=True)
        if fact.term.sort == FLAG:
            return z3.is_true(value)
        if fact.term.sort == AMOUNT and fact.leaf.form != "count":
            return float(value.as_fraction())
        number = int(value.as_long())
        if fact.term.sort == WORD:
            return next((word for word, code in self._codes.items() if code == number), f"{OTHER_WORD} {number}")
        return number

    # --- conditions ---

    def of(self, node: tree.Condition, rule: tree.BoundRule) -> Formula:
        """A condition of a rule as a formula."""
        key = (node, rule.for_each, tuple(rule.where.items()))
        if key not in self._known:
            reader = _Reader(self, rule.for_each, rule.where)
            holds = reader.condition(node)
            self._known[key] = Formula(holds, *map(frozenset, (reader.facts, reader.free, reader.behind)))
        return self._known[key]

    # --- facts and free values ---

    def fact(self, path: str) -> FactTerm:
        """A fact as a term."""
        if path not in self.facts:
            leaf = self.vocabulary.leaves[path]
            sort = {"flag": FLAG, "word": WORD, "date": DATE}.get(leaf.kind, AMOUNT)
            none = z3.Bool(f"{path} none") if leaf.may_be_none else z3.BoolVal(False)
            whole = sort in (WORD, DATE) or leaf.form == "count"
            value = z3.Bool(path) if sort == FLAG else z3.Int(path) if whole else z3.Real(path)
            self.facts[path] = FactTerm(Term(sort, value, none), leaf, z3.And(*self._within(leaf, sort, value)))
        return self.facts[path]

    def _within(self, leaf: Leaf, sort: str, value: Any) -> Iterator[Any]:
        yield z3.BoolVal(True)
        if sort == WORD:
            yield z3.Or(*(value == self.code(word) for word in leaf.possible)) if leaf.possible else value >= 0
        elif sort == DATE:
            yield value >= 1
            yield value <= 3652059  # the last day of the calendar of Python
        elif sort == AMOUNT:
            if math.isfinite(leaf.bounds.lowest):
                yield value >= _exact(leaf.bounds.lowest)
            if math.isfinite(leaf.bounds.highest):
                yield value <= _exact(leaf.bounds.highest)
            if leaf.form == "count":
                yield value >= 0

    def code(self, word: str) -> int:
        return self._codes.setdefault(word, len(self._codes))

    def free(self, key: Any, sort: str) -> Term:
        """A value of which nothing is known; the same for the same key."""
        if (key, sort) not in self._free:
            self._free[key, sort] = self._fresh(sort, "free")
        return self._free[key, sort]

    def _fresh(self, sort: str, name: str) -> Term:
        made = {FLAG: z3.BoolSort(), WORD: z3.IntSort(), DATE: z3.IntSort(), AMOUNT: z3.RealSort()}[sort]
        return Term(sort, z3.FreshConst(made, name), z3.FreshConst(z3.BoolSort(), f"{name} none"))


def both(*formulas: Formula) -> Formula:
    """All of these formulas."""
    return _joined(z3.And(*(one.holds for one in formulas)), formulas)


def either(*formulas: Formula) -> Formula:
    """At least one of these formulas."""
    return _joined(z3.Or(*(one.holds for one in formulas)), formulas)


def differ(first: Formula, second: Formula) -> Formula:
    """One of two formulas, and not the other."""
    return _joined(z3.Xor(first.holds, second.holds), (first, second))


def denied(formula: Formula) -> Formula:
    """That a formula does not hold."""
    return formula._replace(holds=z3.Not(formula.holds))


def _joined(holds: Any, formulas: tuple[Formula, ...]) -> Formula:
    facts, free, behind = (frozenset[str]().union(*(one[at] for one in formulas)) for at in (1, 2, 3))
    return Formula(holds, facts, free, behind)


def _exact(number: float) -> Any:
    return z3.RealVal(repr(number))


def _real(value: Any) -> Any:
    return z3.ToReal(value) if z3.is_int(value) else value


class _Free(Exception):
    """A part that formulas cannot say, and why."""


class _Reader:
    """Reads the conditions of one rule into formulas."""

    def __init__(self, encoding: Encoding, for_each: tuple[str, ...], where: Mapping[str, tree.Value]) -> None:
        self.encoding, self.for_each, self.where = encoding, for_each, where
        self.facts: set[str] = set()
        self.free: set[str] = set()
        self.behind: set[str] = set()

    def condition(self, node: Any) -> Any:
        if isinstance(node, tree.All):
            return z3.And(*map(self.condition, node.conditions))
        if isinstance(node, tree.AnyOf):
            return z3.Or(*(self.condition(branch.condition) for branch in node.branches))
        if isinstance(node, tree.NoneOf):
            return z3.Not(z3.Or(*map(self.condition, node.conditions)))
        if isinstance(node, tree.Not):
            return z3.Not(self.condition(node.condition))
        if isinstance(node, tree.Constantly):
            return z3.BoolVal(node.value)
        try:
            return self.single(node)
        except _Free as why:
            return self.unsaid(node, str(why), FLAG).value

    def single(self, node: Any) -> Any:
        if isinstance(node, tree.Compare):
            operands = [self.value(one) for one in node.operands]
            pairs = zip(pairwise(operands), node.operators, strict=True)
            return z3.And(*(_compared(left, right, operator, node.grain) for (left, right), operator in pairs))
        if isinstance(node, tree.Truth):
            term = self.value(node.value)
            return z3.And(term.value, z3.Not(term.none))
        if isinstance(node, tree.Member):
            term = self.value(node.value)
            among = z3.Or(*(term.value == self.encoding.code(word) for word in node.words))
            return z3.Not(self._is(term, among)) if node.negated else self._is(term, among)
        if isinstance(node, tree.Given):
            none = self.value(node.fact).none
            if z3.is_false(none):  # the line only asks that it is recorded, which in a known job it is
                return self.unsaid(node, "whether something is recorded", FLAG).value
            return none if node.none else z3.Not(none)
        if isinstance(node, tree.Unsettled):
            raise _Free(f"no edition of {node.code} is in force")
        raise _Free(f"'{type(node).__name__}' is not known to proofs")

    @staticmethod
    def _is(term: Term, holds: Any) -> Any:
        return z3.And(holds, z3.Not(term.none))

    def value(self, node: Any) -> Term:
        if isinstance(node, tree.Fact):
            return self.fact(node)
        if isinstance(node, tree.Named):
            return self.value(self.where[node.name])
        if isinstance(node, tree.Constant):
            return self.constant(node)
        if isinstance(node, tree.FirstGiven):
            first, second = self.value(node.first), self.value(node.second)
            left, right = _alike(first, second)
            return Term(first.sort, z3.If(first.none, right, left), z3.And(first.none, second.none))
        if isinstance(node, tree.Arithmetic):
            return self.arithmetic(node)
        if isinstance(node, tree.Lookup):
            return self.lookup(node)
        name = {tree.Call: "function", tree.Fold: "list"}.get(type(node), type(node).__name__)
        called = getattr(node, "function", "") or getattr(node, "name", "")
        return self.unsaid(node, f"{name} '{called}'", _sort_of(getattr(node, "kind", "")))

    def fact(self, node: tree.Fact) -> Term:
        path = self.path(node)
        if path not in self.encoding.vocabulary.leaves:
            raise _Free(f"'{path}' is not a single fact")
        self.facts.add(path)
        return self.encoding.fact(path).term

    def path(self, node: tree.Fact) -> str:
        around = {"job": "", "item": ".".join(self.for_each), "outer": self.for_each[0] if self.for_each else ""}
        return ".".join(filter(None, (around[node.frame], node.path)))

    def constant(self, node: tree.Constant) -> Term:
        value, no = node.value, z3.BoolVal(False)
        if isinstance(value, bool):
            return Term(FLAG, z3.BoolVal(value), no)
        if isinstance(value, str):
            return Term(WORD, z3.IntVal(self.encoding.code(value)), no)
        if isinstance(value, int) and node.kind == DATE:
            return Term(DATE, z3.IntVal(value), no)
        if isinstance(value, int | float):
            return Term(AMOUNT, _exact(float(value)), no)
        raise _Free(f"the limit '{node.name}' is {'left to the place' if value is None else 'a list'}")

    def arithmetic(self, node: tree.Arithmetic) -> Term:
        left, right = self.value(node.left), self.value(node.right)
        a, b = _alike(left, right) if left.sort == right.sort else (_real(left.value), _real(right.value))
        if node.operator in ("larger_of", "smaller_of"):
            picked = z3.If((a >= b) if node.operator == "larger_of" else (a <= b), a, b)
            value = z3.If(left.none, b, z3.If(right.none, a, picked))
            return Term(left.sort, value, z3.And(left.none, right.none))
        none = z3.Or(left.none, right.none)
        if node.kind == DATE:
            minutes = _real(b) / 1440
            moved = _real(a) + minutes if node.operator == "+" else _real(a) - minutes
            return Term(DATE, z3.ToInt(moved), none)
        a, b = _real(a), _real(b)
        if node.operator in "+-":
            apart = a + b if node.operator == "+" else a - b
            return Term(AMOUNT, apart * 1440 if left.sort == DATE else apart, none)
        a, b = z3.simplify(a), z3.simplify(b)
        if node.operator == "*" and (z3.is_rational_value(a) or z3.is_rational_value(b)):
            return Term(AMOUNT, a * b, none)
        if node.operator == "/" and z3.is_rational_value(b) and b.as_fraction() != 0:
            return Term(AMOUNT, a / b, none)
        return self.unsaid(node, f"a product or quotient of two readings ('{node.operator}')", AMOUNT)

    def lookup(self, node: tree.Lookup) -> Term:
        keys = [self.value(key) for key in node.keys]
        left = self.encoding.free((self.whole(node), self.for_each), _sort_of(node.kind))
        value, none = left.value, z3.BoolVal(False)
        for row in reversed(node.rows):
            hit = z3.And(*(self.hit(part, key) for part, key in zip(row.keys, keys, strict=True)))
            if row.value is not None:
                value = z3.If(hit, self.constant(tree.Constant("", row.value, node.kind)).value, value)
            none = z3.If(hit, z3.BoolVal(row.value is None), none)
        self.free.add(f"rows that '{node.table}' does not have")
        return Term(left.sort, value, z3.Or(none, *(key.none for key in keys)))

    def hit(self, part: str | tuple[float, float], key: Term) -> Any:
        """Whether a key of a table is of a row."""
        if isinstance(part, str):
            return key.value == self.encoding.code(part)
        amount = _real(key.value)
        return z3.And(_end(part[0], lambda low: amount >= low), _end(part[1], lambda high: amount < high))

    def unsaid(self, node: Any, why: str, sort: str) -> Term:
        """A free value in the place of a node."""
        self.free.add(why)
        self.behind.update(patterns_read(node, self.where, self.for_each))
        return self.encoding.free((self.whole(node), self.for_each), sort)

    def whole(self, node: Any) -> Any:
        """A node with the values of names in their place, so that it means the same in every rule."""

        def put_in(one: Any) -> Any:
            return self.whole(self.where[one.name]) if isinstance(one, tree.Named) else one

        return rewritten(node, put_in)


def _sort_of(kind: str) -> str:
    return kind if kind in (WORD, FLAG, DATE) else AMOUNT


def _alike(first: Term, second: Term) -> tuple[Any, Any]:
    """The values of two terms as one kind of number."""
    if first.sort != second.sort:
        raise _Free(f"{first.sort} beside {second.sort}")
    if first.sort == AMOUNT:
        return _real(first.value), _real(second.value)
    return first.value, second.value


def _end(number: float, holds: Callable[[Any], Any]) -> Any:
    """What an end of a range asks; an open end asks nothing."""
    return holds(_exact(number)) if math.isfinite(number) else z3.BoolVal(True)


def _compared(left: Term, right: Term, operator: str, grain: float) -> Any:
    """One comparison, as `kleene.compared` makes it: a known none is equal to nothing and on no side of anything."""
    a, b = _alike(left, right)
    there = z3.Not(z3.Or(left.none, right.none))
    if left.sort in (WORD, FLAG):
        return z3.And(there, a == b) if operator == "==" else z3.Not(z3.And(there, a == b))
    step = _exact(grain)
    a, b = _real(a), _real(b)
    same = z3.And(a - b <= step, b - a <= step)
    holds = {"<=": a <= b + step, "<": a < b - step, ">=": a >= b - step, ">": a > b + step, "==": same}
    return z3.Not(z3.And(there, same)) if operator == "!=" else z3.And(there, holds[operator])
