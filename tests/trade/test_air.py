"""Moist air against published tables, CoolProp and psychrolib; capacity against worked examples."""

from __future__ import annotations

import itertools
from typing import Any

import psychrolib
import pytest
from CoolProp.CoolProp import HAPropsSI
from hypothesis import assume, given
from hypothesis import strategies as st

from checker.trade import air, make_curves, refrigerant
from checker.trade.function import OutOfRange

SEA_LEVEL = 14.696
PLACES = (15.236, SEA_LEVEL, 13.416, 12.2278, 10.108)  # psia: -1,000 to 10,000 ft
DATUM = 7.6857  # Btu/lb: dry air from 0 °F to 0 °C, CoolProp's zero
BTU_PER_HOUR = 0.29307107017222  # W
FAHRENHEIT, PRESSURES, SHARES = st.floats(33, 120), st.floats(8, 16), st.floats(0, 1)

psychrolib.SetUnitSystem(psychrolib.IP)


def coolprop(wanted: str, dry_bulb: float, atmosphere: float, **other: float) -> float:
    """CoolProp's humid air in SI; `R` a share, `B` in °F, `W` a ratio."""
    ((name, value),) = other.items()
    value = make_curves.kelvin(value) if name == "B" else value
    place = ("T", make_curves.kelvin(dry_bulb), "P", atmosphere * make_curves.PSI)
    return float(HAPropsSI(wanted, *place, name, value))


# ASHRAE Fundamentals 2017, chapter 1, table 2 (14.696 psia): °F -> W of saturated air, lb/lb.
SATURATED = [(41, 0.005425), (77, 0.020173), (122, 0.086863)]


@pytest.mark.parametrize(("dry_bulb", "expected"), SATURATED)
def test_saturated_air_holds_what_the_table_says(dry_bulb: float, expected: float) -> None:
    assert expected == pytest.approx(air.humidity_ratio_at(dry_bulb, 1, SEA_LEVEL), rel=1e-3)


def test_enthalpies_of_the_table() -> None:
    # ASHRAE Fundamentals 2017, chapter 1, table 2: saturated at 77 and 122 °F, dry at 77 °F, Btu/lb.
    assert 40.576 == pytest.approx(air.enthalpy(77, 0.020173), rel=1e-3)
    assert 126.066 == pytest.approx(air.enthalpy(122, 0.086863), rel=1e-3)
    assert 18.498 == pytest.approx(air.enthalpy(77, 0), rel=5e-4)


def test_the_worked_example_of_100_over_65() -> None:
    # ASHRAE Fundamentals 2017, chapter 1, example 1: W 0.00523, 13 %, h 29.80, v 14.22 at 14.696 psia.
    ratio = air.humidity_ratio(100, 65, SEA_LEVEL)
    assert 0.00523 == pytest.approx(ratio, abs=1e-5)
    assert 0.13 == pytest.approx(air.relative_humidity(100, ratio, SEA_LEVEL), abs=0.005)
    assert 29.80 == pytest.approx(air.enthalpy(100, ratio), abs=0.02)
    assert 14.22 == pytest.approx(air.specific_volume(100, ratio, SEA_LEVEL), abs=0.01)


# CoolProp 8.0.0, computed apart: dry bulb, wet bulb -> Btu/lb at 14.696 psia.
ENTHALPIES = [(75, 60, 26.370), (58, 57, 24.478), (55, 54, 22.616), (60, 58, 25.119)]


@pytest.mark.parametrize(("dry_bulb", "wet_bulb", "expected"), ENTHALPIES)
def test_enthalpy_from_two_thermometers(dry_bulb: float, wet_bulb: float, expected: float) -> None:
    assert expected == pytest.approx(
        air.enthalpy(dry_bulb, air.humidity_ratio(dry_bulb, wet_bulb, SEA_LEVEL)), abs=0.005
    )


# CoolProp 8.0.0, computed apart: 60/v of dry air at 70 °F in the standard atmosphere at 0, 2,500, 5,000 and 7,500 ft.
AIR_CONSTANTS = [(0, 4.495), (2500, 4.1034), (5000, 3.7398), (7500, 3.4029)]


@pytest.mark.parametrize(("feet", "expected"), AIR_CONSTANTS)
def test_the_4_5_of_the_rule_of_thumb_falls_with_elevation(feet: float, expected: float) -> None:
    atmosphere = refrigerant.atmospheric_pressure(feet * 12)
    assert expected == pytest.approx(60 / air.specific_volume(70, 0, atmosphere), abs=5e-4)


