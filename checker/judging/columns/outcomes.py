"""What a rule comes to at many places at once: the outcome of each, or that the walk has to say.

The lines are those that `judging.generated_code` writes for outcomes alone: where a rule stays open it is `verify_locally` only
as long as trying the values that unrecorded facts could have would settle nothing.
"""

from __future__ import annotations

import functools
import operator
from collections.abc import Iterable, Mapping
from typing import Any, Literal, NamedTuple

import numpy as np
import numpy.typing as npt

from checker.ir import tree
from checker.ir.node import replace
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.ir.visitor import single_conditions
from checker.judging.code_values import DomainOf
from checker.judging.columns.column import Flags, Rows
from checker.judging.columns.conditions import ConditionColumns
from checker.judging.exactness import Exactness, outright
from checker.judging.generated_code import DOES_NOT_APPLY, has_sides

NAMES = (DOES_NOT_APPLY, PASS, FAIL, VERIFY)
NONE_APPLY, PASSES, FAILS, OPEN = range(len(NAMES))
WALK = -1  # the walk has to say
Outcomes = npt.NDArray[np.int8]
Trying = Literal["", "worlds", "conditions"]


class Beside(NamedTuple):
    """A fact whose values could settle something where it is not recorded: the facts that have to be known then, one set for
    each comparison that it stands in; or none, where two conditions hang on it."""

    fact: tree.Fact
    needed: tuple[tuple[tree.Fact, ...], ...]
    whatever: bool


class Doubtful(NamedTuple):
    """What of a rule could be settled though it is not recorded: facts, lists taken together, and days between two days."""

    tried: tuple[Beside, ...]
    lists: tuple[tree.Fold, ...]
    days: tuple[tree.Fact, ...]


class Ready:
    """A rule, and what of it has to be recorded lest values have to be tried: worked out once for all jobs.

    `closed` are the facts with a closed list and its values, `deciding` those of them whose values could settle an outcome.
    """

    def __init__(self, rule: tree.BoundRule, domain: DomainOf) -> None:
        self.rule, self.domain = rule, domain
        exact = self.exactness = Exactness(rule, domain)
        self.closed = {fact: values for fact in exact.facts if (values := domain(rule, fact).closed)}
        self.deciding = {*exact.to_try_for_outcome()} & self.closed.keys()
        # A stale rule, and values that the walk bounds where something is not known, are the walk's.
        self.walked = bool(rule.stale or exact.bounded)
        # What its facts alone do not decide: lists, the accuracies of instruments, what a ruleset says that a fact can be.
        ranged = any(domain(rule, fact).ranged for fact in exact.facts)
        self.hangs_on_more = bool(exact.lists) or rule.judged == "guarded" or ranged
        self._by_mode: dict[Trying, Doubtful] = {}

    @functools.cached_property
    def applying(self) -> Doubtful:
        """What could settle whether the rule applies."""
        tried, lists, days = self.exactness.of_applying()
        return Doubtful(tuple(map(self._beside, tried)), tuple(lists), tuple(days))

    def in_all(self, trying: Trying) -> Doubtful:
        """What could settle the outcome, while the values of facts are tried in this way."""
        if trying not in self._by_mode:
            exact = self.exactness
            tried = {
                "": exact.to_try_for_outcome,
                "worlds": exact.ranged,
                "conditions": exact.to_try_in_conditions,
            }[trying]()
            self._by_mode[trying] = Doubtful(tuple(map(self._beside, tried)), tuple(exact.lists), tuple(exact.days))
        return self._by_mode[trying]

    def _beside(self, fact: tree.Fact) -> Beside:
        beside = list(self.exactness.beside(fact))
        needed = tuple(tuple(needed) for needed, either in beside if not either)
        return Beside(fact, needed, [either for _, either in beside].count(True) > 1)


