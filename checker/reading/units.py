"""Kinds, the closed list of units, and amounts written with a unit.

An amount is kept as a plain number in the base unit of its kind. `units.txt` beside this file is the list.
"""

from __future__ import annotations

import functools
import re
from decimal import ROUND_HALF_EVEN, Decimal
from importlib import resources
from typing import NamedTuple

from checker.problems.problem import did_you_mean
from checker.reading import amount_text


class Unit(NamedTuple):
    """A line of `units.txt`: how one kind of amount may be written, what people type for it where the kind is known, and the
    grain below which two are the same."""

    name: str
    kind: str
    means: str
    grain: float
    also: tuple[str, ...]
    typed: tuple[str, ...] = ()


class UnitError(ValueError):
    """An amount that cannot be read: what is wrong, and what to write instead."""

    def __init__(self, what: str, hint: str) -> None:
        self.what, self.hint = what, hint
        super().__init__(f"{what} {hint}")


# How a point and the difference of two points of one kind belong together: point -> difference.
DIFFERENCE_OF = {
    "temperature": "temperature_difference",
    "gauge_pressure": "pressure_difference",
    "absolute_pressure": "pressure_difference",
    "date": "duration",
}

# How a unit is shown to a person where its name in the list is not what the trade writes.
SHOWN = {
    "degF": "°F", "degC": "°C", "delta_degF": "°F", "delta_degC": "°C", "inch": "in", "inHgv": "inHg vacuum",
    "inHga": "inHg absolute", "mmHga": "mmHg absolute", "kPag": "kPa gauge", "kPaa": "kPa absolute",
    "barg": "bar gauge", "bara": "bar absolute", "Paa": "Pa absolute", "uF": "µF", "Btu_per_h": "Btu/h",
    "in_per_ft": "in/ft", "percent_slope": "%", "m3_per_h": "m³/h", "L_per_s": "L/s", "cfm_per_ton": "cfm/ton",
    "oz_per_ft": "oz/ft", "g_per_m": "g/m", "Btu_per_lb": "Btu/lb", "kJ_per_kg": "kJ/kg", "lb_per_lb": "lb/lb",
    "kg_per_kg": "kg/kg", "ft3_per_lb": "ft³/lb", "m3_per_kg": "m³/kg", "ft2": "ft²", "m2": "m²", "ft3": "ft³",
    "m3": "m³", "R_value": "R", "minute": "min", "second": "s", "hour": "h", "micron_rise": "micron", "one": "",
    "percent": "%", "month_30": "months of 30 days",
}  # fmt: skip

MOST = 1e12  # no reading of the trade is so large
MOST_DIGITS = {"lb": 2}  # that a scale shows: ounces make more of them
# A number is written from its first digit that counts: 036 is a model's number and 0,5 no thousands.
NUMBER = re.compile(
    r"\s*([-+]?(?:(?:[1-9]\d{0,2}(?:,\d{3})+|0|[1-9]\d*)(?:\.\d+)?|\.\d+)(?:[eE][-+]?\d+)?)(?!\d)\s*(.*?)\s*", re.DOTALL
)


@functools.cache
def all_units() -> dict[tuple[str, str], Unit]:
    """Every unit by (kind, name), in the order of the list."""
    text = resources.files("checker.reading").joinpath("units.txt").read_text(encoding="utf-8")
    units = {}
    for line in text.splitlines():
        if line.strip() and not line.startswith("#"):
            name, kind, means, grain, also, *typed = (part.strip() for part in line.split("|"))
            units[kind, name] = Unit(name, kind, means, float(grain), _words(also), _words(*typed))
    return units


def _words(listed: str = "") -> tuple[str, ...]:
    return tuple(word.strip() for word in listed.split(",") if word.strip())


@functools.cache
def kinds() -> frozenset[str]:
    """The kinds of amounts there are; dates, words and yes-or-no facts have no unit and are not among them."""
    return frozenset(kind for kind, _ in all_units())


@functools.cache
def kind_of_unit(name: str) -> str:
    """The kind that a unit of the list is of, each of one alone; nothing for a name that is not in it."""
    return next((kind for kind, unit in all_units() if unit == name), "")


@functools.cache
def base_unit(kind: str) -> Unit:
    """The unit that amounts of a kind are kept in."""
    return next(unit for (its_kind, _), unit in all_units().items() if its_kind == kind and unit.means == "base")


@functools.cache
def find_unit(kind: str, written: str) -> Unit | None:
    """The unit of this kind that is written so, capitals, blanks and periods apart where it cannot be another; or None."""
    for unit in all_units().values():
        if unit.kind == kind and written in (unit.name, shown(unit.name), *unit.also):
            return unit
    return _by_sound(kind).get(_sound(written))


@functools.cache
def _by_sound(kind: str) -> dict[str, Unit]:
    """The units of a kind by how they are written without capitals, blanks and periods."""
    of_kind = [unit for unit in all_units().values() if unit.kind == kind]
    return {_sound(word): unit for unit in of_kind for word in (unit.name, shown(unit.name), *unit.also, *unit.typed)}


def _sound(written: str) -> str:
    return re.sub(r"[\s.]", "", written.casefold())


