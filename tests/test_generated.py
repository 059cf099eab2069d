"""The generated functions and the walk agree on the shipped rules, on example jobs with facts missing at random."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checker.ir import tree
from checker.ir.outcomes import VERIFY
from checker.judging.generated_code import DOES_NOT_APPLY, Quick, compiled
from checker.judging.judge import places, scope_of, settle, verdict_of
from checker.reading.files import read_text
from checker.reading.job import load
from checker.rulesets.applicability import Versions
from tests.support.rulesets import ON, shipped_rulesets

pytestmark = pytest.mark.long

JOBS = [
    json.loads(path.read_text()) for path in sorted((Path(__file__).parent.parent / "examples" / "jobs").glob("*.json"))
]


def without(data: Any, dropped: st.DataObject, path: str = "") -> Any:
    """A job with facts left out at random; keys of list items stay."""
    if isinstance(data, list):
        return [without(item, dropped, path) for item in data]
    if not isinstance(data, dict) or set(data) & {"value", "none", "not_known", "between"}:
        return data
    kept = {"job_id", "schema_version", "key", "$schema", "acceptances", "site", "instruments"}
    chosen = {name: value for name, value in data.items() if name in kept or dropped.draw(st.integers(0, 5)) != 0}
    return {name: without(value, dropped, f"{path}.{name}") for name, value in chosen.items()}


@settings(max_examples=15, deadline=None)
@given(st.sampled_from(JOBS), st.data())
def test_outcomes_alone_are_those_of_the_report(whole: dict[str, Any], dropped: st.DataObject) -> None:
    checker = shipped_rulesets()
    job = load(read_text(json.dumps(without(whole, dropped)).encode(), "job.json"), checker.vocabulary)
    report = {(one.rule, one.item): one.outcome for one in checker.check_job(job, ON).findings}
    rows = checker.outcomes(job, ON)
    alone = {(rule, row.item): said for row in rows for rule, said in zip(row.rules, row.outcomes, strict=True)}
    assert report == {of: said for of, said in alone.items() if said != DOES_NOT_APPLY}
    assert bool(report) == bool(alone)


COMPILED: dict[int, tuple[tree.BoundRule, Quick]] = {}


def once_compiled(rule: tree.BoundRule) -> Quick:
    """The function of a bound rule; the rule is held too, so that no other comes to lie where it does."""
    if id(rule) not in COMPILED:
        COMPILED[id(rule)] = rule, compiled(rule, shipped_rulesets().functions.domain)
    return COMPILED[id(rule)][1]


@settings(max_examples=8, deadline=None)
@given(st.sampled_from(JOBS), st.data())
def test_both_backends_agree(whole: dict[str, Any], dropped: st.DataObject) -> None:
    checker = shipped_rulesets()
    job = load(read_text(json.dumps(without(whole, dropped)).encode(), "job.json"), checker.vocabulary)
    accuracy, facts = checker.seen(job)
    quickly = walked_through = 0
    chain = checker.chain(job.text("site.jurisdiction"))
    for asked in checker.program(chain, Versions(job, chain)):
        for rule in (variant.rule for variant in asked.variants if variant.rule):
            if rule.stale:
                continue
            function = once_compiled(rule)
            for place in places(rule.for_each, facts):
                scope = scope_of(rule, facts, place, accuracy)
                quick, walked = function(scope), settle(rule, scope).outcome
                assert quick is None or verdict_of(rule, quick).outcome == walked, asked.rule
                quickly += quick is not None
                walked_through += walked != VERIFY
    assert quickly >= 0.8 * walked_through, "the walk is needed for few of the outcomes that are settled"
