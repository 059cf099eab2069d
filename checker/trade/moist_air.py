"""States of moist air: vapour when saturated, water left by evaporation at a wet bulb, enthalpy, volume.

Saturated vapour is that of Hyland and Wexler raised by the enhancement factor of moist air, and volume is that of a real
gas (both CIPM-2007: Picard and others, Metrologia 45, 2008). The simplest formulas of the tables leave both out and then
read 0.4 % low in saturated water. W is lb of water per lb of dry air, temperatures °F, pressures psia.
"""

from __future__ import annotations

from checker.trade.evacuation import FREEZING, ZERO_ABOVE_ABSOLUTE, water_vapour_ceiling

WATER_TO_AIR = 0.621945  # of molar masses: ASHRAE Fundamentals 2017, chapter 1
AIR_GAS = 53.350 / 144  # psia ft³/(lb °R): ASHRAE Fundamentals 2017, chapter 1
PASCAL = 6894.757293168361  # in a psi
# ASHRAE Fundamentals 2017, chapter 1, equation 30; 0.2402 for its 0.240 because its table 2 has 18.498 Btu/lb at 77 °F.
AIR_HEAT, VAPOUR_HEAT, EVAPORATION = 0.2402, 0.444, 1061.0  # Btu/(lb °F), Btu/(lb °F), Btu/lb at 0 °F
ICE_HEAT, MELTING = 0.48, 159.0  # Btu/(lb °F), Btu/lb at 0 °F: ASHRAE Fundamentals 2017, chapter 1, equation 35


def ratio(vapour: float, atmosphere: float) -> float:
    """W at a partial pressure of water vapour."""
    return WATER_TO_AIR * vapour / (atmosphere - vapour)


def saturated_vapour(temperature: float, atmosphere: float) -> float:
    """Partial pressure of water vapour in saturated air, over ice below 32 °F.

    The factor of CIPM-2007 was made for 59 to 81 °F; it is within 0.0009 of CoolProp 8.0 from -40 to 150 °F.
    """
    celsius = (temperature - 32) / 1.8
    factor = 1.00062 + 3.14e-8 * atmosphere * PASCAL + 5.6e-7 * celsius**2
    return factor * water_vapour_ceiling(temperature)


def saturated_ratio(temperature: float, atmosphere: float) -> float:
    """W of saturated air."""
    return ratio(saturated_vapour(temperature, atmosphere), atmosphere)


def ratio_at_wet_bulb(dry_bulb: float, wet_bulb: float, atmosphere: float) -> float:
    """W of air that becomes saturated at the wet bulb by taking up water of that temperature, ice below 32 °F.

    Below zero where no air has that wet bulb. Source: ASHRAE Fundamentals 2017, chapter 1, equations 33 and 35.
    """
    water = wet_bulb - 32 if wet_bulb >= FREEZING else ICE_HEAT * wet_bulb - MELTING  # Btu/lb
    saturated = saturated_ratio(wet_bulb, atmosphere)
    gained = saturated * (EVAPORATION + VAPOUR_HEAT * wet_bulb - water) - AIR_HEAT * (dry_bulb - wet_bulb)
    return gained / (EVAPORATION + VAPOUR_HEAT * dry_bulb - water)


def enthalpy(dry_bulb: float, ratio: float) -> float:
    """Btu per lb of dry air, counted from dry air at 0 °F and liquid water at 32 °F."""
    return AIR_HEAT * dry_bulb + ratio * (EVAPORATION + VAPOUR_HEAT * dry_bulb)


def heat_capacity(ratio: float) -> float:
    """Btu/°F of a pound of dry air with its vapour."""
    return AIR_HEAT + VAPOUR_HEAT * ratio


def volume(dry_bulb: float, ratio: float, atmosphere: float) -> float:
    """ft³ that hold a pound of dry air. Source: ASHRAE Fundamentals 2017, chapter 1, equation 26, and CIPM-2007."""
    ideal = AIR_GAS * (dry_bulb + ZERO_ABOVE_ABSOLUTE) * (1 + ratio / WATER_TO_AIR) / atmosphere
    return ideal * _compressibility(dry_bulb, ratio / (WATER_TO_AIR + ratio), atmosphere)


def _compressibility(dry_bulb: float, share: float, atmosphere: float) -> float:
    """Real over ideal volume, from the share of vapour in the moles: CIPM-2007, appendix A1.4."""
    t, over = (dry_bulb - 32) / 1.8, atmosphere * PASCAL / ((dry_bulb + ZERO_ABOVE_ABSOLUTE) / 1.8)
    air = 1.58123e-6 - 2.9331e-8 * t + 1.1043e-10 * t**2
    vapour = (5.707e-6 - 2.051e-8 * t) * share + (1.9898e-4 - 2.376e-6 * t) * share**2
    return 1 - over * (air + vapour) + over**2 * (1.83e-11 - 0.765e-8 * share**2)
