"""Moist air at the pressure of the place: states from two thermometers, and what a coil takes out of the air.

Enthalpy counts from dry air at 0 °F and liquid water at 32 °F, as American charts do: h = 0.2402 t + W (1061 + 0.444 t).
Water vapour at saturation is that of Hyland and Wexler, raised by the enhancement factor for air; volume is that of a
real gas (both CIPM-2007: Picard and others, Metrologia 45, 2008). Wet bulbs below 32 °F are refused: the wick may be
ice or water, and the two differ.
"""

from __future__ import annotations

from checker.trade.evacuation import water_vapour_ceiling
from checker.trade.function import Argument, Function, OutOfRange

COLDEST, HOTTEST, FREEZING = -40.0, 150.0, 32.0  # °F
THINNEST, THICKEST = 8.0, 16.0  # psia: 16,000 ft to 2,300 ft below the sea
WATER_TO_AIR = 0.621945  # molar masses, ASHRAE Fundamentals 2017, chapter 1
AIR_GAS_CONSTANT = 53.350 / 144  # psia ft³/(lb °R), ASHRAE Fundamentals 2017, chapter 1
PASCAL_PER_PSI = 6894.757293168361
# ASHRAE Fundamentals 2017, chapter 1, equation 30, but 0.2402 for its 0.240: its own table 2 gives 18.498 Btu/lb at 77 °F.
AIR_HEAT, VAPOUR_HEAT, EVAPORATION = 0.2402, 0.444, 1061.0  # Btu/(lb °F), the same, Btu/lb at 0 °F
WATT_PER_BTU_PER_HOUR = 0.29307107017222  # as in units.txt
ROUNDING = 1e-9  # of a share: saturated air is not more than saturated
MINUTES_PER_HOUR = 60
BTU_PER_HOUR_PER_TON = 12000


def humidity_ratio(dry_bulb: float, wet_bulb: float, atmosphere: float) -> float:
    """Water per dry air (lb/lb) from dry bulb and wet bulb (°F) at a barometric pressure (psia).

    Raises:
        OutOfRange: Wet bulb below 32 °F, above the dry bulb, or too far below it; dry bulb outside -40 to 150 °F;
            pressure outside 8 to 16 psia.

    Source: energy balance of adiabatic saturation, ASHRAE Fundamentals 2017, chapter 1, equation 33.
    """
    _in_range(dry_bulb, atmosphere)
    if not FREEZING <= wet_bulb <= dry_bulb:
        raise OutOfRange(f"a wet bulb of {wet_bulb:.4g} °F is outside 32 °F to the dry bulb of {dry_bulb:.4g} °F")
    found = _balance(dry_bulb, wet_bulb, atmosphere)
    if found < -ROUNDING:
        raise OutOfRange(f"a wet bulb of {wet_bulb:.4g} °F is lower than dry air at {dry_bulb:.4g} °F can give")
    return max(found, 0.0)


def humidity_ratio_at(dry_bulb: float, relative_humidity: float, atmosphere: float) -> float:
    """Water per dry air (lb/lb) from dry bulb (°F) and relative humidity (a share of one) at a pressure (psia).

    Raises:
        OutOfRange: Humidity outside 0 to 100 %; the others as `humidity_ratio`.

    Source: ASHRAE Fundamentals 2017, chapter 1, equations 12, 20 and 22.
    """
    _in_range(dry_bulb, atmosphere)
    if not 0 <= relative_humidity <= 1:
        raise OutOfRange(f"a relative humidity of {100 * relative_humidity:.4g} % is outside 0 to 100 %")
    return _ratio(relative_humidity * _saturation(dry_bulb, atmosphere), atmosphere)


def relative_humidity(dry_bulb: float, humidity_ratio: float, atmosphere: float) -> float:
    """Relative humidity (a share of one) of air with a dry bulb (°F) and humidity ratio (lb/lb) at a pressure (psia).

    Raises:
        OutOfRange: More water than the air can hold as vapour; the others as `humidity_ratio`.

    Source: as `humidity_ratio_at`.
    """
    _in_range(dry_bulb, atmosphere)
    vapour = atmosphere * humidity_ratio / (WATER_TO_AIR + humidity_ratio)
    share = vapour / _saturation(dry_bulb, atmosphere)
    if not 0 <= share <= 1 + ROUNDING:
        raise OutOfRange(f"a humidity ratio of {humidity_ratio:.4g} is more than air at {dry_bulb:.4g} °F can hold")
    return min(share, 1.0)


