"""Units: what only a small fault in the code showed to be untested. `tests/long/mutants.py` puts such faults in.

Expectations are the definitions of the units, worked by hand.
"""

from __future__ import annotations

import pytest

from checker.reading import units

pytestmark = pytest.mark.long


def test_a_step_is_the_size_of_the_units_own_grain_in_the_base_unit() -> None:
    """A foot is twelve inches; a degree Celsius 1.8 of Fahrenheit, and an offset between points is no part of a step."""
    for kind, large, small, ratio in (("length", "ft", "inch", 12.0), ("temperature", "degC", "degF", 1.8)):
        of = units.all_units()
        scaled = of[kind, large].grain * ratio
        assert units.grain(kind, large) == pytest.approx(scaled, rel=1e-5)
        assert units.grain(kind, small) == pytest.approx(of[kind, small].grain, rel=1e-5)
    assert units.grain("gauge_pressure", "inHgv") > 0, "though more vacuum is less pressure"
    assert units.grain("length", "furlong") == units.grain("length", "inch"), (
        "one nobody knows is taken as the base unit"
    )


def read(text: str, kind: str = "length", declared: str = "inch") -> tuple[float, str, str]:
    amount, unit, written = units.read_amount(text, kind, declared)
    return amount, unit.name, written


def test_an_amount_is_read_with_its_unit_and_the_number_as_written() -> None:
    assert (24.0, "ft", "2") == read("2 ft")
    assert (1200.0, "inch", "1200") == read("1,200 in")
    assert (1.5, "inch", "1.5") == read(" 1 1/2 in ") == read("1-1/2 in")
    assert (0.75, "inch", "0.75") == read("3/4in")
    assert (3.0, "one", "3") == read("3", "number", "one"), "a plain number has no unit"


@pytest.mark.parametrize("text", ["2e12 in", "-2e12 in", "1000000000001 in"])
def test_no_reading_is_larger_than_a_million_million(text: str) -> None:
    with pytest.raises(units.UnitError, match="too large") as error:
        read(text)
    assert "Write the reading" in error.value.hint
    assert [1e12, -1e12] == [read(most)[0] for most in ("1e12 in", "-1e12 in")]


@pytest.mark.parametrize(
    ("text", "kind", "declared", "what", "hint"),
    [
        ("many", "temperature", "degF", "'many'", '"10 °F"'),
        ("118", "gauge_pressure", "psig", "'118'", '"118 psig"'),
        ("1,118", "temperature", "degF", "'1,118'", '"1118 °F"'),
        (
            "118 psia",
            "gauge_pressure",
            "psig",
            "'psia' is a unit of absolute pressure; gauge pressure is needed",
            "psig",
        ),
        ("10 psi", "temperature_difference", "delta_degF", "pressure difference; temperature difference", "in °F"),
        ("12 qqqq", "gauge_pressure", "psig", "'qqqq' is not a unit of gauge pressure", "Use psig"),
        ("12 psig\nor so", "gauge_pressure", "psig", "is not a unit of gauge pressure", "psig"),
        ("12 psgi", "gauge_pressure", "inHgv", "'psgi' is not a unit of gauge pressure", "psig"),
    ],
)
def test_an_amount_that_cannot_be_read_says_what_is_wrong_and_what_to_write(
    text: str, kind: str, declared: str, what: str, hint: str
) -> None:
    with pytest.raises(units.UnitError) as error:
        units.read_amount(text, kind, declared)
    assert what in error.value.what
    assert hint in error.value.hint
    assert f"{error.value.what} {error.value.hint}" == str(error.value)


@pytest.mark.parametrize(
    ("amount", "kind", "unit", "digits", "written"),
    [
        # Rounded half-even, by hand; to four digits and no trailing noise where none are asked for.
        (0.125, "length", "inch", 2, "0.12 in"), (0.375, "length", "inch", 2, "0.38 in"), (2.0, "length", "inch", 2, "2.00 in"),
        (0.0, "length", "inch", 8, "0.00000000 in"),
        (1 / 3, "length", "inch", None, "0.3333 in"), (100.0, "length", "inch", None, "100 in"),
        (100.0, "length", "inch", 0, "100 in"),
        (-0.00001, "length", "inch", None, "0 in"), (-0.2, "length", "inch", 0, "0 in"),
        (-1.5, "length", "inch", None, "-1.5 in"),
        (24.0, "length", "ft", None, "2 ft"), (0.5, "number", "one", None, "0.5"), (1e-7, "length", "inch", None, "0 in"),
        (212.0, "temperature", "degC", None, "100 °C"), (-40.0, "temperature", "degC", None, "-40 °C"),
        (18.0, "temperature_difference", "delta_degC", None, "10 °C"), (3.0, "length", "furlong", None, "3 in"),
    ],
)  # fmt: skip
def test_an_amount_is_written_as_a_person_reads_it(
    amount: float, kind: str, unit: str, digits: int | None, written: str
) -> None:
    assert written == units.write_amount(amount, kind, unit, digits)


def test_a_unit_belongs_to_its_own_kinds_and_is_found_by_what_is_shown() -> None:
    of = units.all_units()
    assert of["temperature", "degC"] == units.find_unit("temperature", "°C")
    assert of["temperature_difference", "delta_degC"] == units.find_unit("temperature_difference", "°C")
    assert units.find_unit("temperature", "psig") is None
    assert ("absolute_pressure",) == units.kinds_written("psia")
    assert {"temperature", "temperature_difference"} <= set(units.kinds_written("°C"))
    assert units.find_unit("length", "furlong") is None
    assert () == units.kinds_written("furlong")


def test_every_unit_is_shown_in_a_way_that_may_also_be_typed() -> None:
    """Which are the ways of writing each unit is listed once, in `units.txt`."""
    for unit in units.all_units().values():
        assert units.shown(unit.name) in (unit.name, *unit.also) or (unit.name, units.shown(unit.name)) == ("one", "")
    assert set(units.SHOWN) <= {unit.name for unit in units.all_units().values()}


def test_amounts_are_kept_to_twelve_digits() -> None:
    """0.1 + 0.2 is 0.3, and what differs in the twelfth digit still differs."""
    assert 0.3 == units.settled(0.1 + 0.2)
    assert 1.00000000001 == units.settled(1.00000000001)
    assert 1.0 == units.settled(1.0000000000001)


def test_every_kind_has_one_base_unit_of_scale_one() -> None:
    for kind in units.kinds():
        base = [unit for unit in units.all_units().values() if unit.kind == kind and unit.means == "base"]
        assert [units.base_unit(kind)] == base
        assert (7.0, 7.0) == (units.to_base(7.0, base[0]), units.from_base(7.0, base[0]))


def test_the_difference_of_two_points_is_of_the_kind_of_differences() -> None:
    assert "temperature_difference" == units.DIFFERENCE_OF["temperature"]
    assert "pressure_difference" == units.DIFFERENCE_OF["gauge_pressure"] == units.DIFFERENCE_OF["absolute_pressure"]
    assert "duration" == units.DIFFERENCE_OF["date"]
