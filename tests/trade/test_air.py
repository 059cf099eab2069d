"""Moist air against published tables, CoolProp and psychrolib; capacity against CoolProp and the rules of thumb."""

from __future__ import annotations

import itertools
from typing import Any

import psychrolib
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from checker.trade import air, functions, moist_air, refrigerant
from checker.trade.function import Function, OutOfRange
from tests.support import coolprop, humid_air

SEA_LEVEL = 14.696
PLACES = (15.236, SEA_LEVEL, 13.416, 12.2278, 10.108)  # psia: -1,000 to 10,000 ft
DATUM = 7.6857  # Btu/lb: dry air from 0 °F to 0 °C, where CoolProp counts from
BTU_PER_HOUR = 0.29307107017222  # W
HUMIDITIES = (0.05, 0.2, 0.4, 0.6, 0.8, 0.95, 1.0)
ENTERING, LEAVING = (80.0, 67.0), (58.0, 57.0)  # °F: dry bulb, wet bulb

psychrolib.SetUnitSystem(psychrolib.IP)


def of_coolprop(wanted: str, dry_bulb: float, atmosphere: float, **other: float) -> float:
    """CoolProp's humid air in our units: `R` a share, `B` °F, `W` lb/lb, `H` Btu/lb, `V` ft³/lb."""
    ((name, value),) = other.items()
    value = coolprop.make_curves.kelvin(value) if name == "B" else value
    place = ("T", coolprop.make_curves.kelvin(dry_bulb), "P", atmosphere * coolprop.make_curves.PSI)
    found = float(coolprop.HAPropsSI(wanted, *place, name, value))
    return {"H": found / 2326 + DATUM, "V": found * 16.018463373960138, "B": found * 1.8 - 459.67}.get(wanted, found)


def grid(dry_bulbs: range) -> list[tuple[float, float, float]]:
    return list(itertools.product(dry_bulbs, HUMIDITIES, PLACES))


def overlaps(dry_bulb: float, share: float, atmosphere: float) -> bool:
    """Whether the same air may show a wet bulb from 32 °F up on a wet wick and one below 32 °F on ice."""
    ratio = humid_air.humidity_ratio(dry_bulb, share, atmosphere)
    wet, ice = (moist_air.ratio_at_wet_bulb(dry_bulb, bulb, atmosphere) for bulb in (32.0, 32.0 - 1e-9))
    return dry_bulb > 32 and wet - 1e-5 <= ratio <= ice + 1e-5


# ASHRAE Fundamentals 2017, chapter 1, table 2 (14.696 psia, saturated): °F -> lb/lb, to 0.1 %.
SATURATED = [(41, 0.005425), (77, 0.020173), (122, 0.086863)]


@pytest.mark.parametrize(("temperature", "expected"), SATURATED)
def test_saturated_air_holds_what_the_table_says(temperature: float, expected: float) -> None:
    assert expected == pytest.approx(humid_air.humidity_ratio(temperature, 1, SEA_LEVEL), rel=1e-3)
    assert expected == pytest.approx(air.humidity_ratio(temperature, temperature, SEA_LEVEL), rel=1e-3)


def test_enthalpies_of_the_table() -> None:
    # ASHRAE Fundamentals 2017, chapter 1, table 2, Btu/lb: saturated to 0.1 %, dry to 0.05 %.
    assert 40.576 == pytest.approx(air.enthalpy(77, 77, SEA_LEVEL), rel=1e-3)
    assert 126.066 == pytest.approx(air.enthalpy(122, 122, SEA_LEVEL), rel=1e-3)
    assert 18.498 == pytest.approx(air.enthalpy(77, humid_air.wet_bulb(77, 0, SEA_LEVEL), SEA_LEVEL), rel=5e-4)