def wet_bulb_temperature(dry_bulb: float, relative_humidity: float, atmosphere: float) -> float:
    """Wet bulb (°F) from dry bulb (°F) and relative humidity (a share of one) at a pressure (psia).

    Raises:
        OutOfRange: The wet bulb would be below 32 °F; the others as `humidity_ratio_at`.

    Source: the inverse of `humidity_ratio`, by halving.
    """
    wanted = humidity_ratio_at(dry_bulb, relative_humidity, atmosphere)
    if dry_bulb < FREEZING or _balance(dry_bulb, FREEZING, atmosphere) > wanted:
        raise OutOfRange(f"the wet bulb of air at {dry_bulb:.4g} °F and {100 * relative_humidity:.3g} % is below 32 °F")
    low, high = FREEZING, dry_bulb
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if _balance(dry_bulb, middle, atmosphere) < wanted else (low, middle)
    return (low + high) / 2


def enthalpy(dry_bulb: float, humidity_ratio: float) -> float:
    """Enthalpy (Btu per lb of dry air) of air with a dry bulb (°F) and humidity ratio (lb/lb).

    Raises:
        OutOfRange: Dry bulb outside -40 to 150 °F, humidity ratio outside 0 to 0.3.

    Source: the formula at the head of this module; within 0.05 Btu/lb of CoolProp 8.0 between 32 and 100 °F.
    """
    _state_in_range(dry_bulb, humidity_ratio)
    return AIR_HEAT * dry_bulb + humidity_ratio * (EVAPORATION + VAPOUR_HEAT * dry_bulb)


def dry_bulb_temperature(enthalpy: float, humidity_ratio: float) -> float:
    """Dry bulb (°F) of air with an enthalpy (Btu/lb) and humidity ratio (lb/lb): the inverse of `enthalpy`."""
    found = (enthalpy - EVAPORATION * humidity_ratio) / (AIR_HEAT + VAPOUR_HEAT * humidity_ratio)
    _state_in_range(found, humidity_ratio)
    return found


def specific_volume(dry_bulb: float, humidity_ratio: float, atmosphere: float) -> float:
    """Volume (ft³ per lb of dry air) of air with a dry bulb (°F) and humidity ratio (lb/lb) at a pressure (psia).

    Raises:
        OutOfRange: As `enthalpy` and `humidity_ratio`.

    Source: ASHRAE Fundamentals 2017, chapter 1, equation 26, with the compressibility of CIPM-2007.
    """
    _in_range(dry_bulb, atmosphere)
    _state_in_range(dry_bulb, humidity_ratio)
    ideal = AIR_GAS_CONSTANT * (dry_bulb + 459.67) * (1 + humidity_ratio / WATER_TO_AIR) / atmosphere
    return ideal * _compressibility(dry_bulb, humidity_ratio / (WATER_TO_AIR + humidity_ratio), atmosphere)


def total_capacity(airflow: float, volume: float, entering: float, leaving: float) -> float:
    """Heat that a coil takes from the air (W), sensible and latent; the heat of the drained water is not taken off.

    Args:
        airflow: Actual cfm, where it was measured.
        volume: ft³ per lb of dry air there.
        entering, leaving: Enthalpy of the air before and after the coil, Btu/lb.

    Raises:
        OutOfRange: Airflow below 0, or a volume not above 0.

    Source: energy balance; 60/v is the 4.5 of the rule of thumb in standard air.
    """
    return _air_per_hour(airflow, volume) * (entering - leaving) * WATT_PER_BTU_PER_HOUR


def sensible_capacity(airflow: float, volume: float, humidity_ratio: float, entering: float, leaving: float) -> float:
    """The part of `total_capacity` (W) that cools the entering air, vapour and all, from `entering` to `leaving` (°F)."""
    heat = AIR_HEAT + VAPOUR_HEAT * humidity_ratio
    return _air_per_hour(airflow, volume) * heat * (entering - leaving) * WATT_PER_BTU_PER_HOUR


def latent_capacity(airflow: float, volume: float, entering: float, leaving: float, leaving_dry_bulb: float) -> float:
    """The rest of `total_capacity` (W): water from ratio `entering` to `leaving` (lb/lb), at the leaving dry bulb (°F)."""
    heat = EVAPORATION + VAPOUR_HEAT * leaving_dry_bulb
    return _air_per_hour(airflow, volume) * heat * (entering - leaving) * WATT_PER_BTU_PER_HOUR


def temperature_split(entering: float, leaving: float) -> float:
    """How much colder the air leaves a coil than it enters it (°F of difference; below 0 in heating)."""
    return entering - leaving


