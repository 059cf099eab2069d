"""Voltage lost along a circuit, and unequal voltages between the phases of a three-phase supply."""

from __future__ import annotations

import math

from checker.trade.function import Argument, Function, OutOfRange, formula
from checker.trade.sums import mean

INCHES_IN_1000_FT = 12_000.0
ROUND_TRIP = {"single_phase": 2.0, "three_phase": math.sqrt(3.0)}


def voltage_drop(phase: str, resistance_of_1000_ft: float, length: float, current: float) -> float:
    """The voltage lost between the two ends of a circuit. Reactance is left out; it is small in these sizes.

    Args:
        phase: `single_phase` (line to line or line to neutral, out and back) or `three_phase`.
        resistance_of_1000_ft: Resistance of 1000 ft of one conductor, ohm.
        length: One way, inches.
        current: The running current, A.

    Returns:
        V.

    Raises:
        OutOfRange: Another phase word, or an amount below zero.
    """
    if phase not in ROUND_TRIP:
        raise OutOfRange(f"'{phase}' is not a supply with a voltage drop here: single_phase or three_phase")
    if min(resistance_of_1000_ft, length, current) < 0:
        raise OutOfRange("a resistance, length or current is below zero")
    return ROUND_TRIP[phase] * resistance_of_1000_ft * (length / INCHES_IN_1000_FT) * current


def voltage_imbalance(first: float, second: float, third: float) -> float:
    """The largest departure of three line-to-line voltages from their average, as a share of the average.

    Args:
        first, second, third: V.

    Returns:
        A share of one (0.02 is 2 %).

    Raises:
        OutOfRange: A voltage not above zero.

    Source: the definition of NEMA MG 1 (from memory); makers' manuals print the same working.
    """
    readings = (first, second, third)
    if min(readings) <= 0:
        raise OutOfRange(f"a voltage of {min(readings):g} V is not above zero")
    average = mean(readings)
    return max(abs(reading - average) for reading in readings) / average


FUNCTIONS: tuple[Function, ...] = (
    Function(
        "voltage_drop",
        (
            Argument("phase", "word"),
            Argument("resistance_of_1000_ft", "resistance", +1),
            Argument("length", "length", +1),
            Argument("current", "current", +1),
        ),
        "voltage", voltage_drop,
        definition=formula("factor[phase] * resistance_of_1000_ft * (length / 12000) * current", factor=ROUND_TRIP),
        source="Ohm's law; resistances are the ruleset's (NEC chapter 9, table 8)",
    ),
    Function(
        "voltage_imbalance",
        (Argument("first", "voltage"), Argument("second", "voltage"), Argument("third", "voltage")),
        "number", voltage_imbalance,
        definition=formula(
            "max(abs(first - (first + second + third) / 3), abs(second - (first + second + third) / 3), "
            "abs(third - (first + second + third) / 3)) / ((first + second + third) / 3)"
        ), source="NEMA MG 1 (from memory)",
    ),
)  # fmt: skip
