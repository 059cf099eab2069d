"""Every value that unrecorded facts could have, tried at many places at once, as `judging.trial` does it at one.

Places at which the same facts are not recorded are tried together. Where a list or a day between two days is open the walk says.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from math import prod
from typing import Any

import numpy as np

from checker.ir import tree
from checker.judging.columns.column import Flags, Numbers, Rows
from checker.judging.columns.outcomes import NONE_APPLY, OPEN, PASSES, WALK, Outcomes, Ready, RuleColumns
from checker.judging.conditions import MOST_COMBINATIONS


def judged(ready: Ready, rows: Rows) -> Outcomes:
    """The outcome of a rule at each place; `WALK` where the walk has to say."""
    rule, found = ready.rule, RuleColumns(ready, rows).outcomes()
    open_ones = np.flatnonzero(found == WALK)
    if len(open_ones) and not (rule.verify or ready.walked or rule.judged == "guarded"):
        found[open_ones] = _tried(ready, rows.taken(open_ones))
    return found


def _tried(ready: Ready, rows: Rows) -> Outcomes:
    closed, plain = ready.closed, RuleColumns(ready, rows)
    found = np.full(len(rows), WALK, np.int8)
    known = ~_open_otherwise(plain, ready)
    missing = np.column_stack([np.zeros(len(rows), bool), *(plain.value(fact).missing for fact in closed)])
    for pattern, at in _alike(missing, np.flatnonzero(known)):
        open_facts = [fact for fact, lacks in zip(closed, pattern[1:], strict=True) if lacks]
        part = rows.taken(at)
        if prod(len(closed[fact]) for fact in open_facts) > MOST_COMBINATIONS:
            found[at] = RuleColumns(ready, part, "conditions").outcomes()
        else:
            choices = {fact: closed[fact] for fact in open_facts if fact in ready.deciding}
            found[at] = _agreed(
                RuleColumns(ready, part, "worlds", dict(zip(choices, world, strict=True))).outcomes()
                for world in product(*choices.values())
            )
    return found


def _open_otherwise(plain: RuleColumns, ready: Ready) -> Flags:
    """Where a list taken together, or a day between two days, is open."""
    found = np.zeros(len(plain.rows), bool)
    parts: tuple[tree.Value, ...] = (*ready.exactness.lists, *ready.exactness.days)
    for node in parts:
        between = plain.value(node).between
        found |= False if between is None else between
    return found


def _alike(missing: Flags, rows: Numbers) -> Iterator[tuple[Any, Numbers]]:
    """The rows of each pattern of what is missing."""
    patterns, which = np.unique(missing[rows], axis=0, return_inverse=True)
    which = which.reshape(-1)
    for number, pattern in enumerate(patterns):
        yield pattern, rows[which == number]


def _agreed(worlds: Iterator[Outcomes]) -> Outcomes:
    """The outcome that all come to; a pass and "does not apply" together are a pass."""
    same = next(worlds).copy()
    for outcomes in worlds:
        lost = (same == WALK) | (outcomes == WALK)
        fine = np.isin(same, (NONE_APPLY, PASSES)) & np.isin(outcomes, (NONE_APPLY, PASSES))
        agreed = np.where(same == outcomes, same, np.where(fine, PASSES, OPEN))
        same = np.where(lost, WALK, agreed).astype(np.int8)
    return same