def test_the_worked_example_of_100_over_65() -> None:
    # ASHRAE Fundamentals 2017, chapter 1, example 1, at 14.696 psia.
    assert 65 == pytest.approx(humid_air.wet_bulb(100, 0.13, SEA_LEVEL), abs=0.3)
    assert 14.22 == pytest.approx(air.specific_volume(100, 65, SEA_LEVEL), abs=0.01)
    assert air.humidity_ratio(100, 65, SEA_LEVEL) == pytest.approx(
        air.humidity_ratio(40, 40, SEA_LEVEL), rel=0.01
    )  # dew point
    assert 0.00523 == pytest.approx(air.humidity_ratio(100, 65, SEA_LEVEL), abs=1e-5)  # the last two from memory
    assert 29.80 == pytest.approx(air.enthalpy(100, 65, SEA_LEVEL), abs=0.02)


# CoolProp 8.0.0, computed apart: dry bulb, wet bulb -> Btu/lb at 14.696 psia, to 0.02.
ENTHALPIES = [(75, 60, 26.370), (58, 57, 24.478), (55, 54, 22.616), (60, 58, 25.119)]


@pytest.mark.parametrize(("dry_bulb", "wet_bulb", "expected"), ENTHALPIES)
def test_enthalpy_from_two_thermometers(dry_bulb: float, wet_bulb: float, expected: float) -> None:
    found = air.enthalpy(dry_bulb, wet_bulb, SEA_LEVEL)
    assert expected == pytest.approx(found, abs=0.02)
    # psychrolib reads up to 0.09 Btu/lb low: no enhancement factor, and 0.240 for the heat of air.
    theirs = psychrolib.GetMoistAirEnthalpy(dry_bulb, psychrolib.GetHumRatioFromTWetBulb(dry_bulb, wet_bulb, SEA_LEVEL))
    assert 0 < found - theirs < 0.09


def test_the_difference_of_enthalpy_of_a_worked_example() -> None:
    # A published worked example, 75/60 to 55/54 °F at sea level: 3.74 Btu/lb (CoolProp 8.0.0: 3.754), to 0.02.
    found = air.enthalpy(75, 60, SEA_LEVEL) - air.enthalpy(55, 54, SEA_LEVEL)
    assert 3.74 == pytest.approx(found, abs=0.02)


# CoolProp 8.0.0, computed apart: 60/v of dry air at 70 °F in the standard atmosphere at 0, 2,500, 5,000 and 7,500 ft.
AIR_CONSTANTS = [(0, 4.495), (2500, 4.1034), (5000, 3.7398), (7500, 3.4029)]


@pytest.mark.parametrize(("feet", "expected"), AIR_CONSTANTS)
def test_the_4_5_of_the_rule_of_thumb_falls_with_elevation(feet: float, expected: float) -> None:
    atmosphere = refrigerant.atmospheric_pressure(feet * 12)
    dry = humid_air.wet_bulb(70, 0, atmosphere)
    assert expected == pytest.approx(60 / air.specific_volume(70, dry, atmosphere), abs=1e-3)


def test_coolprop_from_relative_humidity() -> None:
    for dry_bulb, share, atmosphere in grid(range(-40, 126, 5)):
        ratio = of_coolprop("W", dry_bulb, atmosphere, R=share)
        assert ratio == pytest.approx(humid_air.humidity_ratio(dry_bulb, share, atmosphere), rel=7e-4)


def test_wet_bulb_of_coolprop_over_water_and_over_ice() -> None:
    compared = {"water": 0, "ice": 0}
    for dry_bulb, share, atmosphere in grid(range(-20, 121, 5)):
        if overlaps(dry_bulb, share, atmosphere):
            continue
        expected = of_coolprop("B", dry_bulb, atmosphere, R=share)
        compared["water" if expected >= 32 else "ice"] += 1
        assert expected == pytest.approx(humid_air.wet_bulb(dry_bulb, share, atmosphere), abs=0.03)
    assert 500 < compared["water"]
    assert 300 < compared["ice"]


def test_volume_and_enthalpy_of_coolprop() -> None:
    # The straight-line enthalpy leaves the real gas by up to 0.08 Btu/lb: in hot saturated air, and by pressure aloft.
    for dry_bulb, share, atmosphere in grid(range(-20, 121, 5)):
        if overlaps(dry_bulb, share, atmosphere):
            continue
        wet_bulb = humid_air.wet_bulb(dry_bulb, share, atmosphere)
        volume, enthalpy = (of_coolprop(wanted, dry_bulb, atmosphere, R=share) for wanted in "VH")
        assert volume == pytest.approx(air.specific_volume(dry_bulb, wet_bulb, atmosphere), rel=1e-4)
        assert enthalpy == pytest.approx(air.enthalpy(dry_bulb, wet_bulb, atmosphere), abs=0.08)


