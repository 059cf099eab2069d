"""Each rule bound once for everything that it hangs on, and shared by every place, edition and day that gives it the same.

A rule is bound before the rulesets in its reach alone, under the editions of these and on the first day of the period.
Nothing else of a place can get into it. What was bound is kept with those rulesets and goes when they go.
"""

from __future__ import annotations

from collections.abc import Mapping

from checker.binding.binder import bind
from checker.binding.names import Context
from checker.ir import tree
from checker.problems.problem import Problem
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.chain import Chain
from checker.rulesets.layering import effective
from checker.rulesets.reach import reach_of

Key = tuple[str, frozenset[tuple[str, str | None]], int, str]


class _Kept(dict[Key, tree.BoundRule | None]):
    """The bound rules of a chain."""


def bound_rule(
    chain: Chain, vocabulary: Vocabulary, rule_id: str, editions: Mapping[str, str | None], day: int
) -> tuple[tree.BoundRule | None, list[Problem]]:
    """A rule as it stands in a chain under these editions on a day.

    Returns:
        The rule, or None where it is not in force there; and its author's mistakes, a hundred of them at the most.
    """
    reach = reach_of(chain, rule_id)
    layers, known, first = reach.layers, reach.editions(editions), reach.first_day(day)
    kept = layers.worked_out.setdefault(_Kept, _Kept())
    key = (rule_id, frozenset(known.items()), first, vocabulary.digest)
    if key not in kept:
        rule, problems = bound_anew(layers, vocabulary, rule_id, known, first)
        if problems:  # its hints name what there is in all of the chain
            return bound_anew(chain, vocabulary, rule_id, editions, day)
        kept[key] = rule
    return kept[key], []


def bound_anew(
    chain: Chain, vocabulary: Vocabulary, rule_id: str, editions: Mapping[str, str | None], day: int
) -> tuple[tree.BoundRule | None, list[Problem]]:
    """The same, looked up in the whole chain and kept nowhere."""
    found = effective(chain, "rules", rule_id, editions, day)
    return bind(found, Context(chain, vocabulary, editions, day))
