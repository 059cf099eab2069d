"""Refrigerants: saturation temperatures, and the atmosphere that a gauge stands in."""

from __future__ import annotations

from collections.abc import Callable

from checker.trade import saturation
from checker.trade.function import Definition, OutOfRange, formula, rule_function
from checker.trade.saturation import NO_CURVE, OFF_CURVE

ATMOSPHERE = 14.696  # psia at sea level, ASHRAE Fundamentals 2017, chapter 1


AT = ("word", "absolute_pressure +")
BRIDGED = "interpolated: the model of {refrigerant} ({made_by}) gives no {curve} point near {at:.0f} °F"
SOURCE = "CoolProp 8.0 equations of state, through curves in data/saturation.json"


def _curve(which: str) -> Definition:
    """Through the points of a curve, each with its slope: a cubic piece between two of them."""
    says = (
        "between two points (t0, y0, s0) and (t1, y1, s1), y = ln(pressure in psia): with h = t1 - t0 and u = (t - t0)/h, "
        "y = y0 (1 + 2u)(1 - u)^2 + h s0 u (1 - u)^2 + y1 u^2 (3 - 2u) + h s1 u^2 (u - 1); a temperature by solving for t"
    )
    data = {"file": "saturation.json", "curve": which, "unknown": NO_CURVE, "outside": OFF_CURVE, "bridged": BRIDGED}
    return Definition("curve", says, data)


def _bridged(which: str) -> Callable[[str, float], str | None]:
    """The remark of a saturation temperature: that CoolProp gave no answer there and the curve was bridged."""

    def remark(refrigerant: str, pressure: float) -> str | None:
        curve = saturation.curve(refrigerant, which)
        at = saturation.temperature_at(curve, pressure)
        if not saturation.bridged(curve, at):
            return None
        return BRIDGED.format(refrigerant=refrigerant, made_by=saturation.made_by(), curve=which, at=at)

    return remark


@rule_function("temperature", AT, _curve("bubble"), SOURCE, remark=_bridged("bubble"))
def bubble_temperature(refrigerant: str, pressure: float) -> float:
    """Bubble-point temperature (°F) at an absolute pressure (psia): what subcooling is counted from.

    Raises:
        OutOfRange: No curve for the refrigerant, or the pressure is outside it (−60 to 150 °F).

    Source: CoolProp 8.0, quality 0, through curves within 0.01 °F of it.
    """
    return saturation.temperature_at(saturation.curve(refrigerant, "bubble"), pressure)


@rule_function("temperature", AT, _curve("dew"), SOURCE, remark=_bridged("dew"))
def dew_temperature(refrigerant: str, pressure: float) -> float:
    """Dew-point temperature (°F) at an absolute pressure (psia): what superheat is counted from.

    Raises:
        OutOfRange: As for `bubble_temperature`.

    Source: CoolProp 8.0, quality 1, through curves within 0.01 °F of it.
    """
    return saturation.temperature_at(saturation.curve(refrigerant, "dew"), pressure)


@rule_function(
    "absolute_pressure", ["length -"],
    formula(
        "14.696 * (1 - 6.8754e-6 * (elevation / 12)) ** 5.2559",
        ("-1000 <= elevation / 12 <= 15000", "an elevation of {elevation / 12:.0f} ft is outside -1,000 to 15,000 ft"),
    ),
    "ASHRAE Fundamentals 2017, chapter 1, equation 3",
)  # fmt: skip
def atmospheric_pressure(elevation: float) -> float:
    """Pressure of the standard atmosphere (psia) at an elevation (inches, as every length).

    Raises:
        OutOfRange: Outside −1,000 to 15,000 ft.

    Source: ASHRAE Fundamentals 2017, chapter 1, equation 3: 14.696 (1 − 6.8754e-6 Z)^5.2559, Z in feet.
    """
    feet = elevation / 12
    if not -1000 <= feet <= 15000:
        raise OutOfRange(f"an elevation of {feet:.0f} ft is outside -1,000 to 15,000 ft")
    return float(ATMOSPHERE * (1 - 6.8754e-6 * feet) ** 5.2559)


@rule_function(
    "absolute_pressure", ["gauge_pressure +", "absolute_pressure +"],
    formula("gauge + atmosphere", ("gauge + atmosphere > 0", "a gauge pressure of {gauge:.4g} psig is below a perfect vacuum")),
    "definition of gauge pressure",
)  # fmt: skip
def absolute_pressure(gauge: float, atmosphere: float) -> float:
    """Absolute pressure (psia) of a gauge pressure (psig) where the atmosphere is that (psia).

    Raises:
        OutOfRange: Below a perfect vacuum.
    """
    if gauge + atmosphere <= 0:
        raise OutOfRange(f"a gauge pressure of {gauge:.4g} psig is below a perfect vacuum")
    return gauge + atmosphere
