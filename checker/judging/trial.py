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
from checker.ir.kleene import Cause, Facts, Known, Nothing, Scope
from checker.ir.outcomes import VERIFY
from checker.judging.code_values import DomainOf
from checker.judging.conditions import MOST_COMBINATIONS, all_open_choices, combinations
from checker.judging.exactness import Exactness
from checker.judging.generated_code import DOES_NOT_APPLY, Doubted, Generated, Missing, Said, together
from checker.judging.judge import FINE, Verdict, agreed, doubted, that_matter

World = tuple[Known | Nothing, ...]


class Trial:
    """One rule, ready to be tried on jobs."""

    def __init__(self, rule: tree.BoundRule, domain: DomainOf) -> None:
        self.rule, self.domain = rule, domain
        exactness = Exactness(rule, domain)
        self.closed = {fact: domain(rule, fact).closed for fact in exactness.facts if domain(rule, fact).closed}
        self.in_lists = bool(exactness.lists)
        self.settles = not (rule.verify or rule.stale or rule.judged == "guarded")
        self.deciding = {fact: self.closed[fact] for fact in exactness.to_try(False) if fact in self.closed}
        self.given = {fact: [SimpleNamespace(value=value) for value in values] for fact, values in self.closed.items()}

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

    def outcome(self, facts: Facts, item: str, outer: str) -> str | None:
        """The outcome at a place; None where the walk has to say."""
        if not self.settles:
            return None
        each = self._with_lists(facts, item, outer) if self.in_lists else self._deciding(facts, item, outer)
        found: set[str] = set()
        for said in each:
            outcome = _outcome(said)
            if outcome is None:
                return None
            found.add(outcome)
            if not agreed(found) or outcome == VERIFY:
                return VERIFY
        same = agreed(found - {DOES_NOT_APPLY})
        return doubted(self.rule, Verdict(same)).outcome if same else None

    def _deciding(self, facts: Facts, item: str, outer: str) -> Iterator[Said]:
        """What is said in each way of filling in those open facts that could settle the rule; the others stay open.

        A fact that is read once, in a condition that can be true and can be false, settles nothing by being filled in.
        """
        paths = self.open_paths(facts, item, outer)
        if prod(len(self.closed[fact]) for fact in paths.values()) > MOST_COMBINATIONS:
            yield self._plainly(Scope(facts, self.rule.where, item, outer))
            return
        filled = {path: fact for path, fact in paths.items() if fact in self.deciding}
        for _, said in self._each(self.for_outcomes, facts, item, outer, filled):
            yield said

    def _plainly(self, scope: Scope) -> Said:
        """What is said with nothing filled in."""
        function = self.for_conditions
        return function.judge(scope.facts.recorded, [scope.path(fact) for fact in function.facts], lambda _: scope)[0]

    def _with_lists(self, facts: Facts, item: str, outer: str) -> Iterator[Said]:
        """The same where lists are taken together: every open fact is filled in, those of their items too."""
        scope = Scope(facts, self.rule.where, item, outer)
        choices = all_open_choices(self.rule.conditions, scope)
        if prod(map(len, choices.values())) > MOST_COMBINATIONS:
            yield self._plainly(scope)
            return
        at = [scope.path(fact) for fact in self.for_outcomes.facts]
        recorded = facts.recorded
        for world in combinations(choices):
            assumed = {path: SimpleNamespace(value=value) for path, value in world.items()}
            look = scope.assuming(world)
            yield self.for_outcomes.judge(
                lambda path, otherwise, given=assumed: given.get(path) or recorded(path, otherwise),  # type: ignore[misc]
                at,
                lambda _, look=look: look,  # type: ignore[misc]
            )[0]

    def verdict(self, facts: Facts, item: str, outer: str) -> Verdict | None:
        """The verdict at a place; None where the walk has to say."""
        worlds = list(self.worlds(facts, item, outer))
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
        paths = list(self.open_paths(facts, item, outer))
        if list(that_matter(paths, {world: _mark(said) for world, said in worlds})) != paths:
            return (
                None  # what is left to settle is told flat here: the walk, which keeps its shape, may tell ways apart
            )
        causes |= {Cause("not_recorded", path) for path in paths}
        needs = tuple(sorted({cause.fact for cause in causes if cause.fact}))
        return Verdict(VERIFY, frozenset(causes), needs, all(said.exact for said in open_ones))

    def worlds(self, facts: Facts, item: str, outer: str) -> Iterator[tuple[World, Said]]:
        """What is said in each way of filling in the open facts; nothing where there are too many, or none to fill in."""
        if self.in_lists or not self.settles:
            return
        paths = self.open_paths(facts, item, outer)
        if not paths or prod(len(self.closed[fact]) for fact in paths.values()) > MOST_COMBINATIONS:
            return
        yield from self._each(self.function, facts, item, outer, paths)

    def _each(
        self, function: Generated, facts: Facts, item: str, outer: str, paths: Mapping[str, tree.Fact]
    ) -> Iterator[tuple[World, Said]]:
        """What a function says in each way of filling in these facts."""
        scope = Scope(facts, self.rule.where, item, outer)
        at = [scope.path(fact) for fact in function.facts]
        assumed: dict[str, Any] = {}
        recorded = facts.recorded

        def get(path: str, otherwise: Any) -> Any:
            return assumed[path] if path in assumed else recorded(path, otherwise)

        def see(_: int) -> Scope:
            raise AssertionError("no list is taken together here")

        values = [self.closed[fact] for fact in paths.values()]
        given = [self.given[fact] for fact in paths.values()]
        for world, readings in zip(product(*values), product(*given), strict=True):
            assumed.update(zip(paths, readings, strict=True))
            yield world, function.judge(get, at, see)[0]

    def open_paths(self, facts: Facts, item: str, outer: str) -> Mapping[str, tree.Fact]:
        """The facts with a closed list that are not recorded, by full path, in its order."""
        scope = Scope(facts, {}, item, outer)
        found = {path: fact for fact in self.closed if facts.recorded(path := scope.path(fact), None) is None}
        return dict(sorted(found.items()))


def _outcome(said: Said) -> str | None:
    if said is None or isinstance(said, str):
        return said
    return said.outcome if isinstance(said, Doubted) else VERIFY


def _mark(said: Said) -> Any:
    outcome = _outcome(said)
    return outcome in FINE or (outcome, said.mark if isinstance(said, Missing) else None)
