"""Vacuum held after the pump is shut off: how fast it rises, what it looks like, what water can account for.

The shape of a rise is a hint and never a proof: hoses, valve cores, refrigerant in the oil and a gauge that
was not isolated look like a leak or like moisture, and a very wet system far below its ceiling rises as
straight as a leak for a while. A rule may ask for another look because of a shape; it may not fail for it alone.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from checker.trade.function import OutOfRange, in_words, rule_function
from checker.trade.sums import mean, total

ZERO_ABOVE_ABSOLUTE = 459.67  # °F
FREEZING = 32.0  # °F
COLDEST, HOTTEST = -100.0, 392.0  # °F: within the published -148 to 392 °F of the formula
PSI_PER_PASCAL = 1.4503773773020923e-4  # as in units.txt
MICRON = 0.133322387415 * PSI_PER_PASCAL  # psia

# Hyland and Wexler (1983), as in ASHRAE Fundamentals chapter 1: ln of the saturation pressure in Pa, T in K,
# = c0/T + c1 + c2 T + c3 T^2 + c4 T^3 + c5 T^4 + c6 ln T.
OVER_ICE = (
    -5.6745359e3, 6.3925247, -9.6778430e-3, 6.2215701e-7, 2.0747825e-9, -9.4840240e-13, 4.1635019,
)  # fmt: skip
OVER_WATER = (
    -5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673,
)  # fmt: skip

FEWEST_READINGS = 5  # our choice: two slopes from fewer readings would be noise
SHORTEST_WATCH = 10.0  # minutes: the shortest hold that manufacturers' manuals and common practice print
STILL = 5 * MICRON  # psia a minute: below this the gauge is standing still (our choice, no source)
STRAIGHT = 0.8  # the lesser of early and late slope over the greater: a steady rise (our choice, no source)
BENDING = 0.5  # late slope over early slope: clearly levelling off (our choice, no source)
DRY_LEVEL = 500 * MICRON  # manufacturers' manuals read a levelling off above 500 micron as moisture


@rule_function(
    "absolute_pressure", ["temperature +"],
    in_words("exp(c0/T + c1 + c2 T + c3 T^2 + c4 T^3 + c5 T^4 + c6 ln T) Pa, T in kelvin; one set of c below 32 °F and one from "
             "there on"),
    "Hyland and Wexler (1983), ASHRAE Fundamentals chapter 1 (checked)",
)  # fmt: skip
def water_vapour_ceiling(temperature: float) -> float:
    """The highest pressure that water alone can hold: saturation at the coldest wetted point.

    Args:
        temperature: Of the coldest point that water could lie at, °F, -100 to 392; over ice below 32 °F.

    Returns:
        psia.

    Raises:
        OutOfRange: The temperature is outside that range.

    Source: Hyland and Wexler (1983), ASHRAE Fundamentals chapter 1.
    """
    if not COLDEST <= temperature <= HOTTEST:
        raise OutOfRange(f"{temperature:g} °F is outside the formula's {COLDEST:g} to {HOTTEST:g} °F")
    kelvin = (temperature + ZERO_ABOVE_ABSOLUTE) / 1.8
    c = OVER_ICE if temperature < FREEZING else OVER_WATER
    powers = total(factor * kelvin**power for power, factor in enumerate(c[1:6]))
    return math.exp(c[0] / kelvin + powers + c[6] * math.log(kelvin)) * PSI_PER_PASCAL


def decay_slope(minutes: Sequence[float], pressures: Sequence[float]) -> float:
    """The least-squares slope of a rise.

    Args:
        minutes: Times of the readings, each after the one before.
        pressures: psia, one for each time.

    Returns:
        psia a minute.

    Raises:
        OutOfRange: Fewer than two readings, unequal numbers, or times that do not go forward.
    """
    _require_forward(minutes, pressures)
    middle, level = mean(minutes), mean(pressures)
    spread = total((minute - middle) ** 2 for minute in minutes)
    return total((m - middle) * (p - level) for m, p in zip(minutes, pressures, strict=True)) / spread


def decay_shape(
    minutes: Sequence[float], pressures: Sequence[float], coldest: float, dry_level: float = DRY_LEVEL
) -> str:
    """What the rise after shutting off the pump looks like.

    Args:
        minutes: Times of the readings, each after the one before.
        pressures: psia, one for each time, gauge isolated from the pump.
        coldest: Temperature of the coldest spot where water could sit, °F.
        dry_level: psia up to which a level reading counts as dry.

    Returns:
        `leak`: rising beyond what water can account for, or steadily and not bending;
        `moisture`: bending and levelling off, above the dry level, within what water can account for;
        `tight`: standing still at or under the dry level;
        `cannot_say`: anything else, too few readings, or too short a watch.

    Raises:
        OutOfRange: Unequal numbers, times that do not go forward, or a temperature without a ceiling.
    """
    _require_forward(minutes, pressures)
    ceiling = water_vapour_ceiling(coldest)
    if len(minutes) < FEWEST_READINGS or minutes[-1] - minutes[0] < SHORTEST_WATCH:
        return "cannot_say"
    early, late = _half_slopes(minutes, pressures)
    if pressures[-1] > ceiling:
        return "leak" if late > STILL else "cannot_say"
    if abs(late) <= STILL:
        return _level(early, pressures[-1], dry_level)
    return _rising(early, late, pressures[-1], dry_level)


def _half_slopes(minutes: Sequence[float], pressures: Sequence[float]) -> tuple[float, float]:
    """Slopes before and after the middle reading, which belongs to both."""
    middle = len(minutes) // 2
    early = decay_slope(minutes[: middle + 1], pressures[: middle + 1])
    return early, decay_slope(minutes[middle:], pressures[middle:])


def _level(early: float, last: float, dry_level: float) -> str:
    if last <= dry_level:
        return "tight"
    return "moisture" if early > STILL else "cannot_say"  # high and never rising: it was never pumped down


def _rising(early: float, late: float, last: float, dry_level: float) -> str:
    if late > STILL and STRAIGHT * early <= late <= early / STRAIGHT:
        return "leak"
    if 0 < late < BENDING * early and last > dry_level:
        return "moisture"
    return "cannot_say"


def _require_forward(minutes: Sequence[float], pressures: Sequence[float]) -> None:
    if len(minutes) != len(pressures) or len(minutes) < 2:
        raise OutOfRange("a rise needs at least two readings, each with its time")
    if any(later <= earlier for earlier, later in pairwise(minutes)):
        raise OutOfRange("the times of the readings do not go forward")
