"""Where trying the values that unrecorded facts could have would say no more of an open rule than its missing facts do.

The walk tries every value out of a closed list, and looks at both ends of a range. That can settle what is open only where such
a fact is read more than once, or where a condition is true or false of its whole list. Elsewhere each condition on it can be
true and can be false whatever the others are: the rule stays open, and all that is missing in what is left to settle matters.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple, TypeGuard

from checker.ir import tree
from checker.ir.kleene import Known, Nothing
from checker.ir.node import Node
from checker.ir.references import parts_that_read, patterns_read
from checker.ir.visitor import children, single_conditions, walk_through
from checker.judging.values import EXTREMES


class Domain(NamedTuple):
    """What is known of a fact before any job: its closed list of values, if it has one; whether it can be a known none;
    and whether one that is not recorded still lies in a range."""

    closed: tuple[Known | Nothing, ...] = ()
    may_be_none: bool = True
    ranged: bool = True


class Exactness:
    """What of one rule has to be recorded, lest values have to be tried.

    `times` says how often a fact is read, `lists` are the lists taken together, `bounded` the values that the walk bounds,
    `days` the dates.
    """

    def __init__(self, rule: tree.BoundRule, domain: Callable[[tree.BoundRule, tree.Fact], Domain]) -> None:
        self.rule, self.domain = rule, domain
        parts = [part for node in rule.conditions for part in _parts(node, rule.where)]
        self.facts = list(dict.fromkeys(part for part in parts if isinstance(part, tree.Fact)))
        self.lists = list(dict.fromkeys(part for part in parts if isinstance(part, tree.Fold)))
        inside = (one for node in rule.conditions for one in walk_through(node, rule.where))
        self.bounded = list(dict.fromkeys(one for one in inside if is_bounded(one)))
        self.days = [fact for fact in self.facts if fact.kind == "date"]
        read = Counter(path for node in rule.conditions for path in patterns_read(node, rule.where, rule.for_each))
        self.times = {fact: read[next(patterns_read(fact, rule.where, rule.for_each))] for fact in self.facts}

    def to_try(self, all_closed: bool) -> Iterator[tree.Fact]:
        """The facts that the walk would try, or look at both ends of, in a way that could settle what is open.

        Args:
            all_closed: Whether to take every fact with a closed list for one of these.
        """
        # Two conditions on one amount can come to the same, so that it makes no difference which of them is left to settle.
        all_closed = all_closed or any(self.times[fact] > 1 and not self._closed(fact) for fact in self.facts)
        within = {fact for node in self.rule.conditions for fact in self._decided_as_a_whole(node)}
        for fact in self.facts:
            domain = self.domain(self.rule, fact)
            if domain.ranged or (domain.closed and (all_closed or self.times[fact] > 1 or fact in within)):
                yield fact

    def to_try_for_outcome(self) -> Iterator[tree.Fact]:
        """The facts that the walk would try, or look at both ends of, in a way that could settle an outcome.

        A fact that is read once, in a condition that can be either, settles nothing by being filled in: what absorbs its
        condition, whichever it is, absorbs it where it is not known too.
        """
        within = {fact for node in self.rule.conditions for fact in self._decided_as_a_whole(node)}
        for fact in self.facts:
            domain = self.domain(self.rule, fact)
            if domain.ranged or (domain.closed and (self.times[fact] > 1 or fact in within)):
                yield fact

    def ranged(self) -> Iterator[tree.Fact]:
        """The facts that lie in a range where they are not recorded."""
        return (fact for fact in self.facts if self.domain(self.rule, fact).ranged)

    def to_try_in_conditions(self) -> Iterator[tree.Fact]:
        """The facts that the walk would try, or look at both ends of, in one condition alone."""
        within = {fact for node in self.rule.conditions for fact in self._decided_as_a_whole(node)}
        for fact in self.facts:
            domain = self.domain(self.rule, fact)
            if domain.ranged or (domain.closed and fact in within):
                yield fact

    def beside(self, fact: tree.Fact) -> Iterator[tuple[list[tree.Fact], bool]]:
        """For each pair of values compared, of which one reads a fact: the other facts without which no value of that one settles
        anything, and whether the condition is on the fact alone and can be either. Days, and facts whose values could be tried
        too, are not among them."""
        ranged = self.domain(self.rule, fact).ranged
        for one in (one for node in self.rule.conditions for one in single_conditions(node)):
            for pair in _compared(one):
                if any(part == fact for value in pair for part in walk_through(value, self.rule.where)):
                    needed = dict.fromkeys(other for value in pair for other in self._needed(value))
                    others = [other for other in needed if other.kind != "date" and self._free(other)]
                    yield others, not ranged and self._can_be_either(one)

    def _needed(self, node: Node) -> Iterator[tree.Fact]:
        """The facts without which a value is not known, whatever the others are."""
        if isinstance(node, tree.Fact):
            yield node
        elif isinstance(node, tree.Named):
            yield from self._needed(self.rule.where[node.name])
        elif isinstance(node, tree.FirstGiven):
            yield from self._needed(node.first)
        elif not (isinstance(node, tree.Fold) or is_bounded(node)):
            for part in children(node):
                yield from self._needed(part)

    def of_applying(self) -> tuple[list[tree.Fact], list[tree.Fold], list[tree.Fact]]:
        """What could settle, though it is not recorded, whether the rule applies: facts that the walk would try in one condition
        alone, lists taken together, and dates."""
        parts = dict.fromkeys(_parts(self.rule.applies, self.rule.where))
        tried = [fact for fact in self.to_try_in_conditions() if fact in parts]
        return tried, [one for one in self.lists if one in parts], [fact for fact in self.days if fact in parts]

    def _decided_as_a_whole(self, node: tree.Condition) -> Iterator[tree.Fact]:
        """The facts in conditions that could be true, or false, whatever value of its list a fact has."""
        for one in single_conditions(node):
            if not self._can_be_either(one):
                yield from (part for part in _parts(one, self.rule.where) if isinstance(part, tree.Fact))

    def _can_be_either(self, node: Any) -> bool:
        """Whether a condition is on one closed list alone, and true of some of its values and false of others."""
        if isinstance(node, tree.Truth):
            return isinstance(node.value, tree.Fact)
        if isinstance(node, tree.Given):
            fact, held = node.fact, [isinstance(value, Nothing) for value in self._closed(node.fact)]
        elif isinstance(node, tree.Member) and isinstance(node.value, tree.Fact):
            fact, held = node.value, [value in node.words for value in self._closed(node.value)]
        elif isinstance(node, tree.Compare) and len(node.operands) == 2 and node.operators[0] in ("==", "!="):
            sides = sorted(node.operands, key=lambda side: isinstance(side, tree.Constant))
            if not (isinstance(sides[0], tree.Fact) and isinstance(sides[1], tree.Constant)):
                return False
            fact, held = sides[0], [value == sides[1].value for value in self._closed(sides[0])]
        else:
            return False
        return not self._closed(fact) or (any(held) and not all(held))

    def _free(self, fact: tree.Fact) -> bool:
        """Whether a fact that is not recorded can be anything."""
        domain = self.domain(self.rule, fact)
        return not (domain.ranged or domain.closed)

    def _closed(self, fact: tree.Fact) -> tuple[Known | Nothing, ...]:
        return self.domain(self.rule, fact).closed


def is_bounded(node: Node) -> TypeGuard[tree.Arithmetic | tree.Choice]:
    """Whether the walk knows bounds of a value of which something is not known: the larger or smaller of two, or one that a
    condition picks."""
    return isinstance(node, tree.Choice) or (isinstance(node, tree.Arithmetic) and node.operator in EXTREMES)


def _compared(node: tree.Condition) -> Iterator[Sequence[tree.Value]]:
    """What a single condition sets side by side: the two sides of each comparison, or its one value."""
    if isinstance(node, tree.Compare):
        yield from itertools.pairwise(node.operands)
    elif isinstance(node, tree.Member | tree.Truth):
        yield (node.value,)
    elif isinstance(node, tree.Given):
        yield (node.fact,)


def outright(rule: tree.BoundRule, outer: bool) -> tree.All:
    """The conditions on whether a rule applies that hold or not whatever is in the list it goes through.

    Args:
        outer: Whether the item around that list is known.
    """
    frames = {"job", "outer"} if outer else {"job"}
    return tree.All(tuple(one for one in rule.applies.conditions if _frames(one, rule.where) <= frames))


def _frames(node: tree.Condition, where: Mapping[str, tree.Value]) -> set[str]:
    """Where the facts of a node start: at the job, the item or the item around it."""
    return {one.frame for one in walk_through(node, where) if isinstance(one, tree.Fact)}


def _parts(node: Node, where: Mapping[str, tree.Value]) -> Iterator[tree.Fact | tree.Fold]:
    """The facts and lists that a node reads, as often as it does, through names."""
    for part in parts_that_read(node):
        if isinstance(part, tree.Named):
            yield from _parts(where[part.name], where)
        else:
            yield part
