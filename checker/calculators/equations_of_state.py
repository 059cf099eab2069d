"""Saturation of every refrigerant that CoolProp knows, asked of CoolProp itself. Its door for what is computed singly.

CoolProp takes a second or two to load, so it is imported when a refrigerant is asked about and not before. Judging reads
the curves that CoolProp made for it (`checker.trade.saturation`); both agree within the 0.01 °F that those curves state.
"""

from __future__ import annotations

import functools
import re
import string
from collections.abc import Callable, Iterator, Mapping
from typing import Any, NamedTuple

from checker.problems.problem import did_you_mean
from checker.reading import units
from checker.trade import saturation
from checker.trade.function import OutOfRange

QUALITY = {"bubble": 0, "dew": 1}
PSI = 6894.757293168361  # Pa
AGREES = 1e-4  # of a pressure: what 0.006 °F makes of it
INSTALL = "Install it: pip install 'coolprop==8.0.*'"
DESIGNATION = re.compile(r"R-?C?\d.*")  # how a designation begins
BLEND = re.compile(r"R[45]\d\d[A-Za-z]*")
OWN = {"R1224YDZ": "R-1224yd(Z)"}  # the one that CoolProp writes in capitals alone
LOOSE = re.compile(r"[-_ ]")


class Point(NamedTuple):
    """A saturation temperature (°F) or pressure (psia), and how it came about where CoolProp did not give it itself."""

    value: float
    note: str = ""


def designation(text: str) -> str:
    """The designation of a refrigerant, such as `R-410A`, as a person may write it: `r410a`, `propane`.

    Raises:
        units.UnitError: CoolProp does not know it, or is not there to be asked.
    """
    known = _known()
    if (both := known.get(_plain(text))) is not None:
        return both[0]
    names = sorted({name for name, _ in known.values()})
    number = "R-" + "".join(filter(str.isdigit, text))
    usual = [name for name in saturation.refrigerants() if name.rstrip(string.ascii_letters) == number]
    hint = did_you_mean(number, usual) or did_you_mean(text, names)
    raise units.UnitError(f"CoolProp knows no refrigerant '{text}'.", hint or "Write its number, as in R-32 or R-410A.")


def made_by() -> str:
    """What gives the answers, such as `CoolProp 8.0.0`."""
    return f"CoolProp {_coolprop().get_global_param_string('version')}"


def saturation_temperature(refrigerant: str, which: str, pressure: float) -> Point:
    """The `bubble` or `dew` temperature (°F) at an absolute pressure (psia).

    The answer counts where CoolProp gives the same pressure back from it. Where it does not and judging has a curve, the
    curve gives the answer.

    Raises:
        OutOfRange: There is no such point, or CoolProp does not find it.
    """
    fluid = _fluid(refrigerant)
    kelvin = _asked("T", "P", pressure * PSI, which, fluid)
    again = _asked("P", "T", kelvin, which, fluid) if kelvin is not None else None
    if kelvin is not None and again is not None and abs(again / (pressure * PSI) - 1) < AGREES:
        return Point(_inside(refrigerant, kelvin))
    highest = _limit("pcrit", fluid)
    if highest is not None and pressure * PSI > highest:
        raise OutOfRange(
            f"{refrigerant} has no {which} point at {pressure:.4g} psia: its critical pressure is {highest / PSI:.4g} psia"
        )
    at = f"{pressure:.4g} psia"
    return _of_curve(refrigerant, which, at, lambda curve: saturation.temperature_at(curve, pressure))


def saturation_pressure(refrigerant: str, which: str, temperature: float) -> Point:
    """The `bubble` or `dew` pressure (psia) at a temperature (°F); as `saturation_temperature`."""
    fluid, kelvin = _fluid(refrigerant), (temperature + 459.67) / 1.8
    highest = _limit("Tcrit", fluid)
    if highest is not None and kelvin > highest:
        raise OutOfRange(
            f"{refrigerant} has no {which} point at {temperature:.4g} °F: its critical temperature is "
            f"{_fahrenheit(highest):.4g} °F"
        )
    _inside(refrigerant, kelvin)
    pascals = _asked("P", "T", kelvin, which, fluid)
    if pascals is not None:
        return Point(pascals / PSI)
    at = f"{temperature:.4g} °F"
    return _of_curve(refrigerant, which, at, lambda curve: saturation.pressure_at(curve, temperature))


