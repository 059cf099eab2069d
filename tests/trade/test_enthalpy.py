"""Enthalpy from its tables: against CoolProp that made them, between their nodes and over its gaps."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checker.trade import enthalpy, saturation
from checker.trade.function import OutOfRange
from tests.support import coolprop

NAMES = saturation.refrigerants()
FEW = ("R-32", *(pytest.param(name, marks=pytest.mark.long) for name in NAMES if name != "R-32"))
SIDES = {"bubble": 0, "dew": 1}
KJ_PER_KG = 2.326  # in a Btu/lb, by definition of the Btu (IT)
TOLERANCE = 0.01  # Btu/lb; a chart 100 Btu/lb wide shows a hundred times that


def pressure(which: str, name: str, temperature: float) -> float:
    """Saturation pressure (psia) of a refrigerant at a temperature (°F)."""
    return saturation.pressure_at(saturation.curve(name, which), temperature)


@pytest.mark.parametrize("name", FEW)
@pytest.mark.parametrize("which", SIDES)
def test_the_dome_is_within_a_hundredth_of_a_btu_of_coolprop(name: str, which: str) -> None:
    """Between the nodes, over the whole span. Source: CoolProp, asked anew; where it is silent the dome says so."""
    asked = [temperature / 10 for temperature in range(-595, 1470, 47)]
    answers = {t: _coolprop(name, T=coolprop.make_curves.kelvin(t), Q=SIDES[which]) for t in asked}
    silent = [t for t, answer in answers.items() if answer is None]
    assert [t for t in silent if enthalpy.bridged(name, which, t)] == silent
    assert len(asked) - len(silent) >= 40
    for t, answer in answers.items():
        if answer is not None:
            assert answer == pytest.approx(enthalpy.saturated_enthalpy(name, which, t), abs=TOLERANCE)


@pytest.mark.parametrize("name", FEW)
def test_vapor_is_within_a_hundredth_of_a_btu_of_coolprop(name: str) -> None:
    """Random states of the grid, dew point -60 to 100 °F and superheat to 120 °F. Source: CoolProp, asked anew."""
    drawn, compared = random.Random(name), 0
    for _ in range(30):
        dew_point, superheat = drawn.uniform(-60, 100), drawn.uniform(0.5, 120)
        psia = pressure("dew", name, dew_point)
        kelvin = coolprop.make_curves.kelvin(dew_point + superheat)
        answer = _coolprop(name, T=kelvin, P=psia * coolprop.make_curves.PSI)
        if answer is not None:
            compared += 1
            found = enthalpy.vapor_enthalpy(name, psia, dew_point + superheat)
            assert answer == pytest.approx(found, abs=TOLERANCE), (dew_point, superheat)
    assert compared >= 25


@pytest.mark.parametrize("name", FEW)
def test_subcooled_liquid_taken_as_saturated_is_within_0_7_btu(name: str) -> None:
    """What the docstring says of the shortcut, at 60 to 116 °F and 5 to 20 °F of subcooling. Source: CoolProp."""
    for temperature in range(60, 117, 14):
        for subcooling in (5, 10, 20):
            psia = pressure("bubble", name, temperature + subcooling)
            answer = _coolprop(name, T=coolprop.make_curves.kelvin(temperature), P=psia * coolprop.make_curves.PSI)
            if answer is not None:
                assert answer == pytest.approx(enthalpy.liquid_enthalpy(name, temperature), abs=0.7)


@pytest.mark.parametrize("name", NAMES)
def test_liquid_at_0_c_has_200_kj_per_kg(name: str) -> None:
    """The reference state of the International Institute of Refrigeration, which the pictures name."""
    assert 200 == pytest.approx(enthalpy.liquid_enthalpy(name, 32.0) * KJ_PER_KG, abs=0.02)


# Latent heat in kJ/kg at a temperature in °C: CoolProp's answers for the pure fluids are those of published tables. From
# memory, as printed in handbooks (R-22 at 0 °C 205.0, R-134a at 0 °C 198.6, R-32 at 0 °C 315.3), hence the wide tolerance.
LATENT = [("R-22", 0.0, 205.0), ("R-134a", 0.0, 198.6), ("R-32", 0.0, 315.3)]


@pytest.mark.parametrize(("name", "celsius", "latent"), LATENT)
def test_latent_heat_is_that_of_the_handbooks(name: str, celsius: float, latent: float) -> None:
    at = celsius * 1.8 + 32
    dew, bubble = (enthalpy.saturated_enthalpy(name, which, at) for which in ("dew", "bubble"))
    assert latent == pytest.approx((dew - bubble) * KJ_PER_KG, rel=0.005)


@pytest.mark.parametrize("names", [("R-32",), pytest.param(NAMES, marks=pytest.mark.long)], ids=["one", "all"])
def test_the_tables_on_disk_are_what_coolprop_makes_now(
    names: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Blends take CoolProp a minute; between their nodes they are asked above."""
    assert set(coolprop.make_curves.FLUIDS) == set(NAMES)
    monkeypatch.setattr(coolprop.make_curves, "FLUIDS", {name: coolprop.make_curves.FLUIDS[name] for name in names})
    path = Path(enthalpy.__file__).parent / "data" / "enthalpy.json"
    made, kept = (
        json.loads(coolprop.make_curves.text(coolprop.make_curves.enthalpy())),
        json.loads(path.read_text(encoding="utf-8")),
    )
    assert all(kept[part] == made[part] for part in kept if part != "refrigerants")
    assert kept["refrigerants"].keys() == set(NAMES)
    for name, new in made["refrigerants"].items():
        old = kept["refrigerants"][name]
        assert old["fluid"] == new["fluid"]
        assert old["silent_dew_points"] == new["silent_dew_points"]
        assert [new[which]["gaps"] for which in SIDES] == [old[which]["gaps"] for which in SIDES]
        assert _numbers(old) == pytest.approx(_numbers(new), abs=1.1e-4)  # the last digit that is kept


