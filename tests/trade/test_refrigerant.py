"""Saturation against published pressure–temperature tables, and the atmosphere that a gauge stands in.

Published rows: `published_saturation.csv`, each with its source and the tolerance that the source honestly allows. A
chart that does not say bubble or dew (`either`) is held to both curves' nearer one.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

from checker.calculators import equations_of_state
from checker.reading import units
from checker.trade import refrigerant, saturation
from checker.trade.function import OutOfRange

ROWS = list(csv.DictReader((Path(__file__).parent / "published_saturation.csv").open()))
ATMOSPHERE = 14.696
TEMPERATURES = ("degF", "degC")
TO_PSIA = {
    "psig": (1, ATMOSPHERE),
    "psia": (1, 0),
    "bara": (14.503773773, 0),
    "kPag": (0.14503773773, ATMOSPHERE),
    "MPa": (145.03773773, 0),
}


def in_psia(number: float, unit: str) -> float:
    scale, offset = TO_PSIA[unit]
    return number * scale + offset


def in_unit(psia: float, unit: str) -> float:
    scale, offset = TO_PSIA[unit]
    return (psia - offset) / scale


def fahrenheit(number: float, unit: str) -> float:
    return units.to_base(number, units.all_units()["temperature", unit])


def of_curves(row: dict[str, str], which: str) -> float:
    """What judging reads."""
    curve = saturation.curve(row["refrigerant"], which)
    if row["at_unit"] in TEMPERATURES:
        return saturation.pressure_at(curve, fahrenheit(float(row["at"]), row["at_unit"]))
    return saturation.temperature_at(curve, in_psia(float(row["at"]), row["at_unit"]))


def of_compute(row: dict[str, str], which: str) -> float:
    """What `changeout compute` asks."""
    if row["at_unit"] in TEMPERATURES:
        temperature = fahrenheit(float(row["at"]), row["at_unit"])
        return equations_of_state.saturation_pressure(row["refrigerant"], which, temperature).value
    pressure = in_psia(float(row["at"]), row["at_unit"])
    return equations_of_state.saturation_temperature(row["refrigerant"], which, pressure).value


def as_published(value: float, unit: str) -> float:
    if unit in TEMPERATURES:
        return units.from_base(value, units.all_units()["temperature", unit])
    return in_unit(value, unit)


@pytest.mark.parametrize("asked", [of_curves, of_compute])
@pytest.mark.parametrize(
    "row", ROWS, ids=lambda row: f"{row['refrigerant']} {row['curve']} {row['at']} {row['at_unit']}"
)
def test_published_points(row: dict[str, str], asked: Callable[[dict[str, str], str], float]) -> None:
    expected, tolerance = float(row["expected"]), float(row["tolerance"])
    curves = ("bubble", "dew") if row["curve"] == "either" else (row["curve"],)
    found = (as_published(asked(row, which), row["unit"]) for which in curves)
    nearest = min(found, key=lambda value: abs(value - expected))
    assert expected == pytest.approx(nearest, abs=tolerance), row["source"]


def test_there_are_enough_published_points() -> None:
    assert 70 <= len(ROWS)


# CoolProp 8.0.0 through PropsSI, computed apart: gauge pressure at sea level and line temperature → difference, °F.
DIFFERENCES = [
    ("R-410A", "dew", 118.0, 50, 10.157), ("R-410A", "bubble", 340.0, 95, 9.607), ("R-454B", "dew", 107.5, 50, 9.993),
    ("R-32", "bubble", 325.7, 90, 10.006), ("R-22", "dew", 68.5, 50, 10.041), ("R-22", "bubble", 196.0, 90, 10.03),
    ("R-407C", "dew", 63.2, 50, 9.970),
]  # fmt: skip


@pytest.mark.parametrize(("name", "which", "psig", "line", "expected"), DIFFERENCES)
def test_subcooling_and_superheat(name: str, which: str, psig: float, line: float, expected: float) -> None:
    saturated = saturation.temperature_at(saturation.curve(name, which), psig + 14.6959)
    assert expected == pytest.approx(saturated - line if which == "bubble" else line - saturated, abs=0.02)


# ASHRAE Fundamentals 2017, chapter 1, table 1 (standard atmosphere), psia. The table is up to 0.002 psi above its own
# equation 3, which is the US Standard Atmosphere 1976 (14.1726 psia at 1,000 ft); that is 0.001 °F of saturation.
ATMOSPHERES = [(-1000, 15.236), (0, 14.696), (1000, 14.175), (3000, 13.173), (5000, 12.2278), (10000, 10.108)]


@pytest.mark.parametrize(("feet", "psia"), ATMOSPHERES)
def test_the_standard_atmosphere(feet: float, psia: float) -> None:
    assert psia == pytest.approx(refrigerant.atmospheric_pressure(feet * 12), abs=0.0025)


def test_forgetting_5000_ft_costs_half_a_degree_of_subcooling() -> None:
    # CoolProp 8.0.0: 0.52 °F for R-410A at 340 psig.
    here = refrigerant.absolute_pressure(340, refrigerant.atmospheric_pressure(60000))
    wrong = refrigerant.absolute_pressure(340, ATMOSPHERE)
    assert 0.52 == pytest.approx(
        refrigerant.bubble_temperature("R-410A", wrong) - refrigerant.bubble_temperature("R-410A", here), abs=0.02
    )


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: refrigerant.bubble_temperature("R-999", 100.0), "no saturation curve for R-999"),
        (lambda: refrigerant.bubble_temperature("R-410A", 5000.0), "5000 psia is outside"),
        (lambda: refrigerant.absolute_pressure(-20.0, 14.7), "below a perfect vacuum"),
        (lambda: refrigerant.atmospheric_pressure(12e6), "outside -1,000 to 15,000 ft"),
    ],
)
def test_what_cannot_be_served_is_refused_in_trade_words(call: object, said: str) -> None:
    with pytest.raises(OutOfRange, match=said):
        call()  # type: ignore[operator]