def airflow_per_ton(airflow: float, capacity: float) -> float:
    """Airflow (cfm) for each ton of 12,000 Btu/h of a capacity (W).

    Raises:
        OutOfRange: A capacity not above 0.
    """
    if capacity <= 0:
        raise OutOfRange(f"a capacity of {capacity:.4g} W is not above zero")
    return airflow * BTU_PER_HOUR_PER_TON * WATT_PER_BTU_PER_HOUR / capacity


def mixed(
    airflow: float, volume: float, first: float, other_airflow: float, other_volume: float, second: float
) -> float:
    """Enthalpy (Btu/lb) or humidity ratio (lb/lb) of two streams of air mixed, by the dry air that each brings.

    Raises:
        OutOfRange: No airflow, airflow below 0, or a volume not above 0.
    """
    one, other = _air_per_hour(airflow, volume), _air_per_hour(other_airflow, other_volume)
    if one + other <= 0:
        raise OutOfRange("no air flows in either stream")
    return (one * first + other * second) / (one + other)


def _in_range(dry_bulb: float, atmosphere: float) -> None:
    if not COLDEST <= dry_bulb <= HOTTEST:
        raise OutOfRange(f"a dry bulb of {dry_bulb:.4g} °F is outside {COLDEST:g} to {HOTTEST:g} °F")
    if not THINNEST <= atmosphere <= THICKEST:
        raise OutOfRange(f"an atmosphere of {atmosphere:.4g} psia is outside {THINNEST:g} to {THICKEST:g} psia")


def _state_in_range(dry_bulb: float, humidity_ratio: float) -> None:
    if not COLDEST <= dry_bulb <= HOTTEST:
        raise OutOfRange(f"a dry bulb of {dry_bulb:.4g} °F is outside {COLDEST:g} to {HOTTEST:g} °F")
    if not 0 <= humidity_ratio <= 0.3:
        raise OutOfRange(f"a humidity ratio of {humidity_ratio:.4g} is outside 0 to 0.3")


def _saturation(dry_bulb: float, atmosphere: float) -> float:
    """Pressure (psia) of the water vapour in saturated air: CIPM-2007's enhancement factor, 1.0031 to 1.007."""
    celsius = (dry_bulb - 32) / 1.8
    factor = 1.00062 + 3.14e-8 * atmosphere * PASCAL_PER_PSI + 5.6e-7 * celsius**2
    return factor * water_vapour_ceiling(dry_bulb)


def _ratio(vapour: float, atmosphere: float) -> float:
    return WATER_TO_AIR * vapour / (atmosphere - vapour)


def _balance(dry_bulb: float, wet_bulb: float, atmosphere: float) -> float:
    """Humidity ratio of air that, soaked to saturation at the wet bulb with water of the wet bulb, loses no heat."""
    saturated = _ratio(_saturation(wet_bulb, atmosphere), atmosphere)
    water = wet_bulb - FREEZING  # Btu/lb of liquid
    evaporating = saturated * (EVAPORATION + VAPOUR_HEAT * wet_bulb - water)
    return (evaporating - AIR_HEAT * (dry_bulb - wet_bulb)) / (EVAPORATION + VAPOUR_HEAT * dry_bulb - water)


def _compressibility(dry_bulb: float, vapour_share: float, atmosphere: float) -> float:
    """CIPM-2007: of air with a molar share of vapour; pascals, kelvin, °C."""
    t = (dry_bulb - 32) / 1.8
    x = vapour_share
    p = atmosphere * PASCAL_PER_PSI / (t + 273.15)
    second = 1.58123e-6 - 2.9331e-8 * t + 1.1043e-10 * t**2 + (5.707e-6 - 2.051e-8 * t) * x
    return 1 - p * (second + (1.9898e-4 - 2.376e-6 * t) * x**2) + p**2 * (1.83e-11 - 0.765e-8 * x**2)


def _air_per_hour(airflow: float, volume: float) -> float:
    """Dry air, lb/h."""
    if airflow < 0 or volume <= 0:
        raise OutOfRange(f"an airflow of {airflow:.4g} cfm at {volume:.4g} ft³/lb is no flow of air")
    return MINUTES_PER_HOUR * airflow / volume


RATIO = Argument("humidity_ratio", "humidity_ratio", +1)
PLACE = Argument("atmosphere", "absolute_pressure", -1)
SHARE = Argument("relative_humidity", "number", +1)
FLOW, VOLUME = Argument("airflow", "airflow"), Argument("volume", "specific_volume")
FLOWS = (FLOW, VOLUME)
OTHER = (Argument("other_airflow", "airflow"), Argument("other_volume", "specific_volume"))
CHAPTER_1 = "ASHRAE Fundamentals 2017, chapter 1"
SATURATED = "e = f(p, t) e_w(t), f of CIPM-2007, e_w of Hyland and Wexler"
BALANCE = (
    f"formula: {SATURATED}; Ws = 0.621945 e/(p - e) at the wet bulb t*, w = t* - 32, "
    "W = (Ws (1061 + 0.444 t* - w) - 0.2402 (t - t*)) / (1061 + 0.444 t - w)"
)
HEAT_BALANCE = "energy balance of the air"


