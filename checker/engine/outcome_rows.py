"""How a job stands, rule by rule, and nothing else: no words, no evidence, no reasons.

The same outcomes that a report has, by the generated functions of all rules; what these leave open the walk settles. For what
looks at many jobs and at few of their findings.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from checker.engine.job_run import OneJob
from checker.engine.plan import Plan
from checker.engine.variants import RuleVersions
from checker.ir import tree
from checker.ir.outcomes import VERIFY
from checker.judging.generated_code import DOES_NOT_APPLY
from checker.judging.judge import Place, agreed


class Row(NamedTuple):
    """What rules say at one place of a job: the key of the list item there (or nothing), and an outcome a rule.

    `does_not_apply` is among the outcomes.
    """

    rules: tuple[str, ...]
    item: str
    outcomes: list[str]


def rows_of(one: OneJob, plan: Plan) -> Iterator[Row]:
    """The rows of one job; none of a rule whose ruleset is not written for it."""
    for for_each, group in plan.alone.items():
        names = plan.names[for_each]
        for place in one.places(for_each):
            found = group.judged(one.facts, place, telling=False)
            if None in found:
                settled = zip(found, group.rules, strict=True)
                found = [said or one.outcome_at(rule, place) for said, rule in settled]
            yield Row(names, place.key, found)  # type: ignore[arg-type]
    if plan.others:
        said = {
            (id(rule), place): outcome
            for for_each, group in plan.several.items()
            for place in one.places(for_each)
            for rule, outcome in zip(group.rules, group.judged(one.facts, place, telling=False), strict=True)
        }
        for asked in plan.others:
            for place in one.places_of(asked.variants):
                yield Row((asked.rule,), place.key, [_together(one, asked, place, said)])


def _together(one: OneJob, asked: RuleVersions, place: Place, said: Mapping[tuple[int, Place], Any]) -> str:
    """What every version of a rule comes to at one place."""

    def outcome(rule: tree.BoundRule | None) -> str:
        if rule is None or (id(rule), place) not in said:
            return DOES_NOT_APPLY
        return said[id(rule), place] or one.outcome_at(rule, place)

    outcomes = {outcome(variant.rule) for variant in asked.variants}
    return DOES_NOT_APPLY if outcomes == {DOES_NOT_APPLY} else agreed(outcomes) or VERIFY
