"""Uncertainty and conformity against the worked figures of JCGM 106 and JCGM 100, and a Monte Carlo run."""

from __future__ import annotations

import json
import math
import random
import re
import statistics
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checker.engine.checker import Checker
from checker.findings.report import Report
from checker.ir import tree
from checker.ir.kleene import Scope
from checker.judging.judge import settle, too_close
from checker.judging.uncertainty import Accuracy, combined, margin, normal, probability_of_conformity
from checker.judging.values import evaluate
from checker.reading.files import read_text
from checker.reading.shipped import ROOT
from tests.support.rulesets import ON
from tests.support.small_domains import SmallFacts, rule

# (distances to the limits, standard uncertainty, probability). Worked examples of JCGM 106:2012, the inputs from memory,
# the arithmetic verified apart: a value of −5.47 under a limit of −5.40 with u = 0.05, and 13.6 in [12.5, 16.3], u = 1.8.
JCGM_106 = [((0.07,), 0.05, 0.919), ((13.6 - 12.5, 16.3 - 13.6), 1.8, 0.663)]


def compare(left: tree.Value, op: str, limit: float) -> tree.Compare:
    return tree.Compare((left, tree.Constant("limit", limit, "number")), (op,), "number", 1e-9, "")


def reading(name: str) -> tree.Fact:
    return tree.Fact(name, "job", "number")


@pytest.mark.parametrize(("sides", "standard", "probability"), JCGM_106)
def test_probability_of_conformity(sides: tuple[float, ...], standard: float, probability: float) -> None:
    assert probability == pytest.approx(probability_of_conformity(sides, standard), abs=5e-4)


def test_a_reading_at_the_limit_is_inside_by_half() -> None:
    # ILAC-G8:09/2019: without a guard band the risk of a wrong acceptance is up to 50 %.
    assert 0.5 == probability_of_conformity((0.0,), 1.0)


def test_a_guard_band_of_u_leaves_2_3_percent() -> None:
    # ILAC-G8:09/2019, table of guard bands: w = U at k = 2, specific risk below 2.5 %; one-sided normal tail at 2.
    assert 0.02275 == pytest.approx(1 - normal(2.0), abs=5e-6)


def test_a_rectangular_half_width_is_divided_by_the_root_of_three() -> None:
    assert 7.0 / math.sqrt(3) == Accuracy(7.0, "g1").standard  # JCGM 100:2008, 4.3.7


def test_one_instruments_readings_move_together_or_apart_whichever_is_larger() -> None:
    apart, together = combined([("a", 3.0), ("b", 4.0)]), combined([("a", 3.0), ("a", 4.0)])
    assert 5.0 == apart
    assert 7.0 == together
    assert 5.0 == combined([("a", 3.0), ("a", -4.0)]), "a difference of one meter's readings: apart is larger"


GUARDED = [
    # Guard band worked figures, ILAC-G8:09/2019 by way of a calibration example: limit 0.003, U = 0.0010.
    (0.0017, "pass"),
    (0.0025, "verify_locally"),
    (0.0035, "verify_locally"),
    (0.0045, "fail"),
]


@pytest.mark.parametrize(("deviation", "outcome"), GUARDED)
def test_guarded_judging(deviation: float, outcome: str) -> None:
    accuracy = Accuracy(0.0005 * math.sqrt(3), "meter")  # u = 0.0005, U = 0.0010
    node = compare(reading("x"), "<=", 0.003)
    scope = Scope(SmallFacts({"x": deviation}), {}, guard=lambda n, s: too_close(n, s, lambda _: accuracy))
    verdict = settle(rule(tree.Constantly(True, ""), node), scope)
    assert outcome == verdict.outcome
    assert (verdict.reason == "too_close") == (outcome == "verify_locally")


