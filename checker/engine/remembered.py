"""What rules said before, kept by all that it hangs on: nothing is judged or put in words twice while that is the same.

What a rule says at a place follows from its versions, the place, what is recorded of the facts and lists that stand
anywhere in it, why some of them are not known or doubted, how accurate its readings are, and the ranges of facts there. All
of these are in the key. Readings are equal to themselves alone; reading a job gives the same one for the same text.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from checker.findings.composer import Before
from checker.ir import tree
from checker.ir.kleene import Scope
from checker.ir.node import Node
from checker.ir.references import reads
from checker.ir.visitor import walk, walk_through
from checker.judging.generated_code import UNREAD
from checker.judging.judge import Place
from checker.judging.uncertainty import AccuracyOf
from checker.reading.job import JobFacts
from checker.reading.vocabulary import Vocabulary

MOST_OF_ONE = 8  # findings kept of one rule; then it begins anew
MOST_FINDINGS = 4_000  # of all rules
MOST_OUTCOMES = 50_000
MOST_RULES = 2_000  # of which something is kept; those that a job's own answers make come and go
MOST_PLACES = 1000  # places of which the paths are kept, a rule

Key = tuple[Any, ...]


class Looks:
    """The facts and lists in some parts of rules, and their paths at each place."""

    def __init__(self, parts: Sequence[Node], where: Any, vocabulary: Vocabulary) -> None:
        self.vocabulary, self.where = vocabulary, where
        self.facts = tuple(dict.fromkeys(part for part in parts if isinstance(part, tree.Fact)))
        self.lists = tuple(dict.fromkeys(part for part in parts if isinstance(part, tree.Fold)))
        self._paths: dict[tuple[str, str], tuple[list[str], list[str]]] = {}

    def paths(self, item: str, outer: str) -> tuple[list[str], list[str]]:
        """The full paths of the facts, and of those that are measured."""
        found = self._paths.get((item, outer))
        if found is None:
            scope = Scope(None, {}, item, outer)  # type: ignore[arg-type]
            paths = [scope.path(fact) for fact in self.facts]
            leaves = ((path, self.vocabulary.leaf(path)) for path in paths)
            found = paths, [path for path, leaf in leaves if leaf and leaf.measured]
            if len(self._paths) < MOST_PLACES:
                self._paths[item, outer] = found
        return found

    def in_lists(self, facts: JobFacts, item: str, outer: str) -> tuple[Key, list[str]]:
        """The lists that are taken together with the keys of their items, and the paths of what is read in them."""
        scope = Scope(facts, self.where, item, outer)
        paths = sorted({path for one in self.lists for path in reads(one, scope)})
        return tuple([facts.items(scope.path(one.items)) for one in self.lists]), paths


class OfOne:
    """What one rule, or the versions of it that could hold, said so far. `held` keeps their identity theirs."""

    def __init__(self, held: Any, rules: Sequence[tree.BoundRule], vocabulary: Vocabulary) -> None:
        self.held = held
        where = {name: value for rule in rules for name, value in rule.where.items()}
        self.looks = Looks([part for rule in rules for part in walk(rule)], where, vocabulary)
        self.said: dict[Key, Before | None] = {}

    def key(self, facts: JobFacts, place: Place, accuracy: AccuracyOf, ranges: Key) -> Key:
        """All that what is said at a place hangs on."""
        looks, job = self.looks, facts.job
        paths, measured = looks.paths(place.item, place.outer)
        key: Key = (place, ranges, *map(job.readings.get, paths), *map(accuracy, measured))
        if looks.lists:
            listed, inside = looks.in_lists(facts, place.item, place.outer)
            paths = paths + inside
            key = (*key, listed, *map(job.readings.get, inside), *map(accuracy, inside))
        if job.not_known:
            why = job.not_known
            key = (*key, *[(path, why[path]) for path in (*paths, place.missing) if path in why])
        if facts.doubts:
            key = (*key, *[(path, facts.doubts[path]) for path in paths if path in facts.doubts])
        return key


class Remembered:
    def __init__(self, vocabulary: Vocabulary) -> None:
        self._vocabulary = vocabulary
        self._of: dict[Any, OfOne] = {}
        self._conditions: dict[int, tuple[tree.BoundRule, Looks]] = {}
        self._outcomes: dict[Key, str] = {}
        self._count = 0
        self.jobs = 0  # reported so far

    def of(self, variants: Sequence[tuple[Any, tree.BoundRule | None]]) -> OfOne:
        """What the versions of a rule that could hold said so far. One alone says the same whatever it is called."""
        held: Any = variants[0][1] if len(variants) == 1 else variants
        found = self._of.get(id(held))
        if found is None:
            if len(self._of) >= MOST_RULES:
                self._of.clear()
                self._count = 0
            rules = [rule for _, rule in variants if rule]
            found = self._of[id(held)] = OfOne(held, rules, self._vocabulary)
        return found

    def keep(self, one: OfOne, key: Key, said: Before | None) -> None:
        if self._count >= MOST_FINDINGS:
            self._of.clear()
            self._count = 0
        if len(one.said) >= MOST_OF_ONE:
            self._count -= len(one.said)
            one.said.clear()
        one.said[key] = said
        self._count += 1

    def outcome(self, rule: tree.BoundRule, facts: JobFacts, place: Place, ranges: Key, work: Callable[[], str]) -> str:
        """The outcome of a rule at a place, or what it was of the same values before."""
        if place.missing or facts.doubts or rule.judged == "guarded":  # which looks at the accuracy of instruments too
            return work()
        looks = self._in_conditions(rule)
        paths = looks.paths(place.item, place.outer)[0]
        get = facts.recorded
        key: Key = (id(rule), ranges, *[get(path, UNREAD).value for path in paths])
        if looks.lists:
            listed, inside = looks.in_lists(facts, place.item, place.outer)
            key = (*key, listed, *[(path, get(path, UNREAD).value) for path in inside])
        found = self._outcomes.get(key)
        if found is None:
            if len(self._outcomes) >= MOST_OUTCOMES:
                self._outcomes.clear()
            found = self._outcomes[key] = work()
        return found

    def _in_conditions(self, rule: tree.BoundRule) -> Looks:
        """What the outcome of a rule hangs on."""
        known = self._conditions.get(id(rule))
        if known is None:
            parts = [part for node in rule.conditions for part in walk_through(node, rule.where)]
            if len(self._conditions) >= MOST_RULES:
                self._conditions.clear()
                self._outcomes.clear()  # which know a rule by its identity alone
            known = self._conditions[id(rule)] = rule, Looks(parts, rule.where, self._vocabulary)
        return known[1]
