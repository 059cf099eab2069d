"""Air at a coil, from two thermometers and the pressure of the place: its states, and what the coil takes out of it.

Enthalpy counts from dry air at 0 °F and liquid water at 32 °F, as American charts do: h = 0.2402 t + W (1061 + 0.444 t).

A wet bulb below 32 °F is taken to be ice on the wick. Water still liquid there would read higher in the same air, so
a reading just under freezing is sure only to about 1 °F, and humidity falls by a step where the reading passes 32 °F.
"""

from __future__ import annotations

from collections.abc import Callable

from checker.trade import moist_air
from checker.trade.function import Argument, Definition, Function, OutOfRange, formula, in_words
from checker.trade.sums import total

COLDEST, HOTTEST = -40.0, 150.0  # °F
THINNEST, THICKEST = 8.0, 16.0  # psia: from 16,000 ft up to 2,300 ft below the sea
SAME, SAME_RATIO = 1e-6, 1e-9  # °F and lb/lb: closer than this is the same, as in units.txt
WATT = 0.29307107017222  # in a Btu/h, as in units.txt
TON = 12000 * WATT


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
    found = moist_air.ratio_at_wet_bulb(dry_bulb, wet_bulb, atmosphere)
    if found < -SAME_RATIO:
        raise OutOfRange(f"a wet bulb of {wet_bulb:.4g} °F is lower than bone-dry air of {dry_bulb:.4g} °F could give")
    return max(found, 0.0)


def humidity_ratio_from_relative(dry_bulb: float, relative_humidity: float, atmosphere: float) -> float:
    """Water in a pound of dry air (lb/lb), from relative humidity (a share of one; over ice below 32 °F).

    Raises:
        OutOfRange: A humidity outside 0 to 100 %; the others as `humidity_ratio`.

    Source: ASHRAE Fundamentals 2017, chapter 1, equations 12, 20 and 22.
    """
    _require_air(dry_bulb, atmosphere)
    if not -SAME_RATIO <= relative_humidity <= 1 + SAME_RATIO:
        raise OutOfRange(f"a relative humidity of {100 * relative_humidity:.4g} % is outside 0 to 100 %")
    return moist_air.ratio(
        min(max(relative_humidity, 0.0), 1.0) * moist_air.saturated_vapour(dry_bulb, atmosphere), atmosphere
    )


def relative_humidity(dry_bulb: float, wet_bulb: float, atmosphere: float) -> float:
    """Relative humidity (a share of one; over ice below 32 °F); arguments, errors and source as `humidity_ratio`."""
    ratio = humidity_ratio(dry_bulb, wet_bulb, atmosphere)
    return min(moist_air.vapour(ratio, atmosphere) / moist_air.saturated_vapour(dry_bulb, atmosphere), 1.0)


def wet_bulb(dry_bulb: float, relative_humidity: float, atmosphere: float) -> float:
    """Wet bulb (°F): the inverse of `relative_humidity`, at or above 32 °F where a wet wick can be, else over ice.

    Raises:
        OutOfRange: As `humidity_ratio_from_relative`.
    """
    ratio = humidity_ratio_from_relative(dry_bulb, relative_humidity, atmosphere)
    return moist_air.wet_bulb_at_ratio(dry_bulb, ratio, atmosphere)


def dew_point(dry_bulb: float, wet_bulb: float, atmosphere: float) -> float:
    """Temperature (°F) at which the air would be saturated; below 32 °F it is the frost point.

    Raises:
        OutOfRange: Air too dry to have one above -100 °F; the others as `humidity_ratio`.

    Source: the definition; solved by halving.
    """
    ratio = humidity_ratio(dry_bulb, wet_bulb, atmosphere)
    if ratio < moist_air.saturated_ratio(moist_air.LOWEST, atmosphere):
        raise OutOfRange(f"the air is too dry to have a dew point above {moist_air.LOWEST:g} °F")
    return moist_air.dew_point_at_ratio(wet_bulb, ratio, atmosphere)


def enthalpy(dry_bulb: float, wet_bulb: float, atmosphere: float) -> float:
    """Enthalpy of the air and its vapour (Btu per lb of dry air); arguments and errors as `humidity_ratio`.

    Source: ASHRAE Fundamentals 2017, chapter 1, equation 30 (heat of air 0.2402); within 0.02 Btu/lb of CoolProp 8.0
    from -20 to 95 °F at sea level, 0.08 elsewhere up to 120 °F.
    """
    return moist_air.enthalpy(dry_bulb, humidity_ratio(dry_bulb, wet_bulb, atmosphere))