@pytest.mark.parametrize("atmosphere", PLACES)
def test_coolprop_from_relative_humidity(atmosphere: float) -> None:
    for dry_bulb, share in itertools.product(range(-40, 126, 5), (0.05, 0.2, 0.5, 0.8, 1.0)):
        ratio = coolprop("W", dry_bulb, atmosphere, R=share)
        assert ratio == pytest.approx(air.humidity_ratio_at(dry_bulb, share, atmosphere), rel=7e-4)
        volume = coolprop("V", dry_bulb, atmosphere, R=share) / 0.0624279606
        assert volume == pytest.approx(air.specific_volume(dry_bulb, ratio, atmosphere), rel=2.5e-4)
        # The linear formula for enthalpy drifts from the real gas in hot saturated air, where no coil works.
        enthalpy = coolprop("H", dry_bulb, atmosphere, R=share) / 2326 + DATUM
        assert enthalpy == pytest.approx(air.enthalpy(dry_bulb, ratio), abs=0.055 if dry_bulb <= 105 else 0.2)


@pytest.mark.parametrize("atmosphere", PLACES)
def test_coolprop_from_the_wet_bulb(atmosphere: float) -> None:
    compared = 0
    for dry_bulb in range(35, 126, 5):
        for wet_bulb in range(35, dry_bulb + 1, 3):
            if air._balance(dry_bulb, wet_bulb, atmosphere) < 5e-5:  # drier than dry, or the edge of it
                continue
            compared += 1
            ratio = coolprop("W", dry_bulb, atmosphere, B=wet_bulb)
            assert ratio == pytest.approx(air.humidity_ratio(dry_bulb, wet_bulb, atmosphere), abs=5e-5)
    assert 150 < compared


@pytest.mark.parametrize("atmosphere", PLACES)
def test_wet_bulb_against_coolprop_and_psychrolib(atmosphere: float) -> None:
    # Above 36 °F: nearer freezing the two take ice where water still stands on the wick, and differ by over 1 °F.
    compared = 0
    for dry_bulb, percent in itertools.product(range(40, 126, 5), (2, 10, 30, 50, 70, 90, 100)):
        share = percent / 100
        wet = coolprop("B", dry_bulb, atmosphere, R=share) * 1.8 - 459.67
        if wet < 36:
            continue
        compared += 1
        found = air.wet_bulb_temperature(dry_bulb, share, atmosphere)
        assert wet == pytest.approx(found, abs=0.03)
        assert psychrolib.GetTWetBulbFromRelHum(dry_bulb, share, atmosphere) == pytest.approx(found, abs=0.06)
    assert 80 < compared


@pytest.mark.parametrize("atmosphere", PLACES)
def test_psychrolib_is_below_by_its_missing_enhancement_factor(atmosphere: float) -> None:
    # psychrolib takes water vapour in air as if it were alone, which leaves out 0.3 to 0.6 % of the water.
    for dry_bulb, share in itertools.product(range(32, 121, 8), (0.1, 0.5, 1.0)):
        theirs = psychrolib.GetHumRatioFromRelHum(dry_bulb, share, atmosphere)
        assert 0.0025 < air.humidity_ratio_at(dry_bulb, share, atmosphere) / theirs - 1 < 0.0066
        volume = psychrolib.GetMoistAirVolume(dry_bulb, theirs, atmosphere)
        assert volume == pytest.approx(air.specific_volume(dry_bulb, theirs, atmosphere), rel=3e-3)


@given(FAHRENHEIT, SHARES, PRESSURES)
def test_to_the_wet_bulb_and_back(dry_bulb: float, share: float, atmosphere: float) -> None:
    try:
        wet_bulb = air.wet_bulb_temperature(dry_bulb, share, atmosphere)
    except OutOfRange as refused:
        assert "is below 32 °F" in str(refused)  # noqa: PT017
        return
    ratio = air.humidity_ratio(dry_bulb, min(wet_bulb, dry_bulb), atmosphere)
    assert air.humidity_ratio_at(dry_bulb, share, atmosphere) == pytest.approx(ratio, abs=1e-9)
    assert share == pytest.approx(air.relative_humidity(dry_bulb, ratio, atmosphere), abs=1e-7)


@given(st.floats(-40, 150), st.floats(0, 0.1))
def test_to_enthalpy_and_back(dry_bulb: float, ratio: float) -> None:
    back = air.dry_bulb_temperature(air.enthalpy(dry_bulb, ratio), ratio) if -39 < dry_bulb < 149 else dry_bulb
    assert dry_bulb == pytest.approx(back, abs=1e-9)