def _numbers(one: dict[str, Any]) -> list[float]:
    dome = [number for which in SIDES for point in one[which]["points"] for number in point]
    return dome + [number for dew_point, row in one["vapor"] for number in (dew_point, *row)]


def test_the_gaps_of_the_blends_are_stored_and_named() -> None:
    """CoolProp 8.0.0 was seen to give no bubble point of R-454B at 134 to 137 °F, and answers for a pure fluid throughout."""
    assert all(enthalpy.bridged("R-454B", "bubble", temperature) for temperature in (134, 135, 136, 137))
    assert any(low < 135 < high for low, high in enthalpy.gaps("R-454B"))
    assert () == enthalpy.gaps("R-32")
    assert not enthalpy.bridged("R-454B", "bubble", 95)


def test_the_gaps_are_those_of_the_saturation_curves() -> None:
    for name in NAMES:
        for which in SIDES:
            for low, high in saturation.curve(name, which).gaps:
                assert enthalpy.bridged(name, which, (low + high) / 2)


@given(st.sampled_from(NAMES), st.floats(-60, 100), st.floats(0, 119), st.floats(0.1, 1))
def test_vapor_gains_enthalpy_as_it_warms(name: str, dew_point: float, superheat: float, step: float) -> None:
    psia = pressure("dew", name, min(max(dew_point, -59.9), 99.9))
    at = saturation.temperature_at(saturation.curve(name, "dew"), psia) + superheat + 1e-6
    assert enthalpy.vapor_enthalpy(name, psia, at) < enthalpy.vapor_enthalpy(name, psia, at + step * 0.9)


@given(st.sampled_from(NAMES), st.floats(-60, 146))
def test_vapor_holds_more_than_liquid_of_its_temperature(name: str, temperature: float) -> None:
    dew, bubble = (enthalpy.saturated_enthalpy(name, which, temperature) for which in ("dew", "bubble"))
    assert bubble < dew


def test_what_is_outside_the_tables_is_refused_in_words() -> None:
    psia = pressure("dew", "R-410A", 40)
    with pytest.raises(OutOfRange, match="no table of enthalpy for R-466A"):
        enthalpy.liquid_enthalpy("R-466A", 90)
    with pytest.raises(OutOfRange, match="151 °F is outside -60 to 150 °F"):
        enthalpy.liquid_enthalpy("R-410A", 151)
    with pytest.raises(OutOfRange, match="superheat of -1 °F is outside 0 to 120 °F"):
        enthalpy.vapor_enthalpy("R-410A", psia, 39)
    with pytest.raises(OutOfRange, match="superheat of 121 °F is outside"):
        enthalpy.vapor_enthalpy("R-410A", psia, 161)
    with pytest.raises(OutOfRange, match="dew point of 101 °F is outside -60 to 100 °F"):
        enthalpy.vapor_enthalpy("R-410A", pressure("dew", "R-410A", 101), 110)


def _coolprop(name: str, **at: float) -> float | None:
    """Btu/lb of CoolProp itself, its zero moved so that liquid at 0 °C has 200 kJ/kg; None where it finds no solution."""
    fluid = coolprop.make_curves.FLUIDS[name]
    (one, its), (other, of_it) = at.items()
    try:
        zero = coolprop.PropsSI("H", "T", 273.15, "Q", 0, fluid)
        return float((coolprop.PropsSI("H", one, its, other, of_it, fluid) - zero) / 1000 + 200) / KJ_PER_KG
    except ValueError:
        return None