def _falling(name: str, kind: str) -> Argument:
    return Argument(name, kind, -1)


def _rising(name: str, kind: str) -> Argument:
    return Argument(name, kind, +1)


FUNCTIONS: tuple[Function, ...] = (
    Function("humidity_ratio", (_falling("dry_bulb", "temperature"), _rising("wet_bulb", "temperature"), PLACE),
             "humidity_ratio", humidity_ratio, BALANCE, f"{CHAPTER_1}, equation 33; CIPM-2007"),
    Function("humidity_ratio_at", (_rising("dry_bulb", "temperature"), SHARE, PLACE), "humidity_ratio", humidity_ratio_at,
             f"formula: {SATURATED}; 0.621945 r e/(p - r e)", f"{CHAPTER_1}, equations 12, 20, 22; CIPM-2007"),
    Function("relative_humidity",
             (_falling("dry_bulb", "temperature"), RATIO, _rising("atmosphere", "absolute_pressure")), "number",
             relative_humidity, f"formula: {SATURATED}; p W/((0.621945 + W) e)", f"{CHAPTER_1}, equations 12, 20, 22"),
    Function("wet_bulb_temperature",
             (_rising("dry_bulb", "temperature"), SHARE, _rising("atmosphere", "absolute_pressure")), "temperature",
             wet_bulb_temperature, f"{BALANCE}; t* by halving 32 °F to t sixty times", f"{CHAPTER_1}, equation 33"),
    Function("enthalpy", (_rising("dry_bulb", "temperature"), RATIO), "specific_enthalpy", enthalpy,
             "formula: 0.2402 t + W (1061 + 0.444 t)", f"{CHAPTER_1}, equation 30 and table 2"),
    Function("dry_bulb_temperature", (_rising("enthalpy", "specific_enthalpy"), _falling("humidity_ratio", "humidity_ratio")),
             "temperature", dry_bulb_temperature, "formula: (h - 1061 W) / (0.2402 + 0.444 W)", f"{CHAPTER_1}, equation 30"),
    Function("specific_volume", (_rising("dry_bulb", "temperature"), RATIO, PLACE), "specific_volume", specific_volume,
             "formula: 0.370486 (t + 459.67) (1 + W/0.621945) Z/p, Z of CIPM-2007", f"{CHAPTER_1}, equation 26; CIPM-2007"),
    Function("total_capacity",
             (*FLOWS, _rising("entering", "specific_enthalpy"), _falling("leaving", "specific_enthalpy")), "power",
             total_capacity, "formula: 60 Q/v (h1 - h2) Btu/h", HEAT_BALANCE),
    Function("sensible_capacity",
             (*FLOWS, Argument("humidity_ratio", "humidity_ratio"), _rising("entering", "temperature"),
              _falling("leaving", "temperature")), "power", sensible_capacity,
             "formula: 60 Q/v (0.2402 + 0.444 W1) (t1 - t2) Btu/h", HEAT_BALANCE),
    Function("latent_capacity",
             (*FLOWS, _rising("entering", "humidity_ratio"), _falling("leaving", "humidity_ratio"),
              Argument("leaving_dry_bulb", "temperature")), "power", latent_capacity,
             "formula: 60 Q/v (W1 - W2) (1061 + 0.444 t2) Btu/h", HEAT_BALANCE),
    Function("temperature_split", (_rising("entering", "temperature"), _falling("leaving", "temperature")),
             "temperature_difference", temperature_split, "formula: t1 - t2", "definition"),
    Function("airflow_per_ton", (_rising("airflow", "airflow"), _falling("capacity", "power")), "airflow_per_capacity",
             airflow_per_ton, "formula: Q / (capacity / 12,000 Btu/h)", "definition"),
    Function("mixed_enthalpy", (*FLOWS, _rising("first", "specific_enthalpy"), *OTHER, _rising("second", "specific_enthalpy")),
             "specific_enthalpy", mixed, "formula: (m1 h1 + m2 h2)/(m1 + m2), m = Q/v", HEAT_BALANCE),
    Function("mixed_humidity_ratio",
             (*FLOWS, _rising("first", "humidity_ratio"), *OTHER, _rising("second", "humidity_ratio")), "humidity_ratio",
             mixed, "formula: (m1 W1 + m2 W2)/(m1 + m2), m = Q/v", "balance of the water in the air"),
)  # fmt: skip