# Each declared direction, tried: function -> what its arguments are drawn from.
RATIOS, VOLUMES, FLOWS = st.floats(0, 0.05), st.floats(12, 18), st.floats(100, 3000)
STATES = st.floats(0, 60)
DRAWN: dict[str, tuple[Any, ...]] = {
    "humidity_ratio": (FAHRENHEIT, FAHRENHEIT, PRESSURES),
    "humidity_ratio_at": (st.floats(-40, 120), SHARES, PRESSURES),
    "relative_humidity": (FAHRENHEIT, RATIOS, PRESSURES),
    "wet_bulb_temperature": (FAHRENHEIT, SHARES, PRESSURES),
    "enthalpy": (FAHRENHEIT, RATIOS),
    "dry_bulb_temperature": (STATES, RATIOS),
    "specific_volume": (FAHRENHEIT, RATIOS, PRESSURES),
    "total_capacity": (FLOWS, VOLUMES, STATES, STATES),
    "sensible_capacity": (FLOWS, VOLUMES, RATIOS, FAHRENHEIT, FAHRENHEIT),
    "latent_capacity": (FLOWS, VOLUMES, RATIOS, RATIOS, FAHRENHEIT),
    "temperature_split": (FAHRENHEIT, FAHRENHEIT),
    "airflow_per_ton": (FLOWS, st.floats(1000, 30000)),
    "mixed_enthalpy": (FLOWS, VOLUMES, STATES, FLOWS, VOLUMES, STATES),
    "mixed_humidity_ratio": (FLOWS, VOLUMES, RATIOS, FLOWS, VOLUMES, RATIOS),
}
MOVES = [
    (function, place)
    for function in air.FUNCTIONS
    for place, argument in enumerate(function.arguments)
    if argument.moves
]


def test_every_function_is_tried() -> None:
    assert {function.name for function in air.FUNCTIONS} == DRAWN.keys()


@pytest.mark.parametrize(("function", "place"), MOVES, ids=lambda value: getattr(value, "name", str(value)))
@given(data=st.data())
def test_declared_directions_are_true(function: air.Function, place: int, data: st.DataObject) -> None:
    values = [data.draw(drawn) for drawn in DRAWN[function.name]]
    other = data.draw(DRAWN[function.name][place])
    assume(abs(values[place] - other) > 1e-6)
    low, high = sorted((values[place], other))
    try:
        lower, higher = (function.compute(*values[:place], end, *values[place + 1 :]) for end in (low, high))
    except OutOfRange:
        return
    assert -1e-9 <= function.arguments[place].moves * (higher - lower)


def coil(airflow: float, entering: tuple[float, float], leaving: tuple[float, float], atmosphere: float) -> float:
    """Total capacity in Btu/h, the airflow measured where the air leaves the coil."""
    before, after = (air.humidity_ratio(dry, wet, atmosphere) for dry, wet in (entering, leaving))
    volume = air.specific_volume(leaving[0], after, atmosphere)
    watts = air.total_capacity(airflow, volume, air.enthalpy(entering[0], before), air.enthalpy(leaving[0], after))
    return watts / BTU_PER_HOUR


def test_the_enthalpy_difference_of_a_worked_example() -> None:
    # A worked example prints 3.74 Btu/lb for 75/60 to 55/54 °F and about 19,700 Btu/h at 1,200 cfm, v 13.653.
    before, after = (air.enthalpy(dry, air.humidity_ratio(dry, wet, SEA_LEVEL)) for dry, wet in ((75, 60), (55, 54)))
    assert 3.74 == pytest.approx(before - after, abs=0.02)
    assert 19_750 == pytest.approx(air.total_capacity(1200, 13.653, before, after) / BTU_PER_HOUR, abs=80)


def test_an_example_in_pounds_of_air() -> None:
    # A worked example: 28.8 lb/min, 31.43 to 26.52 Btu/lb, 141.4 Btu/min.
    assert 141.4 * 60 == pytest.approx(air.total_capacity(28.8, 1, 31.43, 26.52) / BTU_PER_HOUR, abs=2)


def test_the_rule_of_thumb_is_the_special_case_of_standard_air() -> None:
    # 80/67 to 58/57 °F at 1,200 cfm: 38,029 Btu/h by 4.5 (computed apart); 60/13.333 is that 4.5.
    before, after = (air.enthalpy(dry, air.humidity_ratio(dry, wet, SEA_LEVEL)) for dry, wet in ((80, 67), (58, 57)))
    assert 38_029 == pytest.approx(air.total_capacity(1200, 60 / 4.5, before, after) / BTU_PER_HOUR, abs=20)


def test_capacity_at_the_density_of_the_place() -> None:
    # CoolProp 8.0.0, computed apart: 38,274 Btu/h at the leaving state at sea level, 36,239 for the same cfm at 5,000 ft.
    assert 38_274 == pytest.approx(coil(1200, (80, 67), (58, 57), SEA_LEVEL), abs=20)
    assert 36_239 == pytest.approx(coil(1200, (80, 67), (58, 57), 12.2278), abs=20)


