"""What a rule comes to at many places at once: the outcome of each, or that the walk has to say.

The lines are those that `judging.generated_code` writes for outcomes alone: where a rule stays open it is `verify_locally` only
as long as trying the values that unrecorded facts could have would settle nothing.
"""

from __future__ import annotations

import functools
import operator
from collections.abc import Iterable, Mapping
from typing import Any, Literal

import numpy as np
import numpy.typing as npt

from checker.ir import tree
from checker.ir.node import replace
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.ir.visitor import single_conditions
from checker.judging.code_values import DomainOf
from checker.judging.columns.column import Flags, Rows
from checker.judging.columns.conditions import ConditionColumns, Sides
from checker.judging.exactness import Exactness, outright
from checker.judging.generated_code import DOES_NOT_APPLY, has_sides

NAMES = (DOES_NOT_APPLY, PASS, FAIL, VERIFY)
NONE_APPLY, PASSES, FAILS, OPEN = range(len(NAMES))
WALK = -1  # the walk has to say
Outcomes = npt.NDArray[np.int8]
Trying = Literal["", "worlds", "conditions"]


class RuleColumns(ConditionColumns):
    """One rule at some places. `domain`, `trying` and `assumed` as in `generated_code` and `values`."""

    def __init__(
        self,
        rule: tree.BoundRule,
        rows: Rows,
        domain: DomainOf,
        trying: Trying = "",
        assumed: Mapping[tree.Fact, Any] | None = None,
    ) -> None:
        super().__init__(rule, rows, assumed)
        self.trying = trying
        self.exactness = Exactness(rule, domain)

    def outcomes(self) -> Outcomes:
        """The outcome at each place."""
        rule, count = self.rule, len(self.rows)
        if rule.stale:
            return np.full(count, WALK, np.int8)
        applies, require = self.sides(rule.applies), self.sides(rule.require)
        unasked = self.all_of(self.sides(ask.condition).negated for ask in rule.verify)
        settled = applies.true | ~self._unsure(*self.exactness.of_applying())
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
            (~self._unsure(self._to_try(), self.exactness.lists, self.exactness.days), OPEN),
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

    def _to_try(self) -> Iterable[tree.Fact]:
        """The facts of which values would have to be tried to say more."""
        if self.trying == "worlds":
            return self.exactness.ranged()
        if self.trying == "conditions":
            return self.exactness.to_try_in_conditions()
        return self.exactness.to_try_for_outcome()

    def _unsure(self, tried: Iterable[tree.Fact], lists: Iterable[tree.Fold], days: Iterable[tree.Fact]) -> Flags:
        """Where one of these is not known in a way that trying values, or looking at both ends, could settle."""
        found = np.zeros(len(self.rows), bool)
        for fact in tried:
            found |= self._untried(fact)
        for between in (self.value(node).between for node in (*lists, *days)):
            if between is not None:
                found |= between
        return found

    def _untried(self, fact: tree.Fact) -> Flags:
        """Where a fact is not recorded and its values could settle something: where all else that some comparison of it needs is
        known, or where two conditions hang on it."""
        beside = list(self.exactness.beside(fact))
        known = np.full(len(self.rows), [either for _, either in beside].count(True) > 1)
        for needed in (needed for needed, either in beside if not either):
            known |= functools.reduce(
                operator.and_, (~self.value(one).missing for one in needed), ~np.zeros_like(known)
            )
        return self.value(fact).missing & known


def unlisted(rule: tree.BoundRule, rows: Rows, domain: DomainOf, inside: bool) -> Outcomes:
    """The same where the list that a rule goes through is not recorded: it is open unless it cannot apply.

    Args:
        inside: Whether the list stands inside an item that is known.
    """
    if rule.stale:
        return np.full(len(rows), WALK, np.int8)
    held = RuleColumns(replace(rule, applies=outright(rule, inside), require=tree.All(()), verify=()), rows, domain)
    applies: Sides = held.sides(held.rule.applies)
    tried = held.exactness.to_try_in_conditions()
    unsure = held._unsure(tried, held.exactness.lists, held.exactness.days)
    return np.select([applies.false, ~unsure], [NONE_APPLY, OPEN], WALK).astype(np.int8)
