"""What can be computed on its own: its inputs, its working line by line, and how each amount is shown."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from checker.reading import units

Values = Mapping[str, Any]  # what was given, by the name of the input, in base units; what was left out is not in it


class Shows(NamedTuple):
    """A kind of amount, and the units and digits it is shown in: US and SI. A plain number is in the US unit.

    Without a number of digits, what is there is shown, to four.
    """

    kind: str
    us: tuple[str, int | None]
    si: tuple[str, int | None]


TOO_LONG = 1e12  # beyond it an amount is written with a power of ten
SHOWS = {
    "temperature": Shows("temperature", ("degF", 1), ("degC", 1)),
    "temperature_difference": Shows("temperature_difference", ("delta_degF", 1), ("delta_degC", 1)),
    "gauge_pressure": Shows("gauge_pressure", ("psig", 1), ("kPag", 0)),
    "absolute_pressure": Shows("absolute_pressure", ("psia", 2), ("kPaa", 1)),
    "pressure_difference": Shows("pressure_difference", ("psi", 2), ("kPa", 1)),
    "barometer": Shows("absolute_pressure", ("inHga", 2), ("kPaa", 1)),
    "vacuum": Shows("absolute_pressure", ("micron", 0), ("Paa", 1)),
    "vacuum_rise": Shows("pressure_difference", ("micron_rise", 1), ("Pa", 2)),
    "recovery_vacuum": Shows("gauge_pressure", ("inHgv", 1), ("kPag", 1)),
    "length": Shows("length", ("ft", 1), ("m", 2)),
    "duration": Shows("duration", ("minute", 1), ("minute", 1)),
    "charge": Shows("mass", ("lb", 2), ("kg", 3)),
    "line_charge": Shows("mass", ("oz", 2), ("g", 0)),
    "mass_per_length": Shows("mass_per_length", ("oz_per_ft", None), ("g_per_m", 1)),
    "airflow": Shows("airflow", ("cfm", 0), ("L_per_s", 1)),
    "airflow_per_capacity": Shows("airflow_per_capacity", ("cfm_per_ton", 0), ("cfm_per_ton", 0)),
    "specific_enthalpy": Shows("specific_enthalpy", ("Btu_per_lb", 2), ("kJ_per_kg", 2)),
    "humidity_ratio": Shows("humidity_ratio", ("lb_per_lb", 5), ("kg_per_kg", 5)),
    "specific_volume": Shows("specific_volume", ("ft3_per_lb", 3), ("m3_per_kg", 4)),
    "cooling": Shows("power", ("Btu_per_h", 0), ("kW", 2)),
    "electric_heat": Shows("power", ("kW", None), ("kW", None)),
    "current": Shows("current", ("A", None), ("A", None)),
    "voltage": Shows("voltage", ("V", None), ("V", None)),
    "number": Shows("number", ("one", None), ("one", None)),
}


class Input(NamedTuple):
    """One thing to give. `shows` is a line of `SHOWS`, `word`, `refrigerant`, `date`, or `readings` (minutes:level, several)."""

    name: str
    shows: str
    help: str
    optional: bool = False
    words: tuple[str, ...] = ()

    @property
    def option(self) -> str:
        """How it is written on the command line."""
        return "MIN:LEVEL" if self.shows == "readings" else "--" + self.name.replace("_", "-")


class Line(NamedTuple):
    """One line of a working: a name, an amount in base units or a word, and how it came about."""

    name: str
    value: float | str
    shows: str
    how: str


class Working(NamedTuple):
    """Lines in the order they were worked out, the answer last, and what else has to be said."""

    lines: tuple[Line, ...]
    notes: tuple[str, ...] = ()


class Quantity(NamedTuple):
    """Something that can be computed. `work` may raise `OutOfRange`; `cautions` are keys of `CAUTIONS`."""

    name: str
    meaning: str
    inputs: tuple[Input, ...]
    work: Callable[[Values], Working]
    cautions: tuple[str, ...]


def shown(value: float | str, shows: str, si: bool) -> str:
    """An amount as it is printed; whole numbers without digits after the point."""
    if shows not in SHOWS or isinstance(value, str):
        return str(value)
    kind, us, metric = SHOWS[shows]
    name, digits = metric if si else us
    number = units.from_base(value, units.all_units()[kind, name])
    if abs(number) >= TOO_LONG:
        return f"{number:.4g} {units.shown(name)}"
    return units.write_amount(value, kind, name, 0 if abs(number - round(number)) < 1e-6 else digits)
