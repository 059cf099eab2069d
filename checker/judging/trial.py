"""Every value that unrecorded facts could have, tried in the generated function of one rule.

The walk does the same (`judge.settle`), and is the oracle of this. A trial gives nothing where it would have to look at more
than plain facts out of closed lists.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping
from itertools import product
from math import prod
from types import SimpleNamespace
from typing import Any

from checker.ir import tree
from checker.ir.kleene import Cause, Facts, Known, Nothing, Range, Scope
from checker.ir.outcomes import VERIFY
from checker.judging.code_values import DomainOf
from checker.judging.conditions import MOST_COMBINATIONS, all_open_choices, open_in_list
from checker.judging.exactness import Exactness
from checker.judging.generated_code import DOES_NOT_APPLY, Doubted, Generated, Missing, Said, together
from checker.judging.judge import FINE, Verdict, agreed, doubted, that_matter, verdict_of

World = tuple[Known | Nothing, ...]
Choices = Mapping[str, tuple[Known | Nothing, ...]]


class Trial:
    """One rule, ready to be tried on jobs."""

    def __init__(self, rule: tree.BoundRule, domain: DomainOf) -> None:
        self.rule, self.domain = rule, domain
        exactness = Exactness(rule, domain)
        self.closed = {fact: domain(rule, fact).closed for fact in exactness.facts if domain(rule, fact).closed}
        self.lists, self.days = exactness.lists, exactness.days
        self.in_lists = bool(exactness.lists)
        self.settles = not (rule.verify or rule.stale or exactness.bounded)
        self.deciding = {fact: self.closed[fact] for fact in exactness.to_try_for_outcome() if fact in self.closed}

    @functools.cached_property
    def function(self) -> Generated:
        """Tells of each way of filling in the facts what is left to settle."""
        return together([self.rule], self.domain, trying="worlds")

    @functools.cached_property
    def for_outcomes(self) -> Generated:
        """Tells the outcome alone."""
        return together([self.rule], self.domain, telling=False, trying="worlds")

    @functools.cached_property
    def for_conditions(self) -> Generated:
        """Tells the outcome where there are too many ways of filling in the facts, so that each condition is tried alone."""
        return together([self.rule], self.domain, telling=False, trying="conditions")

    @functools.cached_property
    def telling_conditions(self) -> Generated:
        """The same, telling what is missing."""
        return together([self.rule], self.domain, trying="conditions")

    def outcome(self, facts: Facts, item: str, outer: str) -> str | None:
        """The outcome at a place; None where the walk has to say."""
        if not self.settles:
            return None
        scope = Scope(facts, self.rule.where, item, outer)
        found: set[str] = set()
        for said in self._worlds_for_outcome(scope):
            outcome = _outcome(said)
            if outcome is None:
                return None
            found.add(outcome)
            if not agreed(found) or outcome == VERIFY:
                return VERIFY
        same = agreed(found - {DOES_NOT_APPLY})
        return doubted(self.rule, Verdict(same)).outcome if same else None

    def _worlds_for_outcome(self, scope: Scope) -> Iterator[Said]:
        """What is said in each way of filling in the open facts; with nothing filled in where there are too many ways."""
        choices, in_lists = self.choices(scope), self._choices_in_lists(scope)
        every = {**choices, **in_lists}
        if prod(map(len, every.values())) > MOST_COMBINATIONS:
            yield self.for_conditions.judge(scope.facts.recorded, self.for_conditions.paths(scope), lambda _: scope)[0]
            return
        # A fact that is read once, in a condition that can be either, settles nothing by being filled in.
        deciding = {*in_lists, *map(scope.path, self.deciding)}
        choices = {path: values for path, values in every.items() if path in deciding}
        for _, said in self._each(self.for_outcomes, scope, choices):
            yield said

    def _choices_in_lists(self, scope: Scope) -> Choices:
        """The facts that could be tried in lists taken together, and where there are such lists the days between two days."""
        found = {path: values for node in self.lists for path, values in open_in_list(node, scope).items()}
        if self.lists and any(isinstance(scope.facts.value(scope.path(day)), Range) for day in self.days):
            found |= all_open_choices(self.rule.conditions, scope)
        return found

    def verdict(self, facts: Facts, item: str, outer: str) -> Verdict | None:
        """The verdict at a place; None where the walk has to say."""
        scope = Scope(facts, self.rule.where, item, outer)
        choices = self.choices(scope)
        if prod(map(len, choices.values())) > MOST_COMBINATIONS:
            return self._untried(scope)
        worlds = list(self.worlds(scope, choices))
        outcomes = {_outcome(said) for _, said in worlds}
        if None in outcomes or not worlds or outcomes == {DOES_NOT_APPLY}:
            return None
        same = agreed(outcomes)  # type: ignore[arg-type]
        if same not in ("", VERIFY):
            return doubted(self.rule, Verdict(same))
        open_ones = [said for _, said in worlds if isinstance(said, Missing)]
        causes = {
            Cause("not_recorded", one) if isinstance(one, str) else one for said in open_ones for one in said.facts
        }
        paths = list(choices)
        if list(that_matter(paths, {world: _mark(said) for world, said in worlds})) != paths:
            return (
                None  # what is left to settle is told flat here: the walk, which keeps its shape, may tell ways apart
            )
        causes |= {Cause("not_recorded", path) for path in paths}
        needs = tuple(sorted({cause.fact for cause in causes if cause.fact}))
        return Verdict(VERIFY, frozenset(causes), needs, all(said.exact for said in open_ones))

    def _untried(self, scope: Scope) -> Verdict | None:
        """The verdict where there are too many ways of filling in the facts: what is missing, as far as the rule is open."""
        function = self.telling_conditions
        said = function.judge(scope.facts.recorded, function.paths(scope), lambda _: scope)[0]
        return verdict_of(self.rule, said) if isinstance(said, Missing) else None

    def worlds(self, scope: Scope, choices: Choices) -> Iterator[tuple[World, Said]]:
        """What is said in each way of filling in the open facts; nothing where there are too many, or none to fill in."""
        if self.settles and not self.in_lists and choices and prod(map(len, choices.values())) <= MOST_COMBINATIONS:
            yield from self._each(self.function, scope, choices)

    def _each(self, function: Generated, scope: Scope, choices: Choices) -> Iterator[tuple[World, Said]]:
        """What a function says in each way of filling in these facts."""
        at, recorded = function.paths(scope), scope.facts.recorded
        assumed: dict[str, Any] = {}

        def get(path: str, otherwise: Any) -> Any:
            return assumed[path] if path in assumed else recorded(path, otherwise)

        def see(_: int) -> Scope:
            return scope.assuming({path: reading.value for path, reading in assumed.items()})

        readings = [[SimpleNamespace(value=value) for value in values] for values in choices.values()]
        for world in product(*readings):
            assumed.update(zip(choices, world, strict=True))
            yield tuple([one.value for one in world]), function.judge(get, at, see)[0]

    def choices(self, scope: Scope) -> Choices:
        """The facts with a closed list that are not recorded, by full path in its order, and the values that each could have."""
        recorded = scope.facts.recorded
        found = {path: self.closed[fact] for fact in self.closed if recorded(path := scope.path(fact), None) is None}
        return dict(sorted(found.items()))


def _outcome(said: Said) -> str | None:
    if said is None or isinstance(said, str):
        return said
    return said.outcome if isinstance(said, Doubted) else VERIFY


def _mark(said: Said) -> Any:
    outcome = _outcome(said)
    return outcome in FINE or (outcome, said.mark if isinstance(said, Missing) else None)
