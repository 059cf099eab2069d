"""Nitrogen in a tight system against CoolProp, published rules of thumb, and the two laws that it must not follow."""

from __future__ import annotations

import json
from importlib import resources

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checker.trade.function import OutOfRange
from checker.trade.nitrogen import nitrogen_expected_pressure
from tests.support import coolprop

SEA_LEVEL = 14.696  # psia
ZERO = 459.67
AT_TEST = st.floats(0, 600)
TEMPERATURES = st.floats(-20, 150)
# psig, °F, °F -> psig: real gas (CoolProp 8.0.0, computed apart), and the gauge pressure in the ratio of temperatures,
# the common mistake.
CASES = [
    (150, 60, 90, 159.777, 158.659),
    (150, 90, 60, 140.784, 141.813),
    (300, 60, 90, 319.150, 317.319),
    (300, 90, 60, 281.999, 283.627),
    (500, 60, 90, 532.335, 528.864),
    (500, 90, 60, 469.712, 472.711),
]


def ideal(start: float, start_temperature: float, end_temperature: float) -> float:
    return (start + SEA_LEVEL) * (end_temperature + ZERO) / (start_temperature + ZERO) - SEA_LEVEL


@pytest.mark.parametrize(("start", "warm", "end", "expected", "mistake"), CASES)
def test_real_gas(start: float, warm: float, end: float, expected: float, mistake: float) -> None:
    found = nitrogen_expected_pressure(start, warm, end, SEA_LEVEL)
    assert expected == pytest.approx(found, abs=0.005)
    assert 0.8 < abs(mistake - found)


@pytest.mark.parametrize("start", [0, 10, 150, 300, 450, 600, 700])
@pytest.mark.parametrize("atmosphere", [10.1, SEA_LEVEL])
def test_coolprop_at_constant_density(start: float, atmosphere: float) -> None:
    asked = 0
    for before in range(-20, 151, 17):
        density = coolprop.PropsSI(
            "D",
            "T",
            coolprop.make_curves.kelvin(before),
            "P",
            (start + atmosphere) * coolprop.make_curves.PSI,
            "Nitrogen",
        )
        for after in range(-20, 151, 17):
            pressure = (
                coolprop.PropsSI("P", "T", coolprop.make_curves.kelvin(after), "D", density, "Nitrogen")
                / coolprop.make_curves.PSI
            )
            if pressure > 845:
                continue
            asked += 1
            found = nitrogen_expected_pressure(start, before, after, atmosphere)
            assert pressure - atmosphere == pytest.approx(found, abs=0.004)
    assert 60 < asked


def test_a_degree_is_a_psi_at_500_psig() -> None:
    # ASHRAE Journal, January 2021, page 40: about 1 psi for each °F at 500 psig.
    assert 1.0 == pytest.approx(nitrogen_expected_pressure(500, 70, 71, SEA_LEVEL) - 500, abs=0.1)


def test_a_degree_is_three_tenths_of_a_psi_near_150_psig_only() -> None:
    # UFGS 15652A / 15182 correct a test by 0.3 psi for each °F, whatever the pressure.
    assert 0.3 == pytest.approx(nitrogen_expected_pressure(150, 70, 71, SEA_LEVEL) - 150, abs=0.03)
    assert 0.6 < nitrogen_expected_pressure(300, 70, 71, SEA_LEVEL) - 300


def test_the_ideal_law_misses_by_what_the_reference_says() -> None:
    # p2 = p1 T2/T1 in absolute terms: 529.713 and 471.909 psig; the real gas moves 2.6 and 2.2 psi further.
    assert 529.713 == pytest.approx(ideal(500, 60, 90), abs=0.005)
    assert 471.909 == pytest.approx(ideal(500, 90, 60), abs=0.005)
    assert 2.62 == pytest.approx(nitrogen_expected_pressure(500, 60, 90, SEA_LEVEL) - ideal(500, 60, 90), abs=0.01)
    assert -2.20 == pytest.approx(nitrogen_expected_pressure(500, 90, 60, SEA_LEVEL) - ideal(500, 90, 60), abs=0.01)


def test_little_nitrogen_is_an_ideal_gas() -> None:
    assert ideal(5, 60, 90) == pytest.approx(nitrogen_expected_pressure(5, 60, 90, SEA_LEVEL), abs=0.01)


def test_the_second_virial_coefficient_is_that_of_nitrogen() -> None:
    # CRC Handbook of Chemistry and Physics (from memory): -4 cm³/mol at 300 K. B here is by ideal psi per °R.
    data = json.loads(resources.files("checker.trade").joinpath("data/nitrogen.json").read_text(encoding="utf-8"))
    b = sum(x * (500 / 540) ** i for i, x in enumerate(data["B"]))
    cubic_centimetres = b * 8.31446261815324 / 1.8 / coolprop.make_curves.PSI * 1e6
    assert -4 == pytest.approx(cubic_centimetres, abs=1)


def test_the_coefficients_on_disk_are_what_coolprop_makes_now() -> None:
    kept = json.loads(resources.files("checker.trade").joinpath("data/nitrogen.json").read_text(encoding="utf-8"))
    made = coolprop.make_curves.nitrogen()
    assert made["made_by"] == kept["made_by"]
    assert kept["greatest_miss"] < 0.002
    for name in "BCD":
        assert made[name] == pytest.approx(kept[name], rel=1e-4)


@given(AT_TEST, TEMPERATURES)
def test_no_change_of_temperature_is_no_change_of_pressure(start: float, temperature: float) -> None:
    assert start == pytest.approx(nitrogen_expected_pressure(start, temperature, temperature, SEA_LEVEL), abs=1e-6)


@given(AT_TEST, st.floats(20, 120), st.floats(20, 120))
def test_warming_and_cooling_again_comes_back(start: float, before: float, after: float) -> None:
    there = nitrogen_expected_pressure(start, before, after, SEA_LEVEL)
    if 0 <= there <= 700:
        assert start == pytest.approx(nitrogen_expected_pressure(there, after, before, SEA_LEVEL), abs=1e-6)


@given(st.floats(0, 450), st.floats(-20, 130), st.floats(-20, 130), st.floats(0.001, 20))
def test_it_rises_with_the_start_and_the_end_and_falls_with_the_first_temperature(
    start: float, before: float, after: float, step: float
) -> None:
    here = nitrogen_expected_pressure(start, before, after, SEA_LEVEL)
    assert here < nitrogen_expected_pressure(start + step, before, after, SEA_LEVEL)
    assert here < nitrogen_expected_pressure(start, before, after + step, SEA_LEVEL)
    assert here > nitrogen_expected_pressure(start, before + step, after, SEA_LEVEL)


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ((-1, 60, 90, SEA_LEVEL), "test pressure of -1 psig is outside 0 to 700 psig"),
        ((900, 60, 90, SEA_LEVEL), "test pressure of 900 psig is outside"),
        ((500, -30, 90, SEA_LEVEL), "nitrogen at -30 °F is outside -20 to 150 °F"),
        ((500, 60, 200, SEA_LEVEL), "nitrogen at 200 °F is outside"),
        ((700, -20, 150, SEA_LEVEL), "is above 845 psia"),
        ((500, 60, 90, 0), "atmosphere of 0 psia is outside 5 to 20 psia"),
        ((float("nan"), 60, 90, SEA_LEVEL), "is outside"),
        ((500, 60, float("nan"), SEA_LEVEL), "is outside"),
    ],
)
def test_what_cannot_be_served_is_refused_in_trade_words(values: tuple[float, ...], said: str) -> None:
    with pytest.raises(OutOfRange, match=said):
        nitrogen_expected_pressure(*values)
