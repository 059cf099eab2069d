"""Air at a coil, from two thermometers and the pressure of the place: its states, and what the coil takes out of it.

Enthalpy counts from dry air at 0 °F and liquid water at 32 °F, as American charts do: h = 0.2402 t + W (1061 + 0.444 t).

A wet bulb below 32 °F is taken to be ice on the wick. Water still liquid there would read higher in the same air, so
a reading just under freezing is sure only to about 1 °F, and humidity falls by a step where the reading passes 32 °F.
"""

from __future__ import annotations

from checker.trade import moist_air
from checker.trade.function import OutOfRange, formula, in_words, rule_function

COLDEST, HOTTEST = -40.0, 150.0  # °F
THINNEST, THICKEST = 8.0, 16.0  # psia: from 16,000 ft up to 2,300 ft below the sea
SAME, SAME_RATIO = 1e-6, 1e-9  # °F and lb/lb: closer than this is the same, as in units.txt
WATT = 0.29307107017222  # in a Btu/h, as in units.txt
TON = 12000 * WATT

RATIO = (
    "e(t) = Hyland and Wexler's pressure in psia times (1.00062 + 2.16495e-4 p + 5.6e-7 ((t - 32)/1.8)^2), "
    "Ws(t) = 0.621945 e/(p - e); w = t* - 32, below 32 °F 0.48 t* - 159; "
    "W = (Ws(t*) (1061 + 0.444 t* - w) - 0.2402 (t - t*)) / (1061 + 0.444 t - w)"
)
ENTHALPY = "h = 0.2402 t + W (1061 + 0.444 t)"
VOLUME = "v = 0.370486 (t + 459.67) (1 + W/0.621945) Z/p, Z of CIPM-2007"
SOURCE = "ASHRAE Fundamentals 2017, chapter 1 and CIPM-2007 (checked)"
DRY, WET, PLACE = "temperature", "temperature", "absolute_pressure"


# A higher wet bulb means wetter air, but for the step where ice on the wick melts: no direction is declared for it.
@rule_function("humidity_ratio", ["temperature -", WET, "absolute_pressure -"], in_words(RATIO), SOURCE)
def humidity_ratio(dry_bulb: float, wet_bulb: float, atmosphere: float) -> float:
    """Water in a pound of dry air (lb/lb).

    Args:
        dry_bulb, wet_bulb: °F; dry bulb -40 to 150. A wet bulb below 32 °F is over ice.
        atmosphere: Barometric pressure of the place, psia, 8 to 16.

    Raises:
        OutOfRange: Outside those ranges; a wet bulb above the dry bulb, or lower than bone-dry air could give.

    Source: ASHRAE Fundamentals 2017, chapter 1, equations 33 and 35.
    """
    _require_air(dry_bulb, atmosphere)
    if wet_bulb > dry_bulb + SAME:
        raise OutOfRange(f"a wet bulb of {wet_bulb:.4g} °F is above the dry bulb of {dry_bulb:.4g} °F")
    if not wet_bulb >= COLDEST - SAME:
        raise OutOfRange(f"a wet bulb of {wet_bulb:.4g} °F is below {COLDEST:g} °F")
    ratio = moist_air.ratio_at_wet_bulb(dry_bulb, wet_bulb, atmosphere)
    if ratio < -SAME_RATIO:
        raise OutOfRange(f"a wet bulb of {wet_bulb:.4g} °F is lower than bone-dry air of {dry_bulb:.4g} °F could give")
    return max(ratio, 0.0)


@rule_function("specific_enthalpy", [DRY, WET, PLACE], in_words(f"{RATIO}; {ENTHALPY}"), SOURCE)
def enthalpy(dry_bulb: float, wet_bulb: float, atmosphere: float) -> float:
    """Enthalpy of the air and its vapour (Btu per lb of dry air); arguments and errors as `humidity_ratio`.

    Source: ASHRAE Fundamentals 2017, chapter 1, equation 30 (heat of air 0.2402); within 0.02 Btu/lb of CoolProp 8.0
    from -20 to 95 °F at sea level, 0.08 elsewhere up to 120 °F.
    """
    return moist_air.enthalpy(dry_bulb, humidity_ratio(dry_bulb, wet_bulb, atmosphere))


@rule_function("specific_volume", [DRY, WET, "absolute_pressure -"], in_words(f"{RATIO}; {VOLUME}"), SOURCE)
def specific_volume(dry_bulb: float, wet_bulb: float, atmosphere: float) -> float:
    """Volume that holds a pound of dry air (ft³/lb); arguments and errors as `humidity_ratio`.

    Source: ASHRAE Fundamentals 2017, chapter 1, equation 26, times the compressibility of CIPM-2007.
    """
    return moist_air.volume(dry_bulb, humidity_ratio(dry_bulb, wet_bulb, atmosphere), atmosphere)


