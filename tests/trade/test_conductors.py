"""Conductor columns and areas, and worked conductor examples put together from the code's tables."""

from __future__ import annotations

import itertools
import math

import pytest
from nec_tables import (
    AMPACITY_ALUMINUM,
    AMPACITY_COPPER,
    COLUMNS,
    CORRECTION,
    EQUIPMENT_GROUND,
    RESISTANCE_COPPER,
    SIZES,
    adjustment,
    ampacity,
    correction,
    equipment_ground,
)

from checker.trade.conductors import CIRCULAR_MILS, ampacity_column, circular_mils
from checker.trade.function import OutOfRange


def usable(size: str, method: str, insulation: str, terminal: str, celsius: float = 30, conductors: int = 3) -> float:
    """Ampacity of copper: the corrected one, but no more than the column that caps it allows."""
    corrected = ampacity("copper", size, insulation) * correction(celsius, insulation) * adjustment(conductors)
    return min(corrected, ampacity("copper", size, ampacity_column(method, insulation, terminal)))


@pytest.mark.parametrize(
    ("method", "insulation", "terminal", "expected"),
    [
        ("raceway", "rated_90c", "rated_75c", "rated_75c"),
        ("raceway", "rated_90c", "rated_60c", "rated_60c"),
        ("raceway", "rated_60c", "rated_75c", "rated_60c"),
        ("mc_cable", "rated_90c", "rated_90c", "rated_90c"),
        ("nm_cable", "rated_90c", "rated_75c", "rated_60c"),
        ("uf_cable", "rated_90c", "rated_75c", "rated_60c"),
    ],
)
def test_the_column_that_caps_an_ampacity(method: str, insulation: str, terminal: str, expected: str) -> None:
    """Source: NEC 110.14(C), 334.80, 340.80 (secondary sources)."""
    assert expected == ampacity_column(method, insulation, terminal)


@pytest.mark.parametrize(
    ("size", "method", "celsius", "conductors", "expected"),
    [
        ("8", "raceway", 30, 3, 50),  # trade press question, 75 °C terminals
        ("10", "nm_cable", 30, 3, 30),  # forum example: 10-2 cable refused for 31.5 A
        ("8", "nm_cable", 30, 3, 40),  # and 8 AWG cable taken
        ("12", "mc_cable", 30, 3, 25),  # inspectors' forum: 25 A by table on 12 AWG
        ("12", "nm_cable", 30, 3, 20),  # the same in cable held to 60 °C, 334.80
        ("6", "nm_cable", 30, 3, 55),  # forum example: refused for 58 A
        ("6", "raceway", 30, 3, 65),  # table 310.16
        ("12", "raceway", 52, 3, 22.8),  # 30 x 0.76 by hand, 52 °C attic
        ("10", "raceway", 38, 4, 29.12),  # 40 x 0.91 x 0.80 by hand
        ("10", "nm_cable", 43, 3, 30),  # 40 x 0.87 = 34.8, held to 30
        ("12", "nm_cable", 30, 8, 20),  # forum example: 30 x 0.70 = 21, held to 20
        ("12", "nm_cable", 30, 10, 15),  # forum example: 30 x 0.50
    ],
)
def test_worked_conductors(size: str, method: str, celsius: float, conductors: int, expected: float) -> None:
    """90 °C insulation on 75 °C terminals; each source stands beside its row."""
    assert expected == pytest.approx(usable(size, method, "rated_90c", "rated_75c", celsius, conductors))


def test_areas_follow_the_wire_gauge() -> None:
    """Source: the gauge itself, diameter = 5 mil x 92 ** ((36 - n) / 39); 1/0 is n = 0, 4/0 is n = -3."""
    for size, area in CIRCULAR_MILS.items():
        gauge = 1 - int(size[0]) if "/" in size else int(size)
        assert (5 * 92 ** ((36 - gauge) / 39)) ** 2 == pytest.approx(area, rel=0.003), size


def test_areas_times_resistance_are_those_of_one_metal() -> None:
    """Source: NEC chapter 9, table 8: resistance goes with one over the area, so their product is the metal's.

    Stranding and the table's rounding leave one per cent; one size off would be a quarter.
    """
    for size, resistance in RESISTANCE_COPPER.items():
        assert 12.85 == pytest.approx(circular_mils(size) * resistance / 1000, rel=0.01), size


def test_larger_sizes_have_larger_areas() -> None:
    areas = [circular_mils(size) for size in SIZES]
    assert sorted(areas) == areas
    assert len(set(areas)) == len(areas)


@pytest.mark.parametrize("size", ["", "11", "250"])
def test_a_size_outside_the_table_is_refused(size: str) -> None:
    with pytest.raises(OutOfRange, match="is not known here"):
        circular_mils(size)


@pytest.mark.parametrize("words", [("raceway", "rated_105c", "rated_75c"), ("raceway", "rated_90c", "")])
def test_another_temperature_word_is_refused(words: tuple[str, str, str]) -> None:
    with pytest.raises(OutOfRange, match="is not a temperature rating"):
        ampacity_column(*words)


@pytest.mark.parametrize(
    ("device", "expected"),
    [(15, "14"), (20, "12"), (25, "10"), (30, "10"), (50, "10"), (60, "10"), (70, "8"), (100, "8"), (110, "6")],
)
def test_copper_equipment_grounds(device: float, expected: str) -> None:
    """Source: NEC table 250.122, public reproduction and a trade newsletter (25 to 60 A take 10 AWG)."""
    assert expected == equipment_ground(device, "copper")


def test_an_equipment_ground_grows_with_its_circuit() -> None:
    """Source: forum example of 250.122(B): 10 to 8 AWG behind 40 A asks for 8 AWG, 16510 circular mils."""
    wanted = circular_mils(equipment_ground(40, "copper")) * circular_mils("8") / circular_mils("10")
    assert "8" == next(size for size in SIZES if circular_mils(size) >= wanted - 1e-6)


# The tables of the test itself, held against relations that a slip of memory would break.


def test_corrections_follow_the_published_equation() -> None:
    """Source: NEC 310.15(B), the equation: sqrt((conductor - ambient) / (conductor - 30)), at each row's warm end."""
    for row, (column, hot) in itertools.product(CORRECTION, enumerate((60, 75, 90), start=1)):
        factor = row[column]
        if factor is None:
            assert row[0] >= hot
            continue
        assert math.sqrt((hot - row[0]) / (hot - 30)) == pytest.approx(factor, abs=0.0051), row


@pytest.mark.parametrize("table", [AMPACITY_COPPER, AMPACITY_ALUMINUM])
def test_ampacity_rises_with_size_and_with_temperature(table: dict[str, tuple[float, float, float]]) -> None:
    rows = list(table.values())
    assert all(list(row) == sorted(set(row)) for row in rows)
    for smaller, larger in itertools.pairwise(rows):
        assert all(a < b for a, b in zip(smaller, larger, strict=True))


def test_aluminum_carries_less_than_copper_of_its_size() -> None:
    for size, column in itertools.product(AMPACITY_ALUMINUM, COLUMNS):
        assert ampacity("aluminum", size, column) < ampacity("copper", size, column)


def test_aluminum_grounds_are_larger_than_copper_ones() -> None:
    assert ["8", "6", "4"] == [equipment_ground(device, "aluminum") for device in (60, 100, 200)]
    assert all(circular_mils(aluminum) > circular_mils(copper) for _, copper, aluminum in EQUIPMENT_GROUND)
