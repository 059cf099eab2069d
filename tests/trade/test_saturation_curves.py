"""The saturation curves themselves: against CoolProp that made them, against their inverse, and over its gaps."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checker.reading import units
from checker.trade import functions, saturation
from checker.trade.function import OutOfRange
from tests.support import coolprop

ATMOSPHERE = 14.696  # psia
NAMES = saturation.refrigerants()
FEW = ("R-32", *(pytest.param(name, marks=pytest.mark.long) for name in NAMES if name != "R-32"))
CURVES = ["bubble", "dew"]
IN_VOCABULARY = {
    "R-22", "R-32", "R-134a", "R-404A", "R-407C", "R-410A", "R-452B", "R-454A", "R-454B", "R-454C", "R-457A",
}  # fmt: skip


def test_every_refrigerant_that_the_trade_meets_has_both_curves() -> None:
    assert set(NAMES) == IN_VOCABULARY
    assert all(saturation.curve(name, which).temperatures for name in NAMES for which in CURVES)


@pytest.mark.parametrize("name", FEW)
@pytest.mark.parametrize("which", CURVES)
def test_curves_are_within_a_hundredth_of_a_degree_of_coolprop(name: str, which: str) -> None:
    """Between the nodes of the curve, from -40 to 150 °F; where CoolProp is silent the curve says that it was bridged."""
    curve, fluid = saturation.curve(name, which), coolprop.make_curves.FLUIDS[name]
    tried = [tenth / 10 for tenth in range(-400, 1500, 13)]
    pressures = {temperature: coolprop.make_curves.pressure(fluid, which, temperature) for temperature in tried}
    silent = [temperature for temperature, pressure in pressures.items() if pressure is None]
    assert [temperature for temperature in silent if saturation.bridged(curve, temperature)] == silent
    for temperature, pressure in pressures.items():
        if pressure is not None:
            assert temperature == pytest.approx(saturation.temperature_at(curve, pressure), abs=0.01)
    assert len(silent) < 20


@pytest.mark.parametrize("names", [("R-32",), pytest.param(NAMES, marks=pytest.mark.long)], ids=["one", "all"])
def test_the_curves_on_disk_are_what_coolprop_makes_now(
    names: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Blends take CoolProp half a minute; between their nodes they are asked above."""
    assert set(coolprop.make_curves.FLUIDS) == set(NAMES)
    monkeypatch.setattr(coolprop.make_curves, "FLUIDS", {name: coolprop.make_curves.FLUIDS[name] for name in names})
    path = Path(saturation.__file__).parent / "data" / "saturation.json"
    made, kept = (
        json.loads(coolprop.make_curves.text(coolprop.make_curves.saturation())),
        json.loads(path.read_text(encoding="utf-8")),
    )
    assert made["made_by"] == kept["made_by"]
    assert kept["curves"].keys() == set(NAMES)
    for name in made["curves"]:
        for which in CURVES:
            new, old = made["curves"][name][which], kept["curves"][name][which]
            assert [point[0] for point in new["points"]] == [point[0] for point in old["points"]]
            assert new["gaps"] == old["gaps"]
            for a, b in zip(new["points"], old["points"], strict=True):
                assert a == pytest.approx(b, rel=1e-9)


# Drift guards only: CoolProp 8.0.0's own answers (psig at sea level), noted once. They show that the curves or their
# maker have moved, not that either is right.
DRIFT = [
    ("R-22", "bubble", 100, 195.913), ("R-22", "dew", 40, 68.559), ("R-32", "bubble", 40, 120.951),
    ("R-454B", "bubble", 115, 373.005), ("R-454B", "dew", 115, 360.301), ("R-454B", "bubble", 120, 398.615),
    ("R-454B", "dew", 120, 385.534), ("R-454B", "bubble", 140, 514.051), ("R-454B", "dew", 140, 500.164),
    ("R-454B", "dew", 100, 291.904),
]  # fmt: skip
# CoolProp 7.2.0 gave these for R-454B; the model of its parts changed with 8.0.0. The curves are not of the older one.
OLDER_MODEL = [("bubble", 100, 300.78), ("dew", 100, 290.86), ("bubble", 120, 395.66), ("dew", 120, 384.33)]


@pytest.mark.parametrize(("name", "which", "temperature", "psig"), DRIFT)
def test_drift_from_the_answers_of_coolprop_8(name: str, which: str, temperature: float, psig: float) -> None:
    found = saturation.pressure_at(saturation.curve(name, which), temperature) - ATMOSPHERE
    assert psig == pytest.approx(found, abs=0.02)