def test_psychrolib_is_low_by_its_missing_enhancement_factor() -> None:
    # psychrolib takes the vapour as if it were alone, and so leaves out 0.25 to 0.7 % of the water of saturated air.
    for dry_bulb, share, atmosphere in grid(range(33, 121, 8)):
        theirs = psychrolib.GetHumRatioFromRelHum(dry_bulb, share, atmosphere)
        ours = humid_air.humidity_ratio(dry_bulb, share, atmosphere)
        assert 0.0025 < ours / theirs - 1 < 0.007


def test_psychrolib_finds_the_same_wet_bulb_above_freezing_and_below() -> None:
    # Above freezing to 0.06 °F, over ice to 0.03 °F; where water and ice overlap it may answer either, up to 1 °F apart.
    compared = 0
    for dry_bulb, share, atmosphere in grid(range(-20, 121, 5)):
        if overlaps(dry_bulb, share, atmosphere):
            continue
        found = humid_air.wet_bulb(dry_bulb, share, atmosphere)
        compared += 1
        theirs = psychrolib.GetTWetBulbFromRelHum(dry_bulb, share, atmosphere)
        assert theirs == pytest.approx(found, abs=0.06 if found >= 32 else 0.03)
    assert 800 < compared


def test_below_freezing_the_wick_is_ice_and_holds_more_than_psychrolib_says_by_its_missing_factor() -> None:
    # ASHRAE's equation 35 through psychrolib: within 0.00004 lb/lb at 14.696 psia from 0 to 31 °F of wet bulb.
    for wet_bulb, below in itertools.product(range(32), (0, 1, 2, 4)):
        try:
            ours = air.humidity_ratio(wet_bulb + below, wet_bulb, SEA_LEVEL)
        except OutOfRange:
            continue
        theirs = psychrolib.GetHumRatioFromTWetBulb(wet_bulb + below, wet_bulb, SEA_LEVEL)
        assert 0 < ours - theirs < 4e-5


def test_humidity_falls_by_a_step_where_ice_on_the_wick_melts() -> None:
    # The heat of melting, 143 Btu/lb: at 40 °F of dry bulb, 12 % of the water that the wick gives off (arithmetic).
    ice, water = (air.humidity_ratio(40, bulb, SEA_LEVEL) for bulb in (32 - 1e-5, 32))
    saturated = air.humidity_ratio(32, 32, SEA_LEVEL)
    assert 143.4 / (1061 + 0.444 * 40 + 143.4) == pytest.approx((ice - water) / (saturated - water), rel=0.01)


def test_capacity_is_that_of_coolprop_at_the_density_of_the_entering_air() -> None:
    for atmosphere, entering, leaving in itertools.product(
        PLACES, (ENTERING, (75.0, 62.0), (75.0, 75.0)), (LEAVING, (55.0, 54.0), (55.0, 55.0))
    ):
        before, after = (of_coolprop("H", dry, atmosphere, B=wet) for dry, wet in (entering, leaving))
        expected = 60 * 1200 / of_coolprop("V", entering[0], atmosphere, B=entering[1]) * (before - after)
        found = air.total_capacity(1200, *entering, *leaving, atmosphere) / BTU_PER_HOUR
        assert expected == pytest.approx(found, rel=2e-3)


