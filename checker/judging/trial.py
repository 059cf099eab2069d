"""Every value that unrecorded facts could have, tried in the generated function of one rule.

The walk does the same (`judge.settle`), and is the oracle of this. A trial gives nothing where it would have to look at more
than plain facts out of closed lists.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import product
from math import prod
from types import SimpleNamespace
from typing import Any

from checker.ir import tree
from checker.ir.kleene import Cause, Facts, Known, Nothing, Scope
from checker.ir.outcomes import VERIFY
from checker.judging.code_values import DomainOf
from checker.judging.conditions import MOST_COMBINATIONS
from checker.judging.exactness import Exactness
from checker.judging.generated_code import DOES_NOT_APPLY, Doubted, Missing, Said, together
from checker.judging.judge import FINE, Verdict, agreed, doubted, that_matter

World = tuple[Known | Nothing, ...]


class Trial:
    """One rule, ready to be tried on jobs."""

    def __init__(self, rule: tree.BoundRule, domain: DomainOf) -> None:
        self.rule = rule
        exactness = Exactness(rule, domain)
        self.closed = {fact: domain(rule, fact).closed for fact in exactness.facts if domain(rule, fact).closed}
        self.fit = not (rule.verify or rule.stale or rule.judged == "guarded" or exactness.lists)
        if self.fit:
            self.function = together([rule], domain, trying=True)
            self.given = {
                fact: [SimpleNamespace(worth=value) for value in values] for fact, values in self.closed.items()
            }

    def outcome(self, facts: Facts, item: str, outer: str) -> str | None:
        """The outcome at a place; None where the walk has to say."""
        found: set[str] = set()
        for _, said in self.worlds(facts, item, outer):
            outcome = _outcome(said)
            if outcome is None:
                return None
            found.add(outcome)
            if not agreed(found) or outcome == VERIFY:
                return VERIFY
        return None if not found or found == {DOES_NOT_APPLY} else doubted(self.rule, Verdict(agreed(found))).outcome

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
        if not self.fit:
            return
        paths = self.open_paths(facts, item, outer)
        if not paths or prod(len(self.closed[fact]) for fact in paths.values()) > MOST_COMBINATIONS:
            return
        scope = Scope(facts, self.rule.where, item, outer)
        at = [scope.path(fact) for fact in self.function.facts]
        assumed: dict[str, Any] = {}
        recorded = facts.recorded

        def get(path: str, otherwise: Any) -> Any:
            return assumed[path] if path in assumed else recorded(path, otherwise)

        def see(_: int) -> Scope:
            raise AssertionError("no list is taken together in a trial")

        values = [self.closed[fact] for fact in paths.values()]
        given = [self.given[fact] for fact in paths.values()]
        for world, readings in zip(product(*values), product(*given), strict=True):
            assumed.update(zip(paths, readings, strict=True))
            yield world, self.function.judge(get, at, see)[0]

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