class RuleColumns(ConditionColumns):
    """One rule at some places. `trying` and `assumed` as in `generated_code` and `values`."""

    def __init__(
        self, ready: Ready, rows: Rows, trying: Trying = "", assumed: Mapping[tree.Fact, Any] | None = None
    ) -> None:
        super().__init__(ready.rule, rows, ready.closed, assumed)
        self.ready, self.trying = ready, trying

    def outcomes(self) -> Outcomes:
        """The outcome at each place."""
        rule, count = self.rule, len(self.rows)
        if self.ready.walked:
            return np.full(count, WALK, np.int8)
        applies, require = self.sides(rule.applies), self.sides(rule.require)
        unasked = self.all_of(self.sides(ask.condition).negated for ask in rule.verify)
        settled = applies.true | ~self.unsure(self.ready.applying)
        never, metered = self._guarded()
        steps = [
            (never, NONE_APPLY),
            (metered, WALK),
            (applies.false, NONE_APPLY),
            (unasked.false & settled, OPEN),
            (unasked.true & require.true & settled, PASSES if not rule.doubtful else OPEN),
            (
                unasked.true & require.false & applies.true,
                FAILS if not rule.doubtful or rule.life_safety else OPEN,
            ),
            (~self.unsure(self.ready.in_all(self.trying)), OPEN),
        ]
        return np.select([held for held, _ in steps], [outcome for _, outcome in steps], WALK).astype(np.int8)

    def _guarded(self) -> tuple[Flags, Flags]:
        """Where a guarded rule does not apply whatever a meter says, and where a meter may decide it."""
        nowhere = np.zeros(len(self.rows), bool)
        if self.rule.judged != "guarded":
            return nowhere, nowhere
        plain = [part for part in self.rule.applies.conditions if not any(map(has_sides, single_conditions(part)))]
        metered = (one for node in self.rule.conditions for one in single_conditions(node) if has_sides(one))
        sides = (side for one in metered for side in self.sides(one))
        return self.sides(tree.All(tuple(plain))).false, functools.reduce(operator.or_, sides, nowhere)

    def unsure(self, doubtful: Doubtful) -> Flags:
        """Where one of these is not known in a way that trying values, or looking at both ends, could settle."""
        found = np.zeros(len(self.rows), bool)
        for beside in doubtful.tried:
            found |= self._untried(beside)
        parts: tuple[tree.Value, ...] = (*doubtful.lists, *doubtful.days)
        for node in parts:
            found |= self.value(node).lies_between
        return found

    def _untried(self, beside: Beside) -> Flags:
        """Where a fact is not recorded and its values could settle something."""
        found = self.value(beside.fact).missing
        if beside.whatever or not found.any():
            return found
        known = np.zeros_like(found)
        for needed in beside.needed:
            known |= functools.reduce(
                operator.and_, (~self.value(one).missing for one in needed), ~np.zeros_like(found)
            )
        return found & known


def unlisted(rule: tree.BoundRule, rows: Rows, domain: DomainOf, inside: bool) -> Outcomes:
    """The same where the list that a rule goes through is not recorded: it is open unless it cannot apply.

    Args:
        inside: Whether the list stands inside an item that is known.
    """
    ready = Ready(replace(rule, applies=outright(rule, inside), require=tree.All(()), verify=()), domain)
    if ready.walked:
        return np.full(len(rows), WALK, np.int8)
    held = RuleColumns(ready, rows)
    steps = [(held.sides(ready.rule.applies).false, NONE_APPLY), (~held.unsure(ready.in_all("conditions")), OPEN)]
    return np.select([where for where, _ in steps], [outcome for _, outcome in steps], WALK).astype(np.int8)


def agreed(several: Iterable[Outcomes]) -> Outcomes:
    """The outcome that all of several come to at each place; a pass and "does not apply" together are a pass. Where one is left
    to the walk all are."""
    every = iter(several)
    same = next(every)
    for outcomes in every:
        lost = (same == WALK) | (outcomes == WALK)
        fine = np.isin(same, (NONE_APPLY, PASSES)) & np.isin(outcomes, (NONE_APPLY, PASSES))
        either = np.where(same == outcomes, same, np.where(fine, PASSES, OPEN))
        same = np.where(lost, WALK, either).astype(np.int8)
    return same
