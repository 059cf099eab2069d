"""Every value that unrecorded facts could have, tried at many places at once, as `judging.trial` does it at one.

Places at which the same facts are not recorded are tried together. Where a list or a day between two days is open the walk says.
"""

from __future__ import annotations

from itertools import product
from math import prod

import numpy as np

from checker.judging.columns.column import Rows, alike
from checker.judging.columns.outcomes import WALK, Outcomes, Ready, RuleColumns, agreed
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
    # A list taken together, or a day between two days, that is open: the walk tries these.
    known = ~plain.unsure(ready.in_all("")._replace(tried=()))
    missing = [plain.value(fact).missing for fact in closed]
    for at in alike(missing, np.flatnonzero(known)):
        open_facts = [fact for fact, lacks in zip(closed, missing, strict=True) if lacks[at[0]]]
        part = rows.taken(at)
        if prod(len(closed[fact]) for fact in open_facts) > MOST_COMBINATIONS:
            found[at] = RuleColumns(ready, part, "conditions").outcomes()
        else:
            choices = {fact: closed[fact] for fact in open_facts if fact in ready.deciding}
            found[at] = agreed(
                RuleColumns(ready, part, "worlds", dict(zip(choices, world, strict=True))).outcomes()
                for world in product(*choices.values())
            )
    return found
