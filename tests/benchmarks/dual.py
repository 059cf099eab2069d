"""Three-valued rules in engines that know two values: when a condition is certainly true, and when it is certainly false.

Peers are given the workload so, each in its own notation. It is the shortest way there is in all of them: only `and`, `or`
and comparisons, cut short where an engine can.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

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
    Limited,
    Rule,
)

OPPOSITE = {"<=": ">", ">=": "<", "<": ">=", ">": "<="}


class Notation(NamedTuple):
    """How a language writes things; `{}` is a path, `first` and `other` paths, `words` a list of words."""

    given: str
    yes: str
    no: str
    among: str
    not_among: str
    both: str
    either: str
    item: str

    def path(self, fact: Fact) -> str:
        return f"{fact.group or self.item}.{fact.name}"

    def rule(self, rule: Rule) -> str:
        """An expression that gives the number of the outcome."""
        surely_not = self.join(self.either, (self.false(condition) for condition in rule.applies))
        surely = self.join(self.both, (self.true(condition) for condition in rule.applies))
        met = self.join(self.both, (self.true(condition) for condition in rule.require))
        broken = self.join(self.either, (self.false(condition) for condition in rule.require))
        failed = f"({broken} {self.both} {surely})"
        return f"({surely_not} ? {DOES_NOT_APPLY} : ({met} ? {PASS} : ({failed} ? {FAIL} : {VERIFY})))"

    def join(self, word: str, parts: Iterable[str]) -> str:
        return "(" + f" {word} ".join(parts) + ")"

    def true(self, condition: Condition) -> str:
        if isinstance(condition, AnyOf):
            return self.join(self.either, map(self.true, condition.parts))
        return self.atom(condition, True)

    def false(self, condition: Condition) -> str:
        if isinstance(condition, AnyOf):
            return self.join(self.both, map(self.false, condition.parts))
        return self.atom(condition, False)

    def atom(self, condition: Limited | Against | Flagged | Among, wanted: bool) -> str:
        path = self.path(condition.fact)
        given = self.given.format(path)
        if isinstance(condition, Flagged):
            return f"({given} {self.both} {(self.yes if wanted else self.no).format(path)})"
        if isinstance(condition, Among):
            words = ", ".join(f"'{word}'" for word in condition.words)
            return f"({given} {self.both} {(self.among if wanted else self.not_among).format(path, words=words)})"
        operator = condition.operator if wanted else OPPOSITE[condition.operator]
        if isinstance(condition, Limited):
            return f"({given} {self.both} {path} {operator} {condition.limit})"
        other = self.path(condition.other)
        return f"({given} {self.both} {self.given.format(other)} {self.both} {path} {operator} {other})"


ZEN = Notation(
    given="{} != null",
    yes="{} == true",
    no="{} == false",
    among="{} in [{words}]",
    not_among="{} not in [{words}]",
    both="and",
    either="or",
    item="#",
)
CEL = Notation(
    given="has({})",
    yes="{}",
    no="!{}",
    among="{} in [{words}]",
    not_among="!({} in [{words}])",
    both="&&",
    either="||",
    item="i",
)