def test_an_unstated_accuracy_is_not_recorded_under_guarded() -> None:
    node = compare(reading("x"), "<=", 1.0)
    scope = Scope(SmallFacts({"x": 0.1}), {}, guard=lambda n, s: too_close(n, s, lambda _: None))
    verdict = settle(rule(tree.Constantly(True, ""), node), scope)
    assert ("verify_locally", "not_recorded") == (verdict.outcome, verdict.reason)


def test_margin_is_positive_inside_and_a_range_takes_the_nearer_side() -> None:
    node = tree.Compare(
        (tree.Constant("low", 1.0, "number"), reading("x"), tree.Constant("high", 5.0, "number")),
        ("<=", "<="),
        "number",
        1e-9,
        "",
    )
    found = margin(node, Scope(SmallFacts({"x": 1.5}), {}), lambda _: False)
    assert found is not None
    assert (0.5, (0.5, 3.5)) == (found.amount, found.sides)


def test_propagation_of_the_nist_example() -> None:
    """α = (L1 − L0) / (L0 (T1 − T0)): u(α) = 1.76e-6 /K. NIST Uncertainty Machine manual, inputs from memory."""
    numbers = {"l0": 1.4999, "l1": 1.5021, "t0": 288.15, "t1": 373.10}
    standards = {"l0": 0.0001, "l1": 0.0002, "t0": 0.02, "t1": 0.05}
    sub = tree.Arithmetic("-", reading("l1"), reading("l0"), "number")
    below = tree.Arithmetic("*", reading("l0"), tree.Arithmetic("-", reading("t1"), reading("t0"), "number"), "number")
    node = compare(tree.Arithmetic("/", sub, below, "number"), "<=", 1.0)
    found = margin(node, Scope(SmallFacts(numbers), {}), lambda path: Accuracy(standards[path] * math.sqrt(3), path))
    assert found is not None
    assert 1.0 - 1.7266e-5 == pytest.approx(found.amount, abs=1e-9)
    assert found.standard == pytest.approx(1.76e-6, abs=2e-8)


@given(st.floats(0.1, 3.0), st.floats(0.1, 3.0), st.integers(0, 2**31))
def test_root_sum_square_agrees_with_a_monte_carlo_run(a: float, b: float, start: int) -> None:
    node = compare(tree.Arithmetic("-", reading("x"), reading("y"), "number"), "<=", 100.0)
    found = margin(
        node, Scope(SmallFacts({"x": 10.0, "y": 4.0}), {}), lambda path: Accuracy({"x": a, "y": b}[path], path)
    )
    dice = random.Random(start)
    drawn = [dice.uniform(-a, a) - dice.uniform(-b, b) for _ in range(20_000)]
    assert found is not None
    assert found.standard == pytest.approx(math.sqrt(sum(d * d for d in drawn) / len(drawn)), rel=0.03)


class Readings(SmallFacts):
    """Facts with one list of readings."""

    def items(self, path: str) -> tuple[str, ...] | None:
        return tuple(str(i) for i in range(sum(name.startswith(f"{path}.") for name in self.known))) or None


def test_averaged_readings_bring_their_scatter_too() -> None:
    """JCGM 100, 4.2.3 and 5.1.2: s/√n of the mean, beside the one meter's own accuracy, which does not average out."""
    values = (10.0, 10.4, 9.9, 10.1)
    facts = Readings({f"flow.{i}.value": value for i, value in enumerate(values)})
    average = tree.Fold("average", tree.Fact("flow", "job", "list"), "value", "number")
    found = margin(compare(average, "<=", 20.0), Scope(facts, {}), lambda _: Accuracy(0.3, "meter"))
    scatter, meter = 0.216025 / 2, 0.3 / math.sqrt(3)
    assert found is not None
    assert math.hypot(scatter, meter) == pytest.approx(found.standard, rel=1e-5)


# Expanded uncertainty (k = 2) of subcooling and superheat: rectangular limits of pressure (psi) and temperature (°F) divided
# by √3, dP/dT from CoolProp 8.0.0, computed apart from this program.
EXPANDED = [
    ("R-410A", "bubble", 340.0, 7.0, 1.3, 2.264),
    ("R-410A", "bubble", 340.0, 2.5, 1.0, 1.304),
    ("R-410A", "dew", 118.0, 3.5, 1.3, 2.327),
    ("R-454B", "bubble", 325.0, 7.0, 1.3, 2.332),
]


