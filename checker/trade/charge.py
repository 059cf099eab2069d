"""Charging: the superheat to aim for, refrigerant for a long line set, and the class that recovery goes by."""

from __future__ import annotations

import itertools
from bisect import bisect_left

from checker.trade.function import Definition, OutOfRange, formula, rule_function, table
from checker.trade.refrigerant_data import PRESSURE_CLASSES, TARGET_SUPERHEAT, WET_BULBS

INCHES_PER_FOOT = 12.0
OUNCES_PER_POUND = 16.0
NO_CLASS = "the pressure class of {refrigerant} is not known here"
BELOW_ZERO = "a length or a charge per foot of line is below zero"
SAME = 1e-6  # °F: two temperatures closer than this are the same, as in units.txt
OUTDOORS = tuple(TARGET_SUPERHEAT)
NOT_BY_SUPERHEAT = (
    "do not charge by superheat at {indoor_wet_bulb:g} °F indoor wet bulb and {outdoor_dry_bulb:g} °F outdoors: "
    "weigh the charge in"
)
WET, DRY = "an indoor wet bulb", "an outdoor temperature"
BETWEEN_CELLS = "interpolated between the cells of the charging table"


def _inside(steps: tuple[float, ...], name: str, said: str) -> tuple[str, str]:
    """The condition that an argument is inside the table."""
    condition = f"{steps[0]:g} <= {name} <= {steps[-1]:g}"
    return condition, f"{said} of {{{name}:g}} °F is outside the charging table's {steps[0]:g} to {steps[-1]:g} °F"


def _neighbours(steps: tuple[float, ...], at: float, named: str) -> tuple[tuple[int, float], ...]:
    """The steps around a value and the share of each; one step where the value is on it."""
    if not steps[0] <= at <= steps[-1]:
        raise OutOfRange(f"{named} of {at:g} °F is outside the charging table's {steps[0]:g} to {steps[-1]:g} °F")
    for place, step in enumerate(steps):
        if abs(step - at) <= SAME:
            return ((place, 1.0),)
    above = bisect_left(steps, at)
    share = (at - steps[above - 1]) / (steps[above] - steps[above - 1])
    return (above - 1, 1 - share), (above, share)


def _between_cells(indoor_wet_bulb: float, outdoor_dry_bulb: float) -> str | None:
    cells = _neighbours(WET_BULBS, indoor_wet_bulb, ""), _neighbours(OUTDOORS, outdoor_dry_bulb, "")
    return BETWEEN_CELLS if any(len(side) > 1 for side in cells) else None


@rule_function(
    "temperature_difference", ["temperature +", "temperature -"],
    Definition(
        "grid", "indoor wet bulb across, outdoor dry bulb down, straight between cells",
        {
            "axes": (WET_BULBS, OUTDOORS), "cells": tuple(zip(*TARGET_SUPERHEAT.values(), strict=True)), "within": SAME,
            "none": NOT_BY_SUPERHEAT, "between": BETWEEN_CELLS,
        },
        (_inside(WET_BULBS, "indoor_wet_bulb", WET), _inside(OUTDOORS, "outdoor_dry_bulb", DRY)),
    ),
    "charging tables for a fixed orifice, Lennox 14ACX page 26 and Carrier 38TUA Table 6 (checked)", remark=_between_cells,
)  # fmt: skip
def target_superheat(indoor_wet_bulb: float, outdoor_dry_bulb: float) -> float:
    """The superheat to aim for in cooling with a fixed orifice, at the service port.

    Between the cells of the table the value is interpolated, straight along each side; the table itself says nothing of
    what lies between, so the result carries a remark. Where any cell that would be used says not to charge by superheat,
    neither does this.

    Args:
        indoor_wet_bulb: Of the air entering the indoor coil, °F, 50 to 76.
        outdoor_dry_bulb: Of the air entering the outdoor coil, °F, 40 to 115.

    Returns:
        °F, a difference.

    Raises:
        OutOfRange: Outside the table, or where the table says not to charge by superheat.

    Source: Lennox 14ACX installation manual, page 26; Carrier 38TUA installation and start-up instructions, Table 6, agrees
    within 1 °F. The table in the unit's own manual governs.
    """
    wets = _neighbours(WET_BULBS, indoor_wet_bulb, WET)
    drys = _neighbours(OUTDOORS, outdoor_dry_bulb, DRY)
    total = 0.0
    for (wet, wet_share), (dry, dry_share) in itertools.product(wets, drys):
        cell = TARGET_SUPERHEAT[OUTDOORS[dry]][wet]
        if cell is None:
            said = NOT_BY_SUPERHEAT.format(indoor_wet_bulb=indoor_wet_bulb, outdoor_dry_bulb=outdoor_dry_bulb)
            raise OutOfRange(said)
        total += wet_share * dry_share * cell
    return total


@rule_function(
    "mass", ["length +", "length -", "mass_per_length"],
    formula(
        "(length - included_length) / 12 * mass_per_length / 16",
        ("min(length, included_length, mass_per_length) >= 0", BELOW_ZERO),
    ),
    "arithmetic of the manufacturer's charge per foot",
)  # fmt: skip
def line_set_charge(length: float, included_length: float, mass_per_length: float) -> float:
    """Refrigerant to add for a line set that is longer than the factory charge allows for.

    Args:
        length: Of the liquid line, inches.
        included_length: That the factory charge allows for, inches. It differs by manufacturer.
        mass_per_length: Refrigerant in the liquid line, oz/ft, from the manufacturer.

    Returns:
        lb; below zero where refrigerant is to be taken out.

    Raises:
        OutOfRange: An amount below zero.
    """
    if min(length, included_length, mass_per_length) < 0:
        raise OutOfRange(BELOW_ZERO)
    return (length - included_length) / INCHES_PER_FOOT * mass_per_length / OUNCES_PER_POUND


@rule_function(
    "word", ["word"],
    table(
        "the class of a refrigerant", PRESSURE_CLASSES.items(),
        ("refrigerant in rows", f"{NO_CLASS}; known are {', '.join(PRESSURE_CLASSES)}"),
    ),
    "40 CFR 82.152 (read second hand)",
)  # fmt: skip
def pressure_class(refrigerant: str) -> str:
    """The class that the recovery level goes by, in the words of `recovery_level`.

    Raises:
        OutOfRange: The class of the refrigerant is not known here.

    Source: 40 CFR 82.152: liquid saturation pressure at 104 °F under 45, 170, 355 psia or above (checked).
    """
    if refrigerant not in PRESSURE_CLASSES:
        raise OutOfRange(f"{NO_CLASS.format(refrigerant=refrigerant)}; known are {', '.join(PRESSURE_CLASSES)}")
    return PRESSURE_CLASSES[refrigerant]
