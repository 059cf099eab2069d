"""The air that a gauge stands in: read from a barometer, from the elevation, or taken as sea level and said so."""

from __future__ import annotations

from checker.calculators.quantity import Input, Line, Values
from checker.trade import refrigerant

PLACE = (
    Input("elevation", "length", "Elevation of the site above the sea", optional=True),
    Input("barometer", "barometer", "Barometer on the site, not reduced to sea level", optional=True),
)


def atmosphere(values: Values) -> Line:
    """Pressure of the air around, psia."""
    if "barometer" in values:
        return Line("atmosphere", values["barometer"], "absolute_pressure", "the barometer")
    if "elevation" in values:
        pressure = refrigerant.atmospheric_pressure(values["elevation"])
        return Line("atmosphere", pressure, "absolute_pressure", "standard atmosphere at the elevation")
    return Line("atmosphere", refrigerant.ATMOSPHERE, "absolute_pressure", "sea level, assumed: no elevation given")


def place_notes(values: Values) -> tuple[str, ...]:
    """A remark where the place was not given."""
    if "barometer" in values or "elevation" in values:
        return ()
    return ("Sea level assumed. At 5,000 ft that is off by 2.5 psi: give --elevation or --barometer.",)
