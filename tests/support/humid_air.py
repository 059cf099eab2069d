"""Air told by its relative humidity, as published tables and CoolProp tell it: the program is asked by two thermometers.

Temperatures °F, pressures psia, a humidity as a share of one.
"""

from __future__ import annotations

from checker.trade import moist_air
from checker.trade.evacuation import FREEZING

LOWEST = -100.0


def humidity_ratio(dry_bulb: float, share: float, atmosphere: float) -> float:
    """Water (lb/lb) in air of a relative humidity."""
    return moist_air.ratio(share * moist_air.saturated_vapour(dry_bulb, atmosphere), atmosphere)


def wet_bulb(dry_bulb: float, share: float, atmosphere: float) -> float:
    """The wet bulb that such air shows, by halving: at or above 32 °F where a wet wick can be, else over ice."""
    ratio = humidity_ratio(dry_bulb, share, atmosphere)
    wet = dry_bulb >= FREEZING and ratio >= moist_air.ratio_at_wet_bulb(dry_bulb, FREEZING, atmosphere)
    low, high = (FREEZING, dry_bulb) if wet else (LOWEST, min(dry_bulb, FREEZING - 1e-9))
    for _ in range(60):
        middle = (low + high) / 2
        drier = moist_air.ratio_at_wet_bulb(dry_bulb, middle, atmosphere) < ratio
        low, high = (middle, high) if drier else (low, middle)
    return high
