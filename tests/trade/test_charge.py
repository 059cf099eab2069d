"""Charging against a published table and manufacturers' worked examples, and the class that recovery goes by."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checker.trade import charge, functions, recovery, saturation
from checker.trade.function import OutOfRange
from checker.trade.refrigerant_data import PRESSURE_CLASSES, TARGET_SUPERHEAT, WET_BULBS

# A manufacturer's superheat charging table for a fixed orifice (Lennox 14ACX manual, page 26), single cells read there apart from
# the typing of the whole table: outdoor dry bulb, indoor wet bulb, target in °F (None: do not charge by superheat).
CELLS = [
    (55, 56, 17), (55, 66, 33), (55, 68, 36), (55, 72, 40), (55, 76, 44),
    (65, 62, 21), (65, 66, 27), (65, 68, 30), (65, 72, 36), (65, 76, 41),
    (75, 56, 6), (75, 62, 15), (75, 66, 21), (75, 68, 24), (75, 72, 31), (75, 76, 37),
    (85, 56, None), (85, 62, 8), (85, 68, 19), (85, 76, 33),
    (95, 62, None), (95, 66, 10), (95, 68, 14), (95, 72, 22), (95, 76, 29),
    (105, 56, None), (105, 66, 5), (105, 72, 17), (105, 76, 26),
    (115, 56, None), (115, 62, None), (115, 66, None), (115, 72, 14), (115, 76, 23),
]  # fmt: skip
TARGET = functions()["target_superheat"]


@pytest.mark.parametrize(("outdoors", "wet_bulb", "target"), CELLS)
def test_cells_of_the_published_table(outdoors: float, wet_bulb: float, target: float | None) -> None:
    if target is None:
        with pytest.raises(OutOfRange, match=r"do not charge by superheat .* weigh the charge in"):
            charge.target_superheat(wet_bulb, outdoors)
    else:
        assert target == charge.target_superheat(wet_bulb, outdoors)
        assert TARGET.remark is not None
        assert TARGET.remark(wet_bulb, outdoors) is None


def test_the_table_falls_with_the_outdoors_and_rises_with_the_indoors() -> None:
    """Digits of a typed table get swapped: every row and every column has to be in order, empty cells first."""
    rows = [[-1.0 if cell is None else cell for cell in row] for row in TARGET_SUPERHEAT.values()]
    assert all(len(row) == len(WET_BULBS) for row in rows)
    for row in rows:
        assert sorted(row) == row
        assert len({cell for cell in row if cell > 0}) == sum(cell > 0 for cell in row)
    for column in zip(*rows, strict=True):
        assert sorted(column, reverse=True) == list(column)


# The same chart in a second manual, in °C: Carrier 38TUA installation and start-up instructions, Table 6. Outdoor dry bulb in
# °F (the row is printed as its °C) -> superheat in °C at indoor wet bulbs of 50, 52, ... 76 °F (printed as 10 to 24 °C; its
# column of 15 °C stands between two of these and is left out), None where it prints a dash.
NO = None
CARRIER = {
    55: (5.0, 6.7, 7.8, 9.4, 11.1, 12.8, 14.4, 16.1, 17.8, 19.4, 20.6, 22.2, 23.3, 25.0),
    65: (NO, 3.3, 5.6, 7.2, 8.9, 10.6, 11.7, 13.3, 15.0, 16.7, 18.3, 20.0, 21.1, 22.8),
    75: (NO, NO, NO, 3.3, 5.0, 6.7, 8.3, 10.0, 11.7, 7.8, 15.6, 17.2, 18.9, 20.6),
    80: (NO, NO, NO, NO, 2.8, 4.4, 6.7, 8.3, 10.0, 11.7, 13.9, 15.6, 17.2, 19.4),
    85: (NO, NO, NO, NO, NO, NO, 4.4, 6.1, 8.3, 10.6, 12.2, 14.4, 16.7, 18.3),
    90: (NO, NO, NO, NO, NO, NO, 2.8, 5.0, 7.2, 8.9, 11.1, 13.3, 15.0, 17.2),
    95: (NO, NO, NO, NO, NO, NO, NO, 3.3, 5.6, 7.8, 10.0, 12.2, 13.9, 16.1),
    100: (NO, NO, NO, NO, NO, NO, NO, NO, 4.4, 6.7, 8.3, 11.1, 12.8, 15.0),
    105: (NO, NO, NO, NO, NO, NO, NO, NO, 2.8, 5.0, 7.2, 9.4, 12.2, 14.4),
    110: (NO, NO, NO, NO, NO, NO, NO, NO, NO, 3.3, 6.1, 8.3, 11.1, 13.9),
    115: (NO, NO, NO, NO, NO, NO, NO, NO, NO, NO, 4.4, 7.8, 10.0, 12.8),
}  # fmt: skip
MISPRINTED = (75, 68)  # 7.8 °C between 11.7 and 15.6


@pytest.mark.parametrize("outdoors", CARRIER)
def test_a_second_manual_prints_the_same_chart(outdoors: int) -> None:
    """Within 1 °F, and the tenth of a degree Celsius that is lost in print."""
    ours = TARGET_SUPERHEAT[outdoors]
    assert [cell is None for cell in CARRIER[outdoors]] == [cell is None for cell in ours]
    for wet_bulb, celsius, cell in zip(WET_BULBS, CARRIER[outdoors], ours, strict=True):
        if celsius is not None and (outdoors, wet_bulb) != MISPRINTED:
            assert cell == pytest.approx(celsius * 1.8, abs=1.1)


def test_the_formula_of_the_trade_comes_near_the_chart() -> None:
    """(3 x wet bulb - 80 - dry bulb) / 2: AC Service Tech, "Target Superheat", whose example is 8 °F at 64 and 96 °F and
    which says that it comes close to the charts. It is nearest where the house is not moist: 3 °F up to 70 °F wet bulb."""
    formula = {(wet, dry): (3 * wet - 80 - dry) / 2 for wet in (64.0, *WET_BULBS) for dry in (96.0, *TARGET_SUPERHEAT)}
    assert 8 == formula[64.0, 96.0]
    for outdoors, row in TARGET_SUPERHEAT.items():
        for wet_bulb, cell in zip(WET_BULBS, row, strict=True):
            if cell is not None:
                assert cell == pytest.approx(formula[wet_bulb, outdoors], abs=3 if wet_bulb <= 70 else 6.5)


def test_between_cells_is_between_their_values_and_says_so() -> None:
    """67 °F and 90 °F: halfway between the cells 13 and 16 of that row, by hand."""
    assert 14.5 == pytest.approx(charge.target_superheat(67, 90))
    assert TARGET.remark is not None
    assert "interpolated" in str(TARGET.remark(67, 90))


def test_a_temperature_that_went_through_celsius_is_still_in_its_cell() -> None:
    assert 10 == pytest.approx(charge.target_superheat(66.0000000001, 95.0000000001))


@given(st.floats(50, 76), st.floats(50, 76), st.floats(40, 115), st.floats(40, 115))
def test_interpolated_targets_move_as_declared(wet: float, other_wet: float, dry: float, other_dry: float) -> None:
    try:
        highest = charge.target_superheat(max(wet, other_wet), min(dry, other_dry))
        lowest = charge.target_superheat(min(wet, other_wet), max(dry, other_dry))
    except OutOfRange as error:
        assert "do not charge by superheat" in str(error)  # noqa: PT017 - either of the two may be where the table stops
        return
    assert lowest <= highest + 1e-4
    assert 5 - 1e-9 <= lowest


@pytest.mark.parametrize(("wet_bulb", "outdoors"), [(49, 80), (77, 80), (66, 39), (66, 116)])
def test_outside_the_table_is_refused(wet_bulb: float, outdoors: float) -> None:
    with pytest.raises(OutOfRange, match="outside the charging table's"):
        charge.target_superheat(wet_bulb, outdoors)


@pytest.mark.parametrize(
    ("feet", "included", "ounces_per_foot", "ounces"),
    [
        (75, 15 * 0.6 / 1.2, 1.2, 81),  # Fujitsu FO20R manual, page 28: factory 15 ft of 3/8 in at 0.6 oz/ft
        (25, 13.5 / 0.27, 0.27, -6.75),  # Carrier 38C manual, page 27, example 1: factory line charge 13.5 oz
        (45, 13.5 / 0.40, 0.40, 4.5),  # the same, example 2 (its net result; one line of it prints 9)
        (60, 40, 0.16, 3.2),  # Unico IS18G050 manual, example
    ],
)
def test_line_sets_of_makers_manuals(feet: float, included: float, ounces_per_foot: float, ounces: float) -> None:
    assert ounces / 16 == pytest.approx(charge.line_set_charge(feet * 12, included * 12, ounces_per_foot), abs=1e-9)


def test_a_length_below_zero_is_refused() -> None:
    with pytest.raises(OutOfRange, match="below zero"):
        charge.line_set_charge(-1, 180, 0.6)


# 40 CFR 82.152, liquid saturation pressure at 104 °F in psia, read second hand: at most 45, 170, 355, or above.
CLASS_LIMITS = [("low_pressure", 0, 45), ("medium_pressure", 45, 170), ("high_pressure", 170, 355),
                ("very_high_pressure", 355, 1e4)]  # fmt: skip


@pytest.mark.parametrize("name", saturation.refrigerants())
def test_the_class_is_that_of_the_saturation_pressure_at_104_degrees(name: str) -> None:
    """The table decides and the curve is the cross-check. R-410A is 3 psi under its limit, R-32 4 psi over."""
    pressure = saturation.pressure_at(saturation.curve(name, "bubble"), 104)
    assert [charge.pressure_class(name)] == [word for word, low, high in CLASS_LIMITS if low < pressure <= high]


@pytest.mark.parametrize(("name", "psia"), [("R-32", 359.45), ("R-407C", 253.65), ("R-134a", 147.44)])
def test_the_cross_check_stands_on_the_right_pressure(name: str, psia: float) -> None:
    """Source: CoolProp 8.0.0, computed apart."""
    assert psia == pytest.approx(saturation.pressure_at(saturation.curve(name, "bubble"), 104), abs=0.5)


def test_every_class_has_a_recovery_level() -> None:
    for group in PRESSURE_CLASSES.values():
        assert recovery.recovery_level(group, 8, 730_000) <= 0


def test_what_is_not_known_is_refused() -> None:
    for name in ("R-999", "R-466A"):
        with pytest.raises(OutOfRange, match=f"class of {name} is not known"):
            charge.pressure_class(name)
