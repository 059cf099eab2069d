"""How far a system must be pumped down before it is opened: 40 CFR 82.156, Table 1.

Outside the table, and not served here: small appliances, motor-vehicle systems, a repair that is not major
and is followed by no evacuation to the air, and a leak that keeps the level from being reached.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from checker.trade.function import OutOfRange, rule_function, table

PSI_PER_INCH_OF_MERCURY = 0.4911541  # as in units.txt
LOW_PRESSURE = "a low-pressure refrigerant is recovered to 25 mmHg absolute, not to a gauge level"
LARGE_CHARGE = 200.0  # lb
SAME = 1e-6  # lb: two masses closer than this are the same, as in units.txt
NEWER_MACHINES_FROM = datetime.date(1993, 11, 15).toordinal()

# Inches of mercury of vacuum: class -> ((older machine, newer machine) under 200 lb, the same from 200 lb).
# 40 CFR 82.156(a), Table 1 (checked).
VACUUM = {
    "very_high_pressure": ((0.0, 0.0), (0.0, 0.0)),
    "high_pressure": ((0.0, 0.0), (4.0, 10.0)),
    "medium_pressure": ((4.0, 10.0), (4.0, 15.0)),
}


def _rows() -> Iterator[tuple[Any, ...]]:
    """The table with its steps as ranges, in psig."""
    charges, days = (None, LARGE_CHARGE - SAME, None), (None, NEWER_MACHINES_FROM, None)
    for name, by_charge in VACUUM.items():
        for charge, by_day in zip(pairwise(charges), by_charge, strict=True):
            for day, vacuum in zip(pairwise(days), by_day, strict=True):
                yield name, charge, day, -vacuum * PSI_PER_INCH_OF_MERCURY + 0.0


@rule_function(
    "gauge_pressure", ["word", "mass -", "date -"],
    table(
        "the level by class, charge and the day on which the machine was made", _rows(),
        ("pressure_class != 'low_pressure'", LOW_PRESSURE),
        ("pressure_class in rows", "'{pressure_class}' is not a pressure class with a recovery level"),
        ("charge >= 0", "a charge of {charge:g} lb is below zero"),
    ),
    "40 CFR 82.156(a), Table 1 (checked)",
)  # fmt: skip
def recovery_level(pressure_class: str, charge: float, machine_made: int) -> float:
    """The level that recovery must reach before a system is opened.

    Args:
        pressure_class: `very_high_pressure`, `high_pressure` or `medium_pressure` (40 CFR 82.152).
        charge: The full charge of the appliance, lb.
        machine_made: Day number on which the recovery machine was made.

    Returns:
        psig: zero or below. The table is in inches of mercury below one standard atmosphere.

    Raises:
        OutOfRange: A low-pressure class (its level is an absolute pressure), another word, a charge below 0.

    Source: 40 CFR 82.156(a), Table 1.
    """
    if pressure_class == "low_pressure":
        raise OutOfRange(LOW_PRESSURE)
    if pressure_class not in VACUUM:
        raise OutOfRange(f"'{pressure_class}' is not a pressure class with a recovery level")
    if charge < 0:
        raise OutOfRange(f"a charge of {charge:g} lb is below zero")
    vacuum = VACUUM[pressure_class][charge >= LARGE_CHARGE - SAME][machine_made >= NEWER_MACHINES_FROM]
    return -vacuum * PSI_PER_INCH_OF_MERCURY + 0.0  # never minus zero