def test_sensible_capacity_is_the_1_08_of_the_rule_of_thumb() -> None:
    # 1.08 x 1,200 cfm x 20 °F = 25,920 Btu/h, arithmetic of the trade's rule for dry standard air.
    found = air.sensible_capacity(1200, 60 / 4.5, 0, 80, 60) / BTU_PER_HOUR
    assert 25_920 == pytest.approx(found, rel=2e-3)


@given(RATIOS, RATIOS, FAHRENHEIT, FAHRENHEIT)
def test_sensible_and_latent_make_the_total(before: float, after: float, warm: float, cold: float) -> None:
    sensible = air.sensible_capacity(1200, 13.5, before, warm, cold)
    latent = air.latent_capacity(1200, 13.5, before, after, cold)
    total = air.total_capacity(1200, 13.5, air.enthalpy(warm, before), air.enthalpy(cold, after))
    assert total == pytest.approx(sensible + latent, abs=1e-6)


def test_two_streams_mixed() -> None:
    # A sheet of coil formulas prints 85.0 / 69.7 °F for 2,000 cfm of 80/67 and 1,000 cfm of 95/75; exact is 84.91 / 69.77.
    ratios = [air.humidity_ratio(dry, wet, SEA_LEVEL) for dry, wet in ((80, 67), (95, 75))]
    volumes = [air.specific_volume(dry, ratio, SEA_LEVEL) for dry, ratio in zip((80, 95), ratios, strict=True)]
    heats = [air.enthalpy(dry, ratio) for dry, ratio in zip((80, 95), ratios, strict=True)]
    ratio = air.mixed(2000, volumes[0], ratios[0], 1000, volumes[1], ratios[1])
    heat = air.mixed(2000, volumes[0], heats[0], 1000, volumes[1], heats[1])
    dry = air.dry_bulb_temperature(heat, ratio)
    wet = air.wet_bulb_temperature(dry, air.relative_humidity(dry, ratio, SEA_LEVEL), SEA_LEVEL)
    assert 84.91 == pytest.approx(dry, abs=0.02)
    assert 69.77 == pytest.approx(wet, abs=0.02)


def test_airflow_per_ton() -> None:
    # Arithmetic: three tons are 36,000 Btu/h.
    assert 400 == pytest.approx(air.airflow_per_ton(1200, 36_000 * BTU_PER_HOUR))


def test_temperature_split() -> None:
    assert 20 == air.temperature_split(75, 55)
    assert -30 == air.temperature_split(70, 100)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: air.humidity_ratio(70, 75, SEA_LEVEL), "wet bulb of 75 °F is outside 32 °F to the dry bulb of 70 °F"),
        (lambda: air.humidity_ratio(70, 31.9, SEA_LEVEL), "wet bulb of 31.9 °F is outside"),
        (lambda: air.humidity_ratio(120, 50, SEA_LEVEL), "lower than dry air at 120 °F can give"),
        (lambda: air.humidity_ratio(200, 100, SEA_LEVEL), "dry bulb of 200 °F is outside -40 to 150 °F"),
        (lambda: air.humidity_ratio(80, 67, 29.92), "atmosphere of 29.92 psia is outside 8 to 16 psia"),
        (lambda: air.humidity_ratio_at(80, 50, SEA_LEVEL), "humidity of 5000 % is outside 0 to 100 %"),
        (lambda: air.relative_humidity(50, 0.02, SEA_LEVEL), "0.02 is more than air at 50 °F can hold"),
        (lambda: air.wet_bulb_temperature(40, 0.1, SEA_LEVEL), "is below 32 °F"),
        (lambda: air.enthalpy(70, -0.01), "humidity ratio of -0.01 is outside 0 to 0.3"),
        (lambda: air.dry_bulb_temperature(500, 0.01), "dry bulb of .* is outside"),
        (lambda: air.total_capacity(-1, 13, 30, 20), "is no flow of air"),
        (lambda: air.total_capacity(1200, 0, 30, 20), "is no flow of air"),
        (lambda: air.airflow_per_ton(1200, 0), "capacity of 0 W is not above zero"),
        (lambda: air.mixed(0, 13, 30, 0, 13, 20), "no air flows"),
        (lambda: air.humidity_ratio(float("nan"), 60, SEA_LEVEL), "is outside"),
    ],
)
def test_what_cannot_be_served_is_refused_in_trade_words(call: Any, said: str) -> None:
    with pytest.raises(OutOfRange, match=said):
        call()