@pytest.mark.parametrize(("which", "temperature", "psig"), OLDER_MODEL)
def test_the_curves_are_not_of_the_older_model(which: str, temperature: float, psig: float) -> None:
    found = saturation.pressure_at(saturation.curve("R-454B", which), temperature) - ATMOSPHERE
    assert 0.5 < found - psig < 5


@given(st.sampled_from(NAMES), st.sampled_from(CURVES), st.floats(-40, 150))
def test_celsius_and_bar_give_the_same_curve(name: str, which: str, fahrenheit: float) -> None:
    """A reading taken in °C and bar, through the units, lands where the same one in °F and psi does."""
    celsius = units.from_base(fahrenheit, units.all_units()["temperature", "degC"])
    curve = saturation.curve(name, which)
    psia = saturation.pressure_at(curve, units.to_base(celsius, units.all_units()["temperature", "degC"]))
    bar = units.from_base(psia, units.all_units()["absolute_pressure", "bara"])
    back = saturation.temperature_at(curve, units.to_base(bar, units.all_units()["absolute_pressure", "bara"]))
    assert celsius == pytest.approx((back - 32) / 1.8, abs=1e-6)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("which", CURVES)
def test_both_ends_of_a_curve_are_on_it_and_just_past_them_is_not(name: str, which: str) -> None:
    curve = saturation.curve(name, which)
    for temperature, past in ((-60.0, 0.999), (150.0, 1.001)):
        pressure = saturation.pressure_at(curve, temperature)
        assert temperature == pytest.approx(saturation.temperature_at(curve, pressure), abs=1e-6)
        with pytest.raises(OutOfRange, match="psia is outside"):
            saturation.temperature_at(curve, pressure * past)


@given(st.sampled_from(NAMES), st.sampled_from(CURVES), st.floats(-60, 149.9), st.floats(0.001, 5))
def test_curves_rise(name: str, which: str, temperature: float, step: float) -> None:
    curve = saturation.curve(name, which)
    higher = min(temperature + step, 150.0)
    assert saturation.pressure_at(curve, temperature) < saturation.pressure_at(curve, higher)


@given(st.sampled_from(NAMES), st.sampled_from(CURVES), st.floats(-59.9, 149.9))
def test_to_pressure_and_back_is_the_same_temperature(name: str, which: str, temperature: float) -> None:
    curve = saturation.curve(name, which)
    assert temperature == pytest.approx(
        saturation.temperature_at(curve, saturation.pressure_at(curve, temperature)), abs=1e-6
    )


@given(st.sampled_from(NAMES), st.floats(-59.9, 149.9))
def test_the_dew_point_is_at_or_above_the_bubble_point(name: str, temperature: float) -> None:
    bubble, dew = (saturation.pressure_at(saturation.curve(name, which), temperature) for which in ("bubble", "dew"))
    assert dew <= bubble * (1 + 1e-6)


# Where CoolProp 8.0.0 raised for R454B.mix when asked at whole degrees.
SEEN_FAILING = [(which, temperature) for which, failing in
                (("bubble", (134, 135, 136, 137, 149)), ("dew", (144, 145, 146, 147))) for temperature in failing]  # fmt: skip
# A fit of ln p as a polynomial in 1000/T through the points that answer, made apart from these curves (psig).
BY_A_POLYNOMIAL = [(134, 477.16), (135, 483.17), (136, 489.23), (137, 495.36)]


@pytest.mark.parametrize(("which", "temperature"), SEEN_FAILING)
def test_a_gap_of_the_model_is_bridged_and_said_so(which: str, temperature: int) -> None:
    pressure = saturation.pressure_at(saturation.curve("R-454B", which), temperature)
    remark = functions()[f"{which}_temperature"].remark
    assert remark is not None
    assert str(remark("R-454B", pressure)).startswith("interpolated: ")
    assert remark("R-410A", pressure) is None
    assert remark("R-454B", pressure * 0.6) is None


@pytest.mark.parametrize(("temperature", "psig"), BY_A_POLYNOMIAL)
def test_the_bridge_agrees_with_a_polynomial_through_the_other_points(temperature: float, psig: float) -> None:
    assert psig == pytest.approx(
        saturation.pressure_at(saturation.curve("R-454B", "bubble"), temperature) - ATMOSPHERE, abs=0.1
    )