def specific_volume(dry_bulb: float, wet_bulb: float, atmosphere: float) -> float:
    """Volume that holds a pound of dry air (ft³/lb); arguments and errors as `humidity_ratio`.

    Source: ASHRAE Fundamentals 2017, chapter 1, equation 26, times the compressibility of CIPM-2007.
    """
    return moist_air.volume(dry_bulb, humidity_ratio(dry_bulb, wet_bulb, atmosphere), atmosphere)


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


def latent_capacity(
    airflow: float,
    entering_dry_bulb: float,
    entering_wet_bulb: float,
    leaving_dry_bulb: float,
    leaving_wet_bulb: float,
    atmosphere: float,
) -> float:
    """The rest of `total_capacity` (W): the heat of the vapour left behind, at the leaving dry bulb.

    Below zero, in cooling, the readings contradict each other. Arguments, errors and source as `total_capacity`.
    """
    entering = humidity_ratio(entering_dry_bulb, entering_wet_bulb, atmosphere)
    leaving = humidity_ratio(leaving_dry_bulb, leaving_wet_bulb, atmosphere)
    heat = moist_air.vapour_heat(leaving_dry_bulb)
    return _dry_air(airflow, entering_dry_bulb, entering_wet_bulb, atmosphere) * heat * (entering - leaving) * WATT


def mixed_dry_bulb(
    airflow: float,
    dry_bulb: float,
    wet_bulb: float,
    other_airflow: float,
    other_dry_bulb: float,
    other_wet_bulb: float,
    atmosphere: float,
) -> float:
    """Dry bulb (°F) of two streams of air mixed without heat from outside, each weighed by its own dry air.

    Args:
        airflow, other_airflow: Actual cfm of each stream at its own temperature.
        dry_bulb, wet_bulb, other_dry_bulb, other_wet_bulb, atmosphere: As `humidity_ratio`.

    Raises:
        OutOfRange: Airflow below 0 or none at all; a mixture that would be fog; the others as `humidity_ratio`.

    Source: balances of water and of energy.
    """
    one, other = (airflow, dry_bulb, wet_bulb), (other_airflow, other_dry_bulb, other_wet_bulb)
    return _mixed(one, other, atmosphere)[0]


def mixed_wet_bulb(
    airflow: float,
    dry_bulb: float,
    wet_bulb: float,
    other_airflow: float,
    other_dry_bulb: float,
    other_wet_bulb: float,
    atmosphere: float,
) -> float:
    """Wet bulb (°F) of two streams of air mixed; arguments, errors and source as `mixed_dry_bulb`."""
    one, other = (airflow, dry_bulb, wet_bulb), (other_airflow, other_dry_bulb, other_wet_bulb)
    return moist_air.wet_bulb_at_ratio(*_mixed(one, other, atmosphere), atmosphere)


def temperature_split(entering: float, leaving: float) -> float:
    """How many °F colder the air leaves a coil than it enters it; below zero where it is heated."""
    return entering - leaving


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


def _mixed(
    one: tuple[float, float, float], other: tuple[float, float, float], atmosphere: float
) -> tuple[float, float]:
    """Dry bulb and humidity ratio of two streams of (airflow, dry bulb, wet bulb)."""
    masses = [_dry_air(*stream, atmosphere) for stream in (one, other)]
    ratios = [humidity_ratio(dry, wet, atmosphere) for _, dry, wet in (one, other)]
    heats = [enthalpy(dry, wet, atmosphere) for _, dry, wet in (one, other)]
    if total(masses) <= 0:
        raise OutOfRange("no air flows in either stream")
    ratio, heat = (total(m * x for m, x in zip(masses, each, strict=True)) / total(masses) for each in (ratios, heats))
    dry_bulb = moist_air.dry_bulb_at(heat, ratio)
    if ratio > moist_air.saturated_ratio(dry_bulb, atmosphere) * (1 + SAME):
        raise OutOfRange("the two streams would mix to fog: water would fall out as drops")
    return dry_bulb, ratio


DRY, WET, PLACE = (
    Argument("dry_bulb", "temperature"),
    Argument("wet_bulb", "temperature"),
    Argument("atmosphere", "absolute_pressure"),
)
# A higher wet bulb means wetter air, but for the step where ice on the wick melts: no direction is declared for it.
BULBS = (DRY._replace(moves=-1), WET, PLACE._replace(moves=-1))
RELATIVE = (DRY._replace(moves=+1), Argument("relative_humidity", "number", +1))
ENTERING = (Argument("entering_dry_bulb", "temperature"), Argument("entering_wet_bulb", "temperature"))
LEAVING = (Argument("leaving_dry_bulb", "temperature"), Argument("leaving_wet_bulb", "temperature"))
FLOW = Argument("airflow", "airflow")
COIL = (FLOW, *ENTERING, *LEAVING, PLACE)
OTHER = tuple(argument._replace(name=f"other_{argument.name}") for argument in (FLOW, DRY, WET))
STREAMS = (FLOW, DRY, WET, *OTHER, PLACE)

