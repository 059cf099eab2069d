"""Refrigerant facts as rules use them: the rulesets' tables against what is published, and a note where a curve was bridged."""

from __future__ import annotations

from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.rulesets import limits
from checker.trade.refrigerant_data import PRESSURE_CLASSES
from tests.support.rulesets import Judge


def table(shipped: Checker, name: str) -> dict[str, Any]:
    limit = shipped.library.rulesets["epa-refrigerant"].limits[name]
    return {str(row.keys[0]): row.value for row in limits.rows(limit, limit.values[-1])}


def test_pressure_classes_in_the_ruleset_are_those_of_the_function(shipped: Checker) -> None:
    classes = table(shipped, "pressure_class")
    assert PRESSURE_CLASSES == {name: classes[name] for name in PRESSURE_CLASSES}


# Mass shares of ASHRAE 34 and AR4 values as 40 CFR 84 counts them, both from memory.
AR4 = {"R-32": 675, "R-125": 3500, "R-134a": 1430, "R-143a": 4470, "R-152a": 124, "R-1234yf": 1, "CF3I": 0.4}
BLENDS = {
    "R-404A": {"R-125": 0.44, "R-143a": 0.52, "R-134a": 0.04},
    "R-407C": {"R-32": 0.23, "R-125": 0.25, "R-134a": 0.52},
    "R-410A": {"R-32": 0.5, "R-125": 0.5},
    "R-452B": {"R-32": 0.67, "R-125": 0.07, "R-1234yf": 0.26},
    "R-454A": {"R-32": 0.35, "R-1234yf": 0.65},
    "R-454B": {"R-32": 0.689, "R-1234yf": 0.311},
    "R-454C": {"R-32": 0.215, "R-1234yf": 0.785},
    "R-457A": {"R-32": 0.18, "R-1234yf": 0.7, "R-152a": 0.12},
    "R-466A": {"R-32": 0.49, "R-125": 0.115, "CF3I": 0.395},
}


@pytest.mark.parametrize("name", BLENDS)
def test_a_blend_warms_as_its_parts_do(shipped: Checker, name: str) -> None:
    assert 1 == pytest.approx(sum(BLENDS[name].values()))
    expected = sum(share * AR4[part] for part, share in BLENDS[name].items())
    assert expected == pytest.approx(table(shipped, "warming_potential")[name], abs=0.51)


@pytest.mark.parametrize(("name", "potential"), [("R-22", 1810), ("R-32", 675), ("R-134a", 1430)])
def test_single_substances(shipped: Checker, name: str, potential: float) -> None:
    """Source: IPCC AR4 (R-22 from memory), AIM Act exchange values."""
    assert potential == table(shipped, "warming_potential")[name]


def test_mildly_flammable_ones_are_the_new_ones(shipped: Checker) -> None:
    """Source: 86 FR 24444, which lists these six for new residential air conditioners; R-466A by ASHRAE 34, from memory."""
    mild = {"R-32", "R-452B", "R-454A", "R-454B", "R-454C", "R-457A"}
    groups = {name: str(group) for name, group in table(shipped, "safety_group").items() if name != "other"}
    assert mild == {name for name, group in groups.items() if group == "A2L"}
    assert {"A1", "A2L"} == set(groups.values())


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


@pytest.mark.parametrize("psig", [2000.0, -14.5])
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
