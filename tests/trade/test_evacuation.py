"""Water's vapour pressure against published values, and shapes of a rise made by the physics of each cause."""

from __future__ import annotations

import math
from collections.abc import Callable

import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from checker.reading import units
from checker.trade.evacuation import MICRON, decay_shape, decay_slope, water_vapour_ceiling
from checker.trade.function import OutOfRange
from tests.support import coolprop

MINUTES = [float(minute) for minute in range(0, 21, 2)]
WARM = 70.0  # °F; the ceiling there is near 18,800 micron


def rise(pressure: Callable[[float], float]) -> list[float]:
    """Readings, psia, of a pressure given in microns by the minute."""
    return [pressure(minute) * MICRON for minute in MINUTES]


def test_a_micron_is_that_of_the_list_of_units() -> None:
    unit = units.find_unit("absolute_pressure", "micron")
    assert unit is not None
    assert MICRON == pytest.approx(units.to_base(1, unit), rel=1e-9)


@pytest.mark.parametrize(("temperature", "psia"), [(122, 1.7914), (23, 0.058268)])
def test_published_vapour_pressures(temperature: float, psia: float) -> None:
    """Source: ASHRAE Fundamentals 2017, chapter 1, table 3, as in psychrolib's own tests; 0.03 %."""
    assert psia == pytest.approx(water_vapour_ceiling(temperature), rel=3e-4)


@pytest.mark.parametrize(("temperature", "microns"), [(50, 9212), (70, 18791), (80, 26244), (100, 49155)])
def test_ceilings_computed_from_another_equation_of_state(temperature: float, microns: float) -> None:
    """Source: computed earlier with CoolProp's water, to 10 micron; a guard against drift."""
    assert microns == pytest.approx(water_vapour_ceiling(temperature) / MICRON, abs=10)


@pytest.mark.parametrize(("temperature", "microns"), [(-12.06, 500), (0.84, 1000), (29.04, 4000)])
def test_frost_points_computed_from_another_program(temperature: float, microns: float) -> None:
    """Source: computed earlier with psychrolib's ice curve, to 0.1 °F; a guard against drift."""
    assert microns == pytest.approx(water_vapour_ceiling(temperature) / MICRON, rel=0.006)


@given(st.floats(33, 390))
def test_over_water_it_agrees_with_coolprop(temperature: float) -> None:
    """Two independent formulations (IAPWS-95 there): within 0.1 %."""
    pascals = coolprop.PropsSI("P", "T", (temperature + 459.67) / 1.8, "Q", 1, "Water")
    assert pascals == pytest.approx(water_vapour_ceiling(temperature) / 1.4503773773020923e-4, rel=1e-3)


@given(st.floats(-99, 31))
def test_over_ice_it_agrees_with_psychrolib(temperature: float) -> None:
    """The same formula, written by others: within 0.01 %."""
    psychrolib.SetUnitSystem(psychrolib.IP)
    assert psychrolib.GetSatVapPres(temperature) == pytest.approx(water_vapour_ceiling(temperature), rel=1e-4)


