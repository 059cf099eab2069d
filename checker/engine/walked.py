"""Verdicts of the walk, kept by the rule and the facts it read: nothing is walked twice while those are the same.

A verdict follows from the rule, the place in the job, what is recorded of the facts the rule reads, and the ranges that
the rulesets of the place give. All of these are in the key.
"""

from __future__ import annotations

from typing import Any

from checker.ir import tree
from checker.ir.kleene import Scope
from checker.ir.references import reads
from checker.ir.visitor import walk_through
from checker.judging.judge import Verdict, settle

MOST_KEPT = 20_000  # verdicts; then it begins anew

Looks = tuple[tuple[tree.Fact, ...], tuple[tree.Fact, ...]]


class Walked:
    """Keeps verdicts beside their rules, so that no other rule can come to have their identity."""

    def __init__(self) -> None:
        self._kept: dict[tuple[Any, ...], tuple[tree.BoundRule, Verdict]] = {}
        self._read: dict[int, tuple[tree.BoundRule, Looks]] = {}

    def verdict(self, rule: tree.BoundRule, scope: Scope, chain: str) -> Verdict:
        """What `settle` says of a rule at one place of a job.

        Args:
            chain: The digest of the rulesets that give the ranges of facts.
        """
        if rule.judged == "guarded":  # which looks at the accuracy of instruments too
            return settle(rule, scope)
        value, items = scope.facts.value, scope.facts.items
        facts, lists = self._looks(rule)
        key: tuple[Any, ...] = (id(rule), chain, scope.item, scope.outer, *[value(scope.path(fact)) for fact in facts])
        if lists:
            paths = sorted({path for node in rule.conditions for path in reads(node, scope)})
            key = (*key, *[items(scope.path(one)) for one in lists], *[(path, value(path)) for path in paths])
        known = self._kept.get(key)
        if known is None:
            if len(self._kept) >= MOST_KEPT:
                self._kept.clear()
            known = self._kept[key] = rule, settle(rule, scope)
        return known[1]

    def _looks(self, rule: tree.BoundRule) -> Looks:
        """The facts that a rule reads, and the lists it takes together."""
        known = self._read.get(id(rule))
        if known is None:
            parts = {part: None for node in rule.conditions for part in walk_through(node, rule.where)}
            lists = tuple(part.items for part in parts if isinstance(part, tree.Fold))
            known = rule, (tuple(part for part in parts if isinstance(part, tree.Fact)), lists)
            self._read[id(rule)] = known
        return known[1]
