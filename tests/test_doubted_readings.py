"""Readings that cannot all be right: no rule passes by them, one that fails by them fails, and both ways of judging agree.

What cannot be is from the meaning of the words: a nameplate's MCA is never more than its largest breaker, a wet bulb never
reads above the dry bulb beside it (ASHRAE Fundamentals, psychrometrics), a sum is what its parts come to.
"""

from __future__ import annotations

import copy
import datetime
import itertools
import json
from collections.abc import Callable
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.engine.job_run import OneJob
from checker.findings.finding import Finding
from checker.findings.report import Report
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.judging import instruments
from checker.judging.generated_code import DOES_NOT_APPLY
from checker.judging.judge import judge
from checker.judging.uncertainty import Accuracy
from checker.reading import units
from checker.reading.fact_shapes import pattern
from checker.reading.files import read_text
from checker.reading.job import Job, load
from checker.reading.job_schema import job_vocabulary
from checker.reading.shipped import ROOT

ON = datetime.date(2026, 11, 30)
CLEAN: dict[str, Any] = json.loads((ROOT / "examples" / "jobs" / "01-clean.json").read_text())
Change = Callable[[dict[str, Any]], None]


def read(data: Any) -> Job:
    return load(read_text(json.dumps(data).encode(), "job.json"), job_vocabulary())


def report_of(checker: Checker, change: Change) -> Report:
    data = copy.deepcopy(CLEAN)
    change(data)
    return checker.check_job(read(data), ON)


def finding(report: Report, rule: str, item: str = "") -> Finding:
    return next(one for one in report.findings if one.rule == rule and item in (one.item, ""))


def low_maximum(data: dict[str, Any]) -> None:
    data["circuits"][0]["nameplate"] |= {"minimum_circuit_ampacity": "36 A", "maximum_breaker": "35 A"}


def test_a_rule_does_not_pass_by_readings_that_contradict_each_other(shipped: Checker) -> None:
    found = finding(report_of(shipped, low_maximum), "overcurrent-within-nameplate")
    assert (found.outcome, found.reason) == (VERIFY, "implausible")
    assert [(need.fact, need.detail) for need in found.needs] == [
        ("circuits.0.nameplate.maximum_breaker", "MCA (36 A) is more than Max breaker (35 A)")
    ]


def test_what_fails_as_it_is_recorded_fails_and_says_what_to_look_at(shipped: Checker) -> None:
    def too_big(data: dict[str, Any]) -> None:
        low_maximum(data)
        data["circuits"][0]["devices"][0]["rating"] = "60 A"

    found = finding(report_of(shipped, too_big), "overcurrent-within-nameplate")
    assert (found.outcome, found.headline) == (FAIL, "Breaker too big: 60 A, nameplate max 35 A")
    assert "Look at the readings first: MCA (36 A) is more than Max breaker (35 A)." in found.notes


ORDERS = [
    one for one in job_vocabulary().schema["orders"] if not one.get("usual") and "acceptances" not in one["lower"]
]
SUMS = job_vocabulary().schema["sums"]


def put(data: Any, fact: str, value: Any) -> None:
    """Record a fact, in the first item of each list around it."""
    steps = job_vocabulary().node_of(fact)
    names = [step for step in steps if step not in ("properties",)]
    for name, following in itertools.pairwise(names):
        if name == "items":
            data = data[0]
        elif following == "items":
            data = data.setdefault(name, [{"key": "first"}])
        else:
            data = data.setdefault(name, {})
    if value is None:
        data.pop(names[-1], None)
    else:
        data[names[-1]] = value


def contradicting(facts: list[str]) -> list[Any]:
    """Values of facts of which the first is far more, or later, than the others, all of them possible."""
    leaf = job_vocabulary().leaves[facts[0]]
    if leaf.form == "date":
        return ["2026-05-20", *["2026-05-04" for _ in facts[1:]]]
    unit = units.find_unit(leaf.kind, leaf.unit)
    low, high = (units.from_base(end, unit) for end in (leaf.bounds.usual_lowest, leaf.bounds.usual_highest) if unit)
    return [round(low + (high - low) * part, 3) for part in (0.8, *[0.1 for _ in facts[1:]])]


TOGETHER = [[one["lower"], one["upper"]] for one in ORDERS] + [[one["whole"], *one["parts"]] for one in SUMS]
QUICK = (
    "circuits.nameplate.minimum_circuit_ampacity",
    "charge.indoor_wet_bulb",
    "dates.work_started",
    "airflow.external_static",
)


@pytest.mark.parametrize(
    "facts", [pytest.param(one, marks=() if one[0] in QUICK else pytest.mark.long, id=one[0]) for one in TOGETHER]
)
def test_nothing_passes_by_any_readings_that_cannot_all_be_right(shipped: Checker, facts: list[str]) -> None:
    """What passes all the same passes without them too, and outcomes alone are those that the walk comes to."""
    data, without = copy.deepcopy(CLEAN), copy.deepcopy(CLEAN)
    for fact, value in zip(facts, contradicting(facts), strict=True):
        put(data, fact, value)
        put(without, fact, None)
    job = read(data)
    one = OneJob(shipped, job, shipped.chain(job.place), ON)
    assert {pattern(path) for path in one.facts.doubts} >= set(facts)
    bare = {(one.rule, one.item): one.outcome for one in shipped.check_job(read(without), ON).findings}
    report = shipped.check_job(job, ON)
    by_them = [each for each in report.passed if one.facts.doubts.keys() & {fact.fact for fact in each.evidence}]
    assert {(each.rule, each.item) for each in by_them} <= {key for key, outcome in bare.items() if outcome == PASS}
    assert walked(one) == {
        (rule, row.item, outcome)
        for row in shipped.outcomes(job, ON)
        for rule, outcome in zip(row.rules, row.outcomes, strict=True)
        if (rule, DOES_NOT_APPLY) != (rule, outcome)
    }