@rule_function(
    "power", ["airflow", DRY, WET, DRY, WET, PLACE],
    in_words(f"{RATIO}; {ENTHALPY}; {VOLUME}; 60 Q/v1 (h1 - h2) Btu/h"), "energy balance",
)  # fmt: skip
def total_capacity(
    airflow: float,
    entering_dry_bulb: float,
    entering_wet_bulb: float,
    leaving_dry_bulb: float,
    leaving_wet_bulb: float,
    atmosphere: float,
) -> float:
    """Heat that a coil takes out of the air (W), sensible and latent; below zero where it heats.

    The heat of the water drained is not taken off, as in an air-enthalpy test (ASHRAE 37, from memory).

    Args:
        airflow: Actual cfm of the ENTERING air: the density is that of the air entering the coil, at the place.
        entering_dry_bulb, entering_wet_bulb, leaving_dry_bulb, leaving_wet_bulb: °F, as `humidity_ratio`.
        atmosphere: psia.

    Returns:
        W. In standard air it is the 4.5 × cfm × difference of enthalpy of the rule of thumb.

    Raises:
        OutOfRange: Airflow below 0; the others as `humidity_ratio`.

    Source: energy balance.
    """
    entering = enthalpy(entering_dry_bulb, entering_wet_bulb, atmosphere)
    leaving = enthalpy(leaving_dry_bulb, leaving_wet_bulb, atmosphere)
    return _dry_air(airflow, entering_dry_bulb, entering_wet_bulb, atmosphere) * (entering - leaving) * WATT


@rule_function(
    "power", ["airflow", DRY, WET, DRY, PLACE],
    in_words(f"{RATIO}; {VOLUME}; 60 Q/v1 (0.2402 + 0.444 W1) (t1 - t2) Btu/h"), "energy balance",
)  # fmt: skip
def sensible_capacity(
    airflow: float,
    entering_dry_bulb: float,
    entering_wet_bulb: float,
    leaving_dry_bulb: float,
    atmosphere: float,
) -> float:
    """The part of `total_capacity` (W) that changes the temperature of the entering air, its vapour included.

    Arguments, errors and source as `total_capacity`; the leaving dry bulb -40 to 150 °F.
    """
    _require_air(leaving_dry_bulb, atmosphere)
    heat = moist_air.heat_capacity(humidity_ratio(entering_dry_bulb, entering_wet_bulb, atmosphere))
    mass = _dry_air(airflow, entering_dry_bulb, entering_wet_bulb, atmosphere)
    return mass * heat * (entering_dry_bulb - leaving_dry_bulb) * WATT


@rule_function(
    "temperature_difference", ["temperature +", "temperature -"], formula("entering - leaving"), "definition"
)
def temperature_split(entering: float, leaving: float) -> float:
    """How many °F colder the air leaves a coil than it enters it; below zero where it is heated."""
    return entering - leaving


@rule_function(
    "airflow_per_capacity", ["airflow +", "power -"],
    formula(
        "airflow * 3516.8528420667 / capacity",
        ("capacity > 0", "a capacity of {capacity:.4g} W is not above zero"),
        ("airflow >= 0", "an airflow of {airflow:.4g} cfm is below zero"),
    ),
    "definition of a ton of refrigeration",
)  # fmt: skip
def airflow_per_ton(airflow: float, capacity: float) -> float:
    """Airflow (cfm) for each 12,000 Btu/h of a capacity (W).

    Raises:
        OutOfRange: A capacity not above 0, or an airflow below 0.
    """
    if not capacity > 0:
        raise OutOfRange(f"a capacity of {capacity:.4g} W is not above zero")
    _require_airflow(airflow)
    return airflow * TON / capacity


def _require_air(dry_bulb: float, atmosphere: float) -> None:
    if not COLDEST <= dry_bulb <= HOTTEST:
        raise OutOfRange(f"a dry bulb of {dry_bulb:.4g} °F is outside {COLDEST:g} to {HOTTEST:g} °F")
    if not THINNEST <= atmosphere <= THICKEST:
        raise OutOfRange(f"an atmosphere of {atmosphere:.4g} psia is outside {THINNEST:g} to {THICKEST:g} psia")


def _require_airflow(airflow: float) -> None:
    if not airflow >= 0:
        raise OutOfRange(f"an airflow of {airflow:.4g} cfm is below zero")


def _dry_air(airflow: float, dry_bulb: float, wet_bulb: float, atmosphere: float) -> float:
    """Dry air (lb/h) in an airflow."""
    _require_airflow(airflow)
    return 60 * airflow / specific_volume(dry_bulb, wet_bulb, atmosphere)