def test_the_rule_of_4_5_is_for_standard_air() -> None:
    # 4.5 x 1,200 cfm x difference of enthalpy, 80/67 to 58/57 °F: 38,029 Btu/h, computed apart, to 20.
    difference = air.enthalpy(*ENTERING, SEA_LEVEL) - air.enthalpy(*LEAVING, SEA_LEVEL)
    assert 38_029 == pytest.approx(4.5 * 1200 * difference, abs=20)
    # Air of 80/67 °F is lighter than standard air at sea level already, and at 5,000 ft by far more (60/v of CoolProp).
    for atmosphere, too_high in ((SEA_LEVEL, 1.038), (refrigerant.atmospheric_pressure(60_000), 1.25)):
        difference = air.enthalpy(*ENTERING, atmosphere) - air.enthalpy(*LEAVING, atmosphere)
        true = air.total_capacity(1200, *ENTERING, *LEAVING, atmosphere) / BTU_PER_HOUR
        assert 60 / of_coolprop("V", 80, atmosphere, B=67) == pytest.approx(true / (1200 * difference), rel=2e-4)
        assert too_high == pytest.approx(4.5 * 1200 * difference / true, abs=0.005)


def test_the_rule_of_1_08_is_for_standard_air() -> None:
    # 1.08 x 1,200 cfm x 20 °F = 25,920 Btu/h: arithmetic of the trade's rule for dry standard air at sea level.
    found = air.sensible_capacity(1200, 70, humid_air.wet_bulb(70, 0, SEA_LEVEL), 50, SEA_LEVEL) / BTU_PER_HOUR
    assert 25_920 == pytest.approx(found, rel=1e-3)
    # At 5,000 ft the rule reads a fifth high (12.228 psia against 14.696).
    place = refrigerant.atmospheric_pressure(60_000)
    aloft = air.sensible_capacity(1200, 70, humid_air.wet_bulb(70, 0, place), 50, place) / BTU_PER_HOUR
    assert 14.696 / 12.228 == pytest.approx(25_920 / aloft, rel=2e-3)
    # CoolProp 8.0.0, computed apart: 60/v x 0.24 of dry air of 70 °F at 2,500 ft is 0.9848 Btu/h a cfm and °F.
    place = refrigerant.atmospheric_pressure(30_000)
    each = air.sensible_capacity(1, 70, humid_air.wet_bulb(70, 0, place), 69, place) / BTU_PER_HOUR
    assert 0.9848 == pytest.approx(each, abs=0.001)


def test_airflow_per_ton_and_split() -> None:
    # Arithmetic: three tons are 36,000 Btu/h.
    assert 400 == pytest.approx(air.airflow_per_ton(1200, 36_000 * BTU_PER_HOUR))
    assert 20 == air.temperature_split(75, 55)
    assert -30 == air.temperature_split(70, 100)


DRY_BULBS, PRESSURES, SHARES = st.floats(-40, 150), st.floats(8, 16), st.floats(0, 1)


@given(DRY_BULBS, SHARES, PRESSURES)
def test_the_wet_bulb_of_a_humidity_gives_its_water_back(dry_bulb: float, share: float, atmosphere: float) -> None:
    wet_bulb = humid_air.wet_bulb(dry_bulb, share, atmosphere)
    assume(wet_bulb >= -40)
    ratio = humid_air.humidity_ratio(dry_bulb, share, atmosphere)
    assert wet_bulb <= dry_bulb
    assert ratio == pytest.approx(air.humidity_ratio(dry_bulb, wet_bulb, atmosphere), abs=1e-9)


@given(st.floats(0, 3000), DRY_BULBS, SHARES, DRY_BULBS, SHARES, PRESSURES)
def test_what_is_not_sensible_is_the_heat_of_the_vapour_left_behind(
    airflow: float, warm: float, share: float, cold: float, other_share: float, atmosphere: float
) -> None:
    """Source: energy balance; the vapour at the leaving dry bulb holds 1061 + 0.444 t Btu/lb (ASHRAE's equation 30)."""
    before, after = humid_air.wet_bulb(warm, share, atmosphere), humid_air.wet_bulb(cold, other_share, atmosphere)
    assume(before >= -40 and after >= -40)
    sensible = air.sensible_capacity(airflow, warm, before, cold, atmosphere)
    total = air.total_capacity(airflow, warm, before, cold, after, atmosphere)
    water = air.humidity_ratio(warm, before, atmosphere) - air.humidity_ratio(cold, after, atmosphere)
    dry_air = 60 * airflow / air.specific_volume(warm, before, atmosphere)
    assert total == pytest.approx(sensible + dry_air * water * (1061 + 0.444 * cold) * BTU_PER_HOUR, rel=1e-9, abs=1e-6)