@pytest.mark.parametrize(("name", "curve", "psig", "pressure", "temperature", "expected"), EXPANDED)
def test_expanded_uncertainty_through_the_saturation_curve(
    name: str, curve: str, psig: float, pressure: float, temperature: float, expected: float
) -> None:
    node, facts = saturated_minus_line(name, curve, psig)
    accuracies = {"p": Accuracy(pressure, "gauge"), "t": Accuracy(temperature, "clamp")}
    found = margin(node, Scope(facts, {}), lambda path: accuracies.get(path, False))
    assert found is not None
    assert expected == pytest.approx(found.expanded, abs=0.02)


@pytest.mark.long
@pytest.mark.parametrize("start", range(3))
def test_the_saturation_curve_agrees_with_a_monte_carlo_run(start: int) -> None:
    node, facts = saturated_minus_line("R-410A", "bubble", 340.0)
    found = margin(
        node, Scope(facts, {}), lambda path: {"p": Accuracy(7.0, "g"), "t": Accuracy(1.3, "c")}.get(path, False)
    )
    dice = random.Random(start)
    drawn = []
    for _ in range(8000):
        moved = Scope(facts, {}).moving({"p": dice.uniform(-7, 7), "t": dice.uniform(-1.3, 1.3)})
        drawn.append(float(evaluate(node.operands[0], moved)))  # type: ignore[arg-type]
    assert found is not None
    assert found.standard == pytest.approx(statistics.stdev(drawn), rel=0.03)


def saturated_minus_line(name: str, curve: str, psig: float) -> tuple[tree.Compare, SmallFacts]:
    """Saturation temperature less the line's, against a limit far off; facts `p` (psig) and `t` (°F)."""
    atmosphere = tree.Constant("atmosphere", 14.696, "absolute_pressure")
    absolute = tree.Call(
        "absolute_pressure", (tree.Fact("p", "job", "gauge_pressure"), atmosphere), (), "absolute_pressure"
    )
    word = tree.Constant(name, name, "word")
    saturated = tree.Call(f"{curve}_temperature", (word, absolute), (), "temperature")
    difference = tree.Arithmetic("-", saturated, tree.Fact("t", "job", "temperature"), "temperature_difference")
    return compare(difference, "<=", 100.0), SmallFacts({"p": psig, "t": 95.0})


# --- where a shipped rule is guarded -----------------------------------------------------------------------------------


AGAIN = (ROOT / "examples/jobs/09-measure-again.json").read_text(encoding="utf-8")


def checked(job: dict[str, Any], shipped: Checker) -> Report:
    return shipped.check(read_text(json.dumps(job).encode(), "job.json"), ON)


@pytest.mark.parametrize(
    ("level", "accuracy", "expected"),
    [
        (446.0, "10 %", "pass"),  # JCGM 100: rectangular, k = 2: U = 2 × 0.1 × L/√3; L + U = 500 at L = 448.2
        (450.0, "10 %", "verify_locally"),
        (470.0, "10 %", "verify_locally"),
        (470.0, "2 %", "pass"),
        (565.0, "10 %", "verify_locally"),  # L - U = 500 at L = 565.3
        (567.0, "10 %", "fail"),
        (446.0, None, "pass"),  # the accuracy that the ruleset gives where the job names no instrument
        (470.0, None, "verify_locally"),
    ],
)
def test_a_vacuum_is_measured_again_where_the_gauge_cannot_tell(
    level: float, accuracy: str | None, expected: str, shipped: Checker
) -> None:
    job = json.loads(AGAIN)
    gauge = next(one for one in job["instruments"] if one["kind"] == "vacuum")
    job["evacuation"]["level"] = f"{level} micron"
    gauge["accuracy_of_reading"] = accuracy or {"not_known": "no papers"}
    (finding,) = [one for one in checked(job, shipped).findings if one.rule == "evacuation-level-usual"]
    assert (expected, "too_close" if expected == "verify_locally" else "") == (finding.outcome, finding.reason)


