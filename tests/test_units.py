"""Units against published conversion factors and against pint's own registry, which is another's work."""

from __future__ import annotations

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from checker.reading import units

# Figures as printed in NIST SP 811 (2008), appendix B.8, from memory; relative tolerance half a unit of the last digit.
SP_811 = [
    ("psi", "pressure_difference", "kPa", 6.894757),
    ("inwc", "pressure_difference", "Pa", 249.0889),
    ("inHga", "absolute_pressure", "kPaa", 3.386389),
    ("psig", "gauge_pressure", "kPag", 6.894757),
    ("bara", "absolute_pressure", "kPaa", 100.0),
    ("Btu_per_h", "power", "W", 0.2930711),
    ("ton", "power", "kW", 3.516853),
    ("lb", "mass", "kg", 0.4535924),
    ("oz", "mass", "g", 28.34952),
    ("ft", "length", "m", 0.3048),
    ("inch", "length", "mm", 25.4),
    ("ft2", "area", "m2", 0.09290304),
    ("cfm", "airflow", "L_per_s", 0.4719474),
    ("delta_degC", "temperature_difference", "delta_degF", 1.8),
    ("Btu_per_lb", "specific_enthalpy", "kJ_per_kg", 2.326),
    ("hour", "duration", "minute", 60.0),
]
# A micron is a thousandth of a millimetre of mercury, 0.1333224 Pa (SP 811 B.8, conventional mmHg); 25 400 to the inch.
MICRONS = [(500, "Paa", 66.6612), (1000, "inHga", 0.0393701), (1000, "mmHga", 1.0), (23000, "inHga", 0.905512)]
# Points of two scales: the definitions of the degree Celsius and Fahrenheit.
POINTS = [
    (32, "degF", "degC", 0.0),
    (212, "degF", "degC", 100.0),
    (-40, "degF", "degC", -40.0),
    (0, "K", "degF", -459.67),
]
# Our unit and the name of the same unit in pint's default registry.
SAME_IN_PINT = [
    ("psi", "psi"), ("kPa", "kPa"), ("inwc", "inch_H2O"), ("A", "ampere"), ("kW", "kilowatt"), ("ton", "refrigeration_ton"),
    ("lb", "pound"), ("ft", "foot"), ("cfm", "foot**3/minute"), ("hour", "hour"), ("m3", "meter**3"), ("uF", "microfarad"),
]  # fmt: skip


def converted(number: float, kind: str, source: str, target: str) -> float:
    amount = units.to_base(number, units.all_units()[kind, source])
    return units.from_base(amount, units.all_units()[kind, target])


@pytest.mark.parametrize(("source", "kind", "target", "factor"), SP_811)
def test_conversion_factors_are_the_published_ones(source: str, kind: str, target: str, factor: float) -> None:
    assert factor == pytest.approx(converted(1, kind, source, target), rel=5e-7)


@pytest.mark.parametrize(("microns", "target", "expected"), MICRONS)
def test_a_micron_is_a_thousandth_of_a_millimetre_of_mercury(microns: float, target: str, expected: float) -> None:
    assert expected == pytest.approx(converted(microns, "absolute_pressure", "micron", target), rel=1e-5)


@pytest.mark.parametrize(("number", "source", "target", "expected"), POINTS)
def test_temperature_scales_meet_where_they_should(number: float, source: str, target: str, expected: float) -> None:
    assert expected == pytest.approx(converted(number, "temperature", source, target), abs=1e-9)


@pytest.mark.long
@pytest.mark.parametrize(("ours", "theirs"), SAME_IN_PINT)
def test_ratios_agree_with_pints_own_registry(ours: str, theirs: str) -> None:
    registry = pint.UnitRegistry()
    kind = units.kinds_written(ours)[0]
    base = {"length": "inch", "pressure_difference": "psi", "current": "ampere", "power": "watt", "mass": "pound",
            "airflow": "foot**3/minute", "duration": "minute", "volume": "foot**3",
            "capacitance": "microfarad"}[kind]  # fmt: skip
    expected = registry.Quantity(1, theirs).to(base).magnitude
    assert expected == pytest.approx(units.to_base(1, units.all_units()[kind, ours]), rel=2e-5)


def test_vacuum_below_the_atmosphere_is_a_negative_gauge_pressure() -> None:
    assert -4.911541 == pytest.approx(units.read_amount("10 inHg vacuum", "gauge_pressure", "psig")[0], rel=1e-6)


@pytest.mark.parametrize(
    ("text", "kind", "said"),
    [
        ("118 psia", "gauge_pressure", "absolute pressure"),
        ("118", "gauge_pressure", "no unit"),
        ("12 foo", "length", "not a unit of length"),
        ("a lot", "length", "not a number"),
        ("10 psi", "temperature_difference", "pressure difference"),
        ("", "length", "not a number"),
    ],
)
def test_an_amount_that_cannot_be_read_says_why(text: str, kind: str, said: str) -> None:
    with pytest.raises(units.UnitError, match=said):
        units.read_amount(text, kind, units.base_unit(kind).name)


@pytest.mark.parametrize(
    ("text", "amount"), [("3/4 in", 0.75), ("1 1/2 in", 1.5), ("1,200 in", 1200.0), ("2 ft", 24.0)]
)
def test_sizes_are_read_as_the_trade_writes_them(text: str, amount: float) -> None:
    assert amount == units.read_amount(text, "length", "inch")[0]


@pytest.mark.parametrize(
    ("amount", "digits", "written"),
    [
        (0.5, 0, "0 in"),
        (1.5, 0, "2 in"),
        (2.5, 0, "2 in"),
        (0.1 + 0.2, None, "0.3 in"),
        (-0.0001, 1, "0.0 in"),
        (-0.0, None, "0 in"),
        (1e6, None, "1000000 in"),
    ],
)
def test_amounts_are_printed_half_even_without_noise(amount: float, digits: int | None, written: str) -> None:
    assert written == units.write_amount(amount, "length", "inch", digits)


@given(st.sampled_from(sorted(units.all_units())), st.floats(-1e5, 1e5))
def test_to_the_base_unit_and_back_is_the_same_number(name: tuple[str, str], number: float) -> None:
    unit = units.all_units()[name]
    assert number == pytest.approx(units.from_base(units.to_base(number, unit), unit), rel=1e-9, abs=1e-6)


@given(st.sampled_from(sorted(units.all_units())))
def test_every_spelling_of_a_unit_means_one_unit_of_its_kind(name: tuple[str, str]) -> None:
    unit = units.all_units()[name]
    for spelling in (unit.name, *unit.also):
        assert unit == units.find_unit(unit.kind, spelling)


@pytest.mark.parametrize("text", ["- A", "+ A", "e5 A", "-e5 A", ". A", "A", "", " ", "-", "1.e A"])
def test_a_sign_or_an_exponent_alone_is_no_number(text: str) -> None:
    with pytest.raises(units.UnitError):
        units.read_amount(text, "current", "A")


@pytest.mark.parametrize(("text", "amps"), [(".5 A", 0.5), ("-.5 A", -0.5), ("1,000 A", 1000.0), ("2e1 A", 20.0)])
def test_numbers_as_people_write_them(text: str, amps: float) -> None:
    assert amps == units.read_amount(text, "current", "A")[0]
