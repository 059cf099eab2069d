"""Refrigerant facts as rules use them: the rulesets' tables against the functions, and a bridged curve said so in a finding."""

from __future__ import annotations

from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.rulesets import limits
from checker.trade.refrigerant_data import FACTS
from tests.support.rulesets import Judge


def table(shipped: Checker, name: str) -> dict[str, Any]:
    limit = shipped.library.rulesets["epa-refrigerant"].limits[name]
    return {str(row.keys[0]): row.value for row in limits.rows(limit, limit.values[-1])}


def test_pressure_classes_in_the_ruleset_are_those_of_the_function(shipped: Checker) -> None:
    classes = table(shipped, "pressure_class")
    for name, facts in FACTS.items():
        if facts.pressure_class:
            assert facts.pressure_class == classes[name], name


def test_safety_groups_in_the_ruleset_are_those_of_the_function(shipped: Checker) -> None:
    groups = table(shipped, "safety_group")
    for name, facts in FACTS.items():
        assert facts.safety_group == str(groups[name]).lower(), name


def charge(psig: float) -> dict[str, Any]:
    """An R-454B system with an expansion valve, its liquid line some 11 °F under the bubble point of the model or thereabouts."""
    readings = {
        "liquid_pressure": f"{psig} psig",
        "liquid_temperature": "125 °F",
        "refrigerant": "R-454B",
        "method": "subcooling",
        "mode": "cooling",
    }
    return {
        "site": {"jurisdiction": "xx-alder", "elevation": "900 ft"},
        "scope": {"outdoor_unit": True, "system": "split_air_conditioner"},
        "indoor_unit": {"metering_device": "expansion_valve"},
        "instructions": {"subcooling_target": "11 °F", "subcooling_tolerance": "4 °F"},
        "charge": readings,
    }


@pytest.mark.parametrize(("psig", "said"), [(483.0, True), (400.0, False)])
def test_a_bridged_gap_of_the_model_is_said_in_the_finding(judge: Judge, psig: float, said: bool) -> None:
    (found,) = (f for f in judge(charge(psig)).findings if f.rule == "subcooling-at-target")
    assert said == any("interpolated" in note for note in found.notes)


@pytest.mark.parametrize("psig", [2000.0, -15.0])
def test_an_impossible_pressure_is_implausible_and_named(judge: Judge, psig: float) -> None:
    (found,) = (f for f in judge(charge(psig)).findings if f.rule == "subcooling-at-target")
    assert ("verify_locally", "implausible") == (found.outcome, found.reason)
    assert found.needs
    assert "psi" in " ".join([*found.notes, *(need.detail for need in found.needs)])


def test_a_refrigerant_without_a_curve_is_implausible_not_a_traceback(judge: Judge) -> None:
    facts = charge(400.0)
    facts["charge"]["refrigerant"] = "R-466A"
    (found,) = (f for f in judge(facts).findings if f.rule == "subcooling-at-target")
    assert ("verify_locally", "implausible") == (found.outcome, found.reason)