def test_what_has_to_be_measured_again_says_how_far_off_the_gauge_may_be(shipped: Checker) -> None:
    """2 × 10 % × 470/√3 = 54 micron."""
    found = {one.rule: one for one in checked(json.loads(AGAIN), shipped).findings if one.reason == "too_close"}
    assert {"evacuation-level-usual", "evacuation-decay-usual"} == set(found)
    finding = found["evacuation-level-usual"]
    assert "470 micron against 500 micron" in finding.notes[-1]
    assert "±54 micron" in finding.notes[-1]


def test_the_guide_names_each_rule_that_is_guarded(shipped: Checker) -> None:
    guide = (ROOT / "rulesets" / "README.md").read_text(encoding="utf-8")
    named = {name for row in re.findall(r"\| guarded: (.*?) \|", guide) for name in re.findall(r"`([a-z-]+)`", row)}
    rules = {name: rule for one in shipped.library.rulesets.values() for name, rule in one.rules.items()}
    assert named == {name for name, rule in rules.items() if rule.judged == "guarded"}
    assert len(named) == 4


def on_a_roof(liquid: float, instruments: list[dict[str, str]]) -> dict[str, Any]:
    """R-410A charged by subcooling to 10 °F, where the manufacturer prints no tolerance; 376.9 psig at sea level."""
    return {
        "job_id": "x",
        "schema_version": 1,
        "site": {"elevation": "0 ft"},
        "scope": {"system": "split_air_conditioner", "outdoor_unit": True},
        "indoor_unit": {"metering_device": "expansion_valve"},
        "charge": {
            "mode": "cooling", "method": "subcooling", "refrigerant": "R-410A",
            "liquid_pressure": "376.9 psig", "liquid_temperature": f"{liquid} °F",
        },
        "instructions": {"subcooling_target": "10 °F", "subcooling_tolerance": {"none": "not printed"}},
        "instruments": instruments,
    }  # fmt: skip


BETTER = [
    {"key": "gauge", "kind": "refrigerant_pressure", "accuracy_pressure": "1 psi"},
    {"key": "clamp", "kind": "pipe_temperature", "accuracy_temperature": "0.5 °F"},
]


@pytest.mark.parametrize(
    ("liquid", "instruments", "expected"),
    [
        (102.05, [], "pass"),
        (100.45, [], "pass"),
        (100.35, [], "verify_locally"),
        (97.75, [], "verify_locally"),
        (97.65, [], "fail"),
        (100.35, BETTER, "pass"),
        (99.85, BETTER, "pass"),
        (99.60, BETTER, "verify_locally"),
    ],
)
def test_subcooling_is_measured_again_where_gauge_and_clamp_cannot_tell(
    liquid: float, instruments: list[dict[str, str]], expected: str, shipped: Checker
) -> None:
    """By hand. A manufacturer of R-410A prints 112.05 °F at 391.6 psia; there a psi is 0.196 to 0.2 °F (110 °F at 364.7 psig,
    115 °F at 389.9, from memory). 1 °F and 3 psi, rectangular: u² = 1²/3 + (3 x 0.2)²/3 = 0.453, U = 2 u = 1.35 °F
    (JCGM 100, 4.3.7 and 5.1.2). Subcooling may be 7 to 13 °F: past 11.65 it is too close, past 14.35 it fails (JCGM 106, 8.3,
    a guard band of U on both sides). With 0.5 °F and 1 psi U is 0.62 °F: too close past 12.38."""
    (finding,) = [
        one
        for one in checked(on_a_roof(liquid, instruments), shipped).findings
        if one.rule == "subcooling-at-target-usual"
    ]
    assert (finding.outcome, finding.reason) == (expected, "too_close" if expected == "verify_locally" else "")