def walked(one: OneJob) -> set[tuple[str, str, str]]:
    """The outcomes of a job by the walk alone: by what is not doubted, or a failure by what is recorded."""
    found = set()
    for asked in one.judged_by():
        (rule,) = [variant.rule for variant in asked.variants] if len(asked.variants) == 1 else (None,)
        doubting, recorded = (
            judge(rule, facts, one.accuracy) if rule else [] for facts in (one.facts, one.facts.as_recorded)
        )
        for first, second in zip(doubting, recorded, strict=True):
            outcome = first.verdict.outcome
            if outcome == VERIFY and second.verdict.outcome == FAIL:
                outcome = FAIL if any(cause.fact in one.facts.doubts for cause in first.verdict.causes) else outcome
            if outcome != DOES_NOT_APPLY:
                found.add((asked.rule, first.place.key, outcome))
    return found


STATIC = {"return_static": "-0.18 inwc", "supply_static": "0.29 inwc"}


def static(**facts: Any) -> Change:
    def change(data: dict[str, Any]) -> None:
        data["airflow"] = {name: value for name, value in data["airflow"].items() if name != "external_static"} | facts

    return change


def test_external_static_is_added_up_from_return_and_supply_without_their_signs(shipped: Checker) -> None:
    """0.18 in on the return side and 0.29 in on the supply side are 0.47 in: common practice, no source."""
    found = finding(report_of(shipped, static(**STATIC)), "static-within-makers-limit")
    assert found.outcome == PASS
    written = {one.fact: one.written for one in found.evidence}
    assert written["airflow.external_static"] == "0.47 inwc (0.18 + 0.29)"
    high = finding(
        report_of(shipped, static(return_static="0.6 inwc", supply_static="0.7 inwc")), "static-within-makers-limit"
    )
    assert high.outcome == FAIL


def test_static_of_a_head_is_added_up_too_and_its_parts_are_looked_at(shipped: Checker) -> None:
    head = {
        "key": "a",
        "kind": "ducted",
        "static_asked": "0.2 inwc",
        "return_static": "-0.2 inwc",
        "supply_static": "0.1 inwc",
    }
    job = read({"job_id": "1", "schema_version": 1, "scope": {"system": "mini_split"}, "heads": [head]})
    report = shipped.check_job(job, ON)
    found = finding(report, "ducted-head-static-within-the-manual")
    assert (FAIL, "0.3 inwc (0.2 + 0.1)") == (
        found.outcome,
        {one.fact: one.written for one in found.evidence}["heads.0.static"],
    )
    assert not [one.fact for one in report.unread if "static" in one.fact]


def test_external_static_recorded_beside_its_parts_has_to_be_their_sum(shipped: Checker) -> None:
    agree = report_of(shipped, static(external_static="0.5 inwc", **STATIC))
    assert finding(agree, "static-within-makers-limit").outcome == PASS
    apart = report_of(shipped, static(external_static="0.2 inwc", **STATIC))
    assert finding(apart, "static-within-makers-limit").reason == "implausible"
    assert any("is not Return static pressure" in note for note in apart.deciding)


def test_readings_of_one_manometer_may_be_off_the_same_way(shipped: Checker) -> None:
    """2 % of 0.18 and of 0.29 in are 0.0036 and 0.0058 in: of one meter 0.0094 together, of two the root of their squares,
    0.00683 (JCGM 100, 5.2.2)."""

    def share(*meters: str) -> float:
        data = copy.deepcopy(CLEAN)
        parts = zip((("return_static", 0.18), ("supply_static", 0.29)), meters, strict=True)
        read_by = {name: {"value": value, "unit": "inwc", "instrument": key} for (name, value), key in parts}
        static(**read_by)(data)
        data["instruments"] += [
            {"key": key, "kind": "static_pressure", "accuracy_of_reading": "2 %"} for key in ("one", "two")
        ]
        job = read(data)
        found = instruments.of(job, shipped.chain(job.place))("airflow.external_static")
        assert isinstance(found, Accuracy)
        return found.half_width / float(job.readings["airflow.external_static"].value)  # type: ignore[arg-type]

    assert share("one", "one") == pytest.approx(0.0094 / 0.47)
    assert share("one", "two") == pytest.approx(0.00683 / 0.47, rel=1e-3)


def test_the_span_of_a_gauge_is_no_accuracy_of_its_own(shipped: Checker) -> None:
    """1 % of a span of 500 psi are 5 psi, whatever it reads."""
    gauge = {"key": "gauge", "kind": "refrigerant_pressure", "span": "500 psi", "accuracy_of_span": "1 %"}
    charge = {"liquid_pressure": {"value": 300, "unit": "psig", "instrument": "gauge"}}
    job = read({"job_id": "1", "schema_version": 1, "instruments": [gauge], "charge": charge})
    found = instruments.of(job, shipped.chain(job.place))("charge.liquid_pressure")
    assert isinstance(found, Accuracy)
    psi = units.find_unit("pressure_difference", "psi")
    assert psi
    assert units.from_base(found.half_width, psi) == pytest.approx(5)