def _coolprop() -> Any:
    """CoolProp, loaded.

    Raises:
        units.UnitError: It is not installed, or does not load.
    """
    try:
        import CoolProp.CoolProp
    except ImportError as error:
        raise units.UnitError(f"CoolProp, which knows the refrigerants, cannot be loaded: {error}.", INSTALL) from None
    return CoolProp.CoolProp


@functools.cache
def _known() -> Mapping[str, tuple[str, str]]:
    """Our designation and CoolProp's own name of each refrigerant, by every way that either is written.

    A pure or pseudo-pure model goes before a mixture of the same name: it finds an answer at every pressure.
    """
    by_writing: dict[str, tuple[str, str]] = {}
    for names, fluid in (*_fluids(), *_mixtures()):
        name = _designation(names)
        for written in (name, *names):
            by_writing.setdefault(_plain(written), (name, fluid))
    return by_writing


def _fluids() -> Iterator[tuple[list[str], str]]:
    """Every fluid that is a refrigerant by one of its names, with all its names."""
    library = _coolprop()
    for fluid in library.get_global_param_string("FluidsList").split(","):
        names = [fluid, *library.get_fluid_param_string(fluid, "aliases").split(",")]
        if any(DESIGNATION.fullmatch(name) for name in names):
            yield [name for name in names if len(name) > 1], fluid


def _mixtures() -> Iterator[tuple[list[str], str]]:
    """Every blend, with its name."""
    for fluid in _coolprop().get_global_param_string("predefined_mixtures").split(","):
        if fluid.endswith(".mix") and DESIGNATION.fullmatch(fluid):
            yield [fluid.removesuffix(".mix")], fluid


def _designation(names: list[str]) -> str:
    """The designation as ASHRAE 34 writes it: R-134a, R-410A, R-1234ze(E)."""
    numbers = [name for name in names if DESIGNATION.fullmatch(name)]
    best = max(numbers, key=lambda name: ("(" in name, sum(map(str.islower, name))))
    best = best.upper() if BLEND.fullmatch(best) else best
    return OWN.get(best, "R-" + best.removeprefix("R").removeprefix("-"))


def _plain(text: str) -> str:
    """A name without what people write differently: case, hyphens, spaces."""
    return LOOSE.sub("", text).casefold()


def _fluid(refrigerant: str) -> str:
    return _known()[_plain(refrigerant)][1]


def _asked(wanted: str, of: str, amount: float, which: str, fluid: str) -> float | None:
    """One saturated property in SI units; None where CoolProp finds no solution.

    Raises:
        OutOfRange: It has no model of how the parts of a blend mix.
    """
    try:
        return float(_coolprop().PropsSI(wanted, of, amount, "Q", QUALITY[which], fluid))
    except ValueError as error:
        if "binary pair" in str(error):
            name = fluid.removesuffix(".mix").replace("R", "R-", 1)
            raise OutOfRange(f"{made_by()} knows the parts of {name} and has no model of their mixture") from None
        return None


@functools.cache
def _limit(which: str, fluid: str) -> float | None:
    """`Tmin`, `Tcrit` or `pcrit` of a model in SI units; None for a mixture, of which CoolProp does not give them quickly."""
    if fluid.endswith(".mix"):
        return None
    try:
        return float(_coolprop().PropsSI(which, fluid))
    except ValueError:
        return None


def _inside(refrigerant: str, kelvin: float) -> float:
    """A temperature in °F.

    Raises:
        OutOfRange: It is below where the model of the refrigerant begins.
    """
    lowest = _limit("Tmin", _fluid(refrigerant))
    if lowest is not None and kelvin < lowest:
        raise OutOfRange(
            f"a saturation temperature of {_fahrenheit(kelvin):.4g} °F is below {_fahrenheit(lowest):.4g} °F, where the "
            f"model of {refrigerant} begins ({made_by()})"
        )
    return _fahrenheit(kelvin)


def _fahrenheit(kelvin: float) -> float:
    return kelvin * 1.8 - 459.67


def _of_curve(refrigerant: str, which: str, at: str, read: Callable[[saturation.Curve], float]) -> Point:
    """The answer of the curve that judging reads, where CoolProp finds none.

    Raises:
        OutOfRange: There is no such curve, or it does not reach so far.
    """
    silent = f"{made_by()} finds no {which} point of {refrigerant} at {at}"
    try:
        value = read(saturation.curve(refrigerant, which))
    except OutOfRange:
        raise OutOfRange(silent) from None
    return Point(value, f"Interpolated: {silent}, so the answer lies on a curve through the points around it.")