CHAPTER_1 = "ASHRAE Fundamentals 2017, chapter 1"
SATURATED = (
    "e(t) = Hyland and Wexler's pressure in psia times (1.00062 + 2.16495e-4 p + 5.6e-7 ((t - 32)/1.8)^2), "
    "Ws(t) = 0.621945 e/(p - e)"
)
RATIO = (
    f"{SATURATED}; w = t* - 32, below 32 °F 0.48 t* - 159; "
    "W = (Ws(t*) (1061 + 0.444 t* - w) - 0.2402 (t - t*)) / (1061 + 0.444 t - w)"
)
ENTHALPY = "h = 0.2402 t + W (1061 + 0.444 t)"
VOLUME = "v = 0.370486 (t + 459.67) (1 + W/0.621945) Z/p, Z of CIPM-2007"
MIXED = f"{RATIO}; {ENTHALPY}; {VOLUME}; W and h by the mean of the streams, each weighed by its airflow over its v"


def _function(
    name: str,
    arguments: tuple[Argument, ...],
    result: str,
    compute: Callable[..., float],
    definition: Definition,
    source: str = f"{CHAPTER_1} and CIPM-2007 (checked)",
) -> Function:
    return Function(name, arguments, result, compute, definition, source)


FUNCTIONS: tuple[Function, ...] = (
    _function("humidity_ratio", BULBS, "humidity_ratio", humidity_ratio, in_words(RATIO)),
    _function("humidity_ratio_from_relative", (*RELATIVE, PLACE._replace(moves=-1)), "humidity_ratio",
              humidity_ratio_from_relative, in_words(f"{SATURATED}; W = 0.621945 r e(t)/(p - r e(t))")),
    _function("relative_humidity", BULBS, "number", relative_humidity, in_words(f"{RATIO}; r = p W/((0.621945 + W) e(t))")),
    _function("wet_bulb", (*RELATIVE, PLACE._replace(moves=+1)), "temperature", wet_bulb,
              in_words(f"{RATIO}; t* by halving, from 32 °F up where W is at least that of t* = 32 °F, else below")),
    _function("dew_point", BULBS, "temperature", dew_point, in_words(f"{RATIO}; the t of Ws(t) = W by halving")),
    _function("enthalpy", (DRY, WET, PLACE), "specific_enthalpy", enthalpy, in_words(f"{RATIO}; {ENTHALPY}")),
    _function("specific_volume", (DRY, WET, PLACE._replace(moves=-1)), "specific_volume", specific_volume,
              in_words(f"{RATIO}; {VOLUME}")),
    _function("total_capacity", COIL, "power", total_capacity,
              in_words(f"{RATIO}; {ENTHALPY}; {VOLUME}; 60 Q/v1 (h1 - h2) Btu/h"), "energy balance"),
    _function("sensible_capacity", (FLOW, *ENTERING, LEAVING[0], PLACE), "power", sensible_capacity,
              in_words(f"{RATIO}; {VOLUME}; 60 Q/v1 (0.2402 + 0.444 W1) (t1 - t2) Btu/h"), "energy balance"),
    _function("latent_capacity", COIL, "power", latent_capacity,
              in_words(f"{RATIO}; {VOLUME}; 60 Q/v1 (W1 - W2) (1061 + 0.444 t2) Btu/h"), "energy balance"),
    _function("mixed_dry_bulb", STREAMS, "temperature", mixed_dry_bulb,
              in_words(f"{MIXED}; t = (h - 1061 W)/(0.2402 + 0.444 W)"), "balances of water and of energy"),
    _function("mixed_wet_bulb", STREAMS, "temperature", mixed_wet_bulb,
              in_words(f"{MIXED}; t* as for wet_bulb"), "balances of water and of energy"),
    _function("temperature_split", (Argument("entering", "temperature", +1), Argument("leaving", "temperature", -1)),
              "temperature_difference", temperature_split, formula("entering - leaving"), "definition"),
    _function("airflow_per_ton", (FLOW._replace(moves=+1), Argument("capacity", "power", -1)), "airflow_per_capacity",
              airflow_per_ton, formula("airflow * 3516.8528420667 / capacity"), "definition of a ton of refrigeration"),
)  # fmt: skip
