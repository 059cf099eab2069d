"""Less known, never more claimed: random jobs on the shipped rulesets, a few of those of the long runs.

`tests/long/less_known.py` and `tests/long/less_accurate.py` say what is held and go through ten thousand.
"""

from __future__ import annotations

import json
import random
from collections import Counter
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.engine.job_run import OneJob
from checker.findings.finding import Finding
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.judging.generated_code import DOES_NOT_APPLY, outcome_of
from checker.judging.judge import judge_at
from checker.reading.files import read_text
from checker.reading.job import load
from tests.long import less_accurate, less_known
from tests.long.less_known import Violation, looked, violations
from tests.long.random_jobs import EXAMPLES, Facts, Spot, at, groups, leaves, without, worked
from tests.support.jobs import JOBS as STORIES
from tests.support.jobs import whole_job
from tests.support.rulesets import ON

pytestmark = pytest.mark.long

JOBS, SEED = 90, 20261125
GUARDED_JOBS = 6


def example(name: str) -> Facts:
    facts: Facts = json.loads((EXAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    return facts


def test_removing_facts_one_at_a_time_never_makes_a_claim_and_giving_them_back_restores_it(shipped: Checker) -> None:
    bases, counts, found = worked(), Counter[str](), list[Violation]()
    for number in range(JOBS):
        found += less_known.of_one_job(random.Random(f"{SEED} {number}"), bases, shipped, 3, counts)
    assert [] == [str(one) for one in found]
    for change in (f"{PASS} → {VERIFY}", f"{FAIL} → {VERIFY}", f"{DOES_NOT_APPLY} → {VERIFY}", f"{PASS} → {PASS}"):
        assert counts[change] > 10, (change, counts)


@pytest.mark.parametrize("name", ["01-clean", "02-oversized-breaker"])
def test_no_single_fact_of_an_example_can_be_left_out_for_a_better_verdict(name: str, shipped: Checker) -> None:
    whole, counts, found = looked(example(name), shipped), Counter[str](), list[Violation]()
    spots = [*leaves(whole.facts, shipped), *groups(whole.facts, shipped)]
    for spot in random.Random(SEED).sample(spots, 60):
        if spot[0] != "instruments":  # readings name them
            found += violations(whole, looked(without(whole.facts, spot), shipped), spot, counts)
    assert [] == [str(one) for one in found]


def test_a_violation_would_be_seen(shipped: Checker) -> None:
    """The check itself, on what would be one: the breaker that is too large, and as if the fact had been there before."""
    facts = example("02-oversized-breaker")
    spot: Spot = ("circuits", 0, "devices", 0, "rating")
    more, less = looked(facts, shipped), looked(without(facts, spot), shipped)
    assert [] == list(violations(more, less, spot, Counter()))
    turned = {(one.rule, one.before, one.after) for one in violations(less, more, spot, Counter())}
    assert ("overcurrent-within-nameplate", VERIFY, FAIL) in turned


def test_without_a_place_every_edition_is_judged_and_a_rule_no_layer_changes_is_claimed_no_further(
    shipped: Checker,
) -> None:
    counts = Counter[str]()
    for name in ("01-clean", "02-oversized-breaker", "04-decay-rises"):
        there = looked(example(name), shipped)
        nowhere = looked(without(there.facts, ("site", "jurisdiction")), shipped)
        assert any("judged under every shipped edition" in note for note in nowhere.report.notes)
        assert [] == [str(one) for one in violations(there, nowhere, ("site", "jurisdiction"), counts)]
    assert counts[f"{PASS} → {PASS}"] > 100, counts
    assert counts[f"{FAIL} → {FAIL}"] > 0, counts


def test_without_what_the_job_tells_of_an_edition_every_edition_is_judged(shipped: Checker) -> None:
    facts = whole_job(STORIES / "basement-furnace-2026.json")
    assert facts["site"]["adopted"][0]["code"] == "nec"
    told = looked(facts, shipped)
    counts = Counter[str]()
    for name in ("edition", "code"):
        spot: Spot = ("site", "adopted", 0, name)
        untold = looked(without(facts, spot), shipped)
        assert [] == [str(one) for one in violations(told, untold, spot, counts)]
        assert "not_adopted" in {finding.reason for finding in untold.report.findings}
    assert counts[f"{PASS} → {VERIFY}"] > 0, counts


def test_which_instrument_took_a_reading_changes_no_outcome(shipped: Checker) -> None:
    facts = example("01-clean")
    spots = list(less_known._instruments(facts, shipped))
    assert len(spots) > 10
    whole = looked(facts, shipped)
    for spot in spots:
        assert "instrument" in at(facts, spot[:-1])
        assert [] == list(violations(whole, looked(without(facts, spot), shipped), spot, Counter()))


# --- accuracy --------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def guarded() -> Checker:
    return less_accurate.guarded_checker()


def test_less_accurate_instruments_never_make_a_claim(guarded: Checker) -> None:
    bases, counts, found = worked(), Counter[str](), list[Violation]()
    assert len(less_accurate.guarded_rules(guarded)) > 40
    for number in range(GUARDED_JOBS):
        found += less_accurate.of_one_job(random.Random(f"{SEED} {number}"), bases, guarded, counts)
    assert [] == [str(one) for one in found]
    assert counts[f"{PASS} → {VERIFY}"] > 10, counts


def test_a_failure_by_less_than_the_instruments_can_tell_is_open_and_never_passes(guarded: Checker) -> None:
    """The story fails by 0.4 °F of subcooling (`tests/jobs/README.md`); its instruments are made less accurate for it."""
    facts = less_accurate.with_instruments(whole_job(STORIES / "high-in-the-mountains.json"), guarded)
    said = [_subcooling(facts, guarded)]
    said += [_subcooling(less, guarded) for less in less_accurate.widened(facts, random.Random(SEED))]
    assert ((FAIL, ""), (VERIFY, "too_close")) == (said[0], said[-1])
    assert [(FAIL, ""), (VERIFY, "too_close")] == list(dict.fromkeys(said)), "once and for good"


def test_functions_say_what_the_walk_says_also_of_guarded_readings(guarded: Checker) -> None:
    """Of outcomes alone and with reasons, on jobs that are known in part and read with coarse instruments."""
    said = Counter[str]()
    for number in range(GUARDED_JOBS):
        rng = random.Random(f"{SEED} {number}")
        base = worked()[rng.randrange(len(worked()))]
        facts = less_accurate.with_instruments(base, guarded)
        for spot in rng.sample([*leaves(facts, guarded)], 12):
            facts = without(facts, spot) if spot[0] != "instruments" else facts
        job = load(
            read_text(json.dumps(list(less_accurate.widened(facts, rng))[-1]).encode(), "job.json"), guarded.vocabulary
        )
        one = OneJob(guarded, job, guarded.chain_of(job), ON)
        for group in (*one.plan.alone.values(), *one.plan.several.values()):
            for place in one.places(group.rules[0].for_each) if not one.facts.doubts else ():
                for telling in (False, True):
                    for rule, quick in zip(group.rules, group.judged(one.facts, place, telling), strict=True):
                        walked = judge_at(rule, one.facts, place, one.accuracy).verdict
                        if quick is not None:
                            assert walked.outcome == outcome_of(quick), (rule.id, place, telling)
                            said[f"{rule.judged} {walked.outcome}"] += 1
                        elif not telling:
                            assert walked.outcome == one.settled(rule, place), (rule.id, place)
                            said["settled"] += 1
    assert said["guarded verify_locally"] > 10 < said["settled"]
    assert said[f"guarded {DOES_NOT_APPLY}"] > 10, said


def _subcooling(facts: Facts, checker: Checker) -> tuple[str, str]:
    (found,) = (one for one in looked(facts, checker).report.findings if one.rule == "subcooling-at-target")
    return found.outcome, found.reason


def pressure_test(checker: Checker, accuracy: float) -> Finding:
    """A test that began at 149 °F, one degree below the warmest nitrogen the function knows, and lost nothing."""
    reading: dict[str, Any] = {"value": 149, "unit": "°F", "instrument": "probe"}
    facts = {
        "job_id": "edge",
        "schema_version": 1,
        "site": {"elevation": "0 ft"},
        "scope": {"outdoor_unit": True},
        "instruments": [
            {"key": "probe", "kind": "air_temperature", "accuracy_temperature": accuracy},
            {"key": "gauge", "kind": "test_pressure", "accuracy_pressure": 0.01},
        ],
        "instructions": {"test_hold": "1 h"},
        "pressure_test": {
            "gas": "nitrogen", "pressure": "300 psig", "hold": "24 h", "end_pressure": "310 psig",
            "start_temperature": reading, "end_temperature": "140 °F",
        },
    }  # fmt: skip
    report = checker.check(read_text(json.dumps(facts).encode(), "edge.json"), ON)
    return next(finding for finding in report.findings if finding.rule == "pressure-test-holds")


def test_an_accuracy_that_reaches_beyond_what_a_function_knows_is_too_close_and_said_so(
    guarded: Checker, shipped: Checker
) -> None:
    """149 °F give or take 0.1 is inside the 150 °F of the function, give or take 3 is not (its docstring has the range)."""
    near = pressure_test(guarded, 0.1)
    assert (PASS, "") == (near.outcome, near.reason)
    beyond = pressure_test(guarded, 3)
    assert (VERIFY, "too_close") == (beyond.outcome, beyond.reason)
    judged_plainly = pressure_test(shipped, 3)
    assert PASS == judged_plainly.outcome
    assert any("reaches beyond" in note for note in judged_plainly.notes), judged_plainly.notes
    assert not any(note.rstrip().endswith("unstated:") for note in judged_plainly.notes)