@functools.cache
def kinds_written(written: str) -> tuple[str, ...]:
    """The kinds that have a unit written so: `psia` is an absolute pressure and nothing else."""
    return tuple(unit.kind for unit in all_units().values() if written in (unit.name, shown(unit.name), *unit.also))


def shown(name: str) -> str:
    """How a unit is printed: `°F` for `degF`."""
    return SHOWN.get(name, name)


def to_base(number: float, unit: Unit) -> float:
    """An amount in the base unit of its kind, kept to 12 significant digits so that 0.1 + 0.2 is 0.3."""
    scale, offset = scale_and_offset(unit)
    return settled(number * scale + offset)


def from_base(amount: float, unit: Unit) -> float:
    """The number to write before `unit` for an amount held in the base unit of its kind."""
    scale, offset = scale_and_offset(unit)
    return settled((amount - offset) / scale)


def settled(number: float) -> float:
    """A float without the dust of binary arithmetic: 12 significant digits."""
    return float(f"{number:.12g}")


def grain(kind: str, unit: str) -> float:
    """The step, in the base unit, below which two amounts of a kind written in this unit are the same."""
    found = find_unit(kind, unit) or base_unit(kind)
    return float(
        f"{abs(found.grain * scale_and_offset(found)[0]):.6g}"
    )  # a step needs no more, and evidence is bound by it


def read_amount(text: str, kind: str, declared: str) -> tuple[float, Unit, str]:
    """Read `118 psig` or `42.5 °C`.

    Args:
        text: A number and a unit.
        kind: The kind of amount wanted.
        declared: The unit to name in the message where the text has none.

    Returns:
        The amount in the base unit of its kind, the unit it was written in, and the number as written.

    Raises:
        UnitError: It is not a number, the unit is missing or unknown, or it is a unit of another kind.
    """
    try:
        plain = amount_text.plain(text, kind, declared)
    except amount_text.NotOneNumber:
        raise UnitError(*_slash(text, declared)) from None
    match = NUMBER.fullmatch(plain)
    if match is None:
        raise UnitError(f"'{text}' is not a number with a unit.", f'Write it as "10 {shown(declared)}".')
    number, written = match[1].replace(",", ""), match[2]
    if written.startswith("/"):
        raise UnitError(*_slash(text, declared))
    if written.startswith((",", ".")):
        raise UnitError(
            f"'{text}' is not one number.", f'Write one number with a decimal point: "10.5 {shown(declared)}".'
        )
    if not written and kind != "number":
        raise UnitError(f"'{text}' has no unit.", f'Write "{number} {shown(declared)}".')
    if kind in amount_text.IN_DEGREES and amount_text.DEGREES.fullmatch(written):
        written = declared
    unit = find_unit(kind, written)
    if unit is None:
        raise UnitError(*_wrong_unit(written, kind, declared))
    if amount_text.is_fraction(text) and unit.name != amount_text.IN_FRACTIONS[kind]:
        raise UnitError(*_slash(text, declared))
    if abs(float(number)) > MOST:
        raise UnitError(f"'{text}' is too large to be an amount.", "Write the reading as the meter shows it.")
    return to_base(float(number), unit), unit, number


def _slash(text: str, declared: str) -> tuple[str, str]:
    what = f"'{text}' has a slash. A slash is only for fractions of an inch, such as 1-1/8."
    return what, f'Write one value, such as "10 {shown(declared)}".'


def _wrong_unit(written: str, kind: str, declared: str) -> tuple[str, str]:
    others = kinds_written(written)
    name = kind.replace("_", " ")
    if others:
        what = f"'{written}' is a unit of {others[0].replace('_', ' ')}; {name} is needed here."
        return what, f"Write it in {shown(declared)}."
    known = [spelling for unit in all_units().values() if unit.kind == kind for spelling in (unit.name, *unit.also)]
    hint = did_you_mean(written, known) or f"Use {shown(declared)}."
    return f"'{written}' is not a unit of {name}.", hint


def write_amount(amount: float, kind: str, unit: str, digits: int | None = None) -> str:
    """An amount as a person reads it: rounded half-even, without trailing noise, never by a locale.

    Args:
        amount: In the base unit of its kind.
        kind: Its kind.
        unit: The unit to write it in.
        digits: Digits after the point; None writes what is there, to four, or to the most of the unit.
    """
    found = find_unit(kind, unit) or base_unit(kind)
    number = Decimal(repr(from_base(amount, found)))
    step = Decimal(1).scaleb(-(MOST_DIGITS.get(found.name, 4) if digits is None else digits))
    rounded = number.quantize(step, rounding=ROUND_HALF_EVEN)
    text = format(abs(rounded) if rounded.is_zero() else rounded, "f")  # a zero has no sign
    if digits is None:
        text = text.rstrip("0").rstrip(".")
    label = shown(found.name)
    return f"{text} {label}" if label else text


@functools.cache
def scale_and_offset(unit: Unit) -> tuple[float, float]:
    """Base unit = number * scale + offset; a unit may stand on another of its own kind, down to the base unit."""
    if unit.means == "base":
        return 1.0, 0.0
    means, _, offset = unit.means.partition("; offset:")
    scale, _, on = means.partition("*")
    below, _ = scale_and_offset(all_units()[unit.kind, on.strip()])
    return float(scale) * below, float(offset.split()[0]) if offset else 0.0