@given(st.floats(-100, 392), st.floats(-100, 392))
def test_warmer_water_never_holds_less(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert water_vapour_ceiling(low) <= water_vapour_ceiling(high)


def test_ice_and_water_meet_at_freezing() -> None:
    below, at = water_vapour_ceiling(math.nextafter(32, 0)), water_vapour_ceiling(32)
    assert below < at
    assert below == pytest.approx(at, rel=2e-4)


@pytest.mark.parametrize("temperature", [-100.1, 392.1, math.inf, math.nan])
def test_temperatures_outside_the_formula_are_refused(temperature: float) -> None:
    with pytest.raises(OutOfRange, match="-100 to 392 °F"):
        water_vapour_ceiling(temperature)


@given(st.floats(-0.01, 0.01), st.floats(0, 1))
def test_the_slope_of_a_straight_line_is_its_slope(slope: float, start: float) -> None:
    assert slope == pytest.approx(decay_slope(MINUTES, [start + slope * minute for minute in MINUTES]), abs=1e-12)


def test_the_slope_of_a_hand_worked_example() -> None:
    """By hand: times 0, 1, 2 and pressures 1, 2, 4: (-1 x -4/3 + 1 x 5/3) / 2 = 1.5."""
    assert 1.5 == pytest.approx(decay_slope([0, 1, 2], [1, 2, 4]))


def test_air_coming_in_is_a_leak() -> None:
    """Air through a small opening flows at one rate while the vacuum is deep: a straight line, 100 micron a minute."""
    assert "leak" == decay_shape(MINUTES, rise(lambda minute: 400 + 100 * minute), WARM)


def test_a_rise_through_the_ceiling_is_a_leak_even_when_it_bends() -> None:
    """Ice at 0 °F holds 960 micron and no more (Hyland and Wexler); the readings pass 1,100."""
    bending = rise(lambda minute: 400 + 1200 * (1 - math.exp(-minute / 15)))
    assert "leak" == decay_shape(MINUTES, bending, 0)


def test_water_boiling_off_levels_below_its_ceiling() -> None:
    """An approach to a plateau: evaporation slows as the pressure nears what the water can hold."""
    wet = rise(lambda minute: 400 + 1600 * (1 - math.exp(-minute / 3)))
    assert "moisture" == decay_shape(MINUTES, wet, WARM)


def test_a_still_bending_rise_above_the_dry_level_is_moisture() -> None:
    wet = rise(lambda minute: 400 + 8000 * (1 - math.exp(-minute / 8)))
    assert "moisture" == decay_shape(MINUTES, wet, WARM)


@pytest.mark.parametrize("settles", [0.0, 80.0])
def test_a_gauge_that_settles_and_stands_is_tight(settles: float) -> None:
    """The pressure evens out after the valve is closed, then nothing more comes."""
    assert "tight" == decay_shape(MINUTES, rise(lambda minute: 300 + settles * (1 - math.exp(-minute))), WARM)


def test_the_dry_level_is_what_tells_tight_from_moisture() -> None:
    """A maker's manual reads a levelling off above 500 micron as moisture; another allows 700."""
    levelled = rise(lambda minute: 300 + 300 * (1 - math.exp(-minute)))
    assert "moisture" == decay_shape(MINUTES, levelled, WARM)
    assert "tight" == decay_shape(MINUTES, levelled, WARM, dry_level=700 * MICRON)


@pytest.mark.parametrize(
    "pressure",
    [
        lambda minute: 2000.0,  # never rose: it was never pumped down
        lambda minute: 400 + minute**2,  # faster and faster: no single cause does that
        lambda minute: 400 + 300 * (1 - math.exp(-minute / 20)),  # neither straight nor clearly bending
        lambda minute: 2000 - 40 * minute,  # falling: the pump is still on
        lambda minute: 20_000.0,  # above what water can hold, and standing
    ],
)
def test_shapes_that_say_nothing(pressure: Callable[[float], float]) -> None:
    assert "cannot_say" == decay_shape(MINUTES, rise(pressure), WARM)


def test_few_readings_or_a_short_watch_say_nothing() -> None:
    assert "cannot_say" == decay_shape([0, 5, 10, 15], [0.01, 0.02, 0.03, 0.04], WARM)
    assert "cannot_say" == decay_shape([0, 1, 2, 3, 4], [0.01, 0.02, 0.03, 0.04, 0.05], WARM)


@pytest.mark.parametrize(
    ("minutes", "pressures", "words"),
    [([0, 1, 1], [1, 2, 3], "do not go forward"), ([0], [1], "two readings"), ([0, 1], [1], "two readings")],
)
def test_readings_that_are_not_a_rise_are_refused(minutes: list[float], pressures: list[float], words: str) -> None:
    with pytest.raises(OutOfRange, match=words):
        decay_slope(minutes, pressures)
    with pytest.raises(OutOfRange, match=words):
        decay_shape(minutes, pressures, WARM)