@given(st.floats(32, 120), st.floats(32, 120), st.floats(0.001, 5), PRESSURES)
def test_a_higher_wet_bulb_is_wetter_and_richer_air_above_freezing(
    dry_bulb: float, wet_bulb: float, step: float, atmosphere: float
) -> None:
    assume(wet_bulb + step <= dry_bulb and moist_air.ratio_at_wet_bulb(dry_bulb, wet_bulb, atmosphere) >= 0)
    for function in (air.humidity_ratio, air.enthalpy, air.specific_volume):
        assert function(dry_bulb, wet_bulb, atmosphere) < function(dry_bulb, wet_bulb + step, atmosphere)


# Each declared direction, tried: function -> what its arguments are drawn from.
FLOWS = st.floats(0, 3000)
DRAWN: dict[str, tuple[Any, ...]] = {
    **dict.fromkeys(("humidity_ratio", "specific_volume"), (DRY_BULBS, DRY_BULBS, PRESSURES)),
    "temperature_split": (DRY_BULBS, DRY_BULBS),
    "airflow_per_ton": (FLOWS, st.floats(1000, 30000)),
}  # fmt: skip
MOVES = [
    (function, place)
    for function in functions().values()
    if function.compute.__module__ == air.__name__
    for place, argument in enumerate(function.arguments)
    if argument.moves
]


@pytest.mark.parametrize(("function", "place"), MOVES, ids=lambda value: getattr(value, "name", str(value)))
@given(data=st.data())
def test_declared_directions_are_true(function: Function, place: int, data: st.DataObject) -> None:
    values = [data.draw(drawn) for drawn in DRAWN[function.name]]
    low, high = sorted((values[place], data.draw(DRAWN[function.name][place])))
    try:
        lower, higher = (function.compute(*values[:place], end, *values[place + 1 :]) for end in (low, high))
    except OutOfRange:
        return
    assert -1e-9 <= function.arguments[place].moves * (higher - lower)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: air.humidity_ratio(70, 75, SEA_LEVEL), "wet bulb of 75 °F is above the dry bulb of 70 °F"),
        (
            lambda: air.total_capacity(1200, 70, 75, 55, 54, SEA_LEVEL),
            "wet bulb of 75 °F is above the dry bulb of 70 °F",
        ),
        (lambda: air.humidity_ratio(120, 50, SEA_LEVEL), "lower than bone-dry air of 120 °F could give"),
        (lambda: air.humidity_ratio(0, -60, SEA_LEVEL), "wet bulb of -60 °F is below -40 °F"),
        (lambda: air.humidity_ratio(200, 100, SEA_LEVEL), "dry bulb of 200 °F is outside -40 to 150 °F"),
        (lambda: air.humidity_ratio(80, 67, 29.92), "atmosphere of 29.92 psia is outside 8 to 16 psia"),
        (lambda: air.total_capacity(-1, *ENTERING, *LEAVING, SEA_LEVEL), "airflow of -1 cfm is below zero"),
        (lambda: air.sensible_capacity(1200, *ENTERING, 300, SEA_LEVEL), "dry bulb of 300 °F is outside"),
        (lambda: air.airflow_per_ton(1200, 0), "capacity of 0 W is not above zero"),
        (lambda: air.airflow_per_ton(-5, 1000), "airflow of -5 cfm is below zero"),
        (lambda: air.humidity_ratio(float("nan"), 60, SEA_LEVEL), "is outside"),
        (lambda: air.humidity_ratio(80, float("nan"), SEA_LEVEL), "wet bulb of nan"),
        (lambda: air.total_capacity(float("nan"), *ENTERING, *LEAVING, SEA_LEVEL), "airflow of nan"),
        (lambda: air.airflow_per_ton(1200, float("nan")), "capacity of nan"),
    ],
)
def test_what_cannot_be_served_is_refused_in_trade_words(call: Any, said: str) -> None:
    with pytest.raises(OutOfRange, match=said):
        call()
