"""Enthalpy of refrigerants from tables that CoolProp made, kept as data with its version. For pictures, not for rules.

Counted so that saturated liquid at 0 °C has 200 kJ/kg (86.0 Btu/lb), for every refrigerant alike. Between the nodes of a
table stands the cubic through the four nodes nearest; where CoolProp gave no answer that cubic bridges the gap.
"""

from __future__ import annotations

import functools
from bisect import bisect_right
from collections.abc import Sequence
from typing import Any, NamedTuple

from checker.trade import saturation
from checker.trade.data_files import data_file
from checker.trade.function import OutOfRange

COUNTED_FROM = "saturated liquid at 0 °C (32 °F) being 200 kJ/kg (86.0 Btu/lb)"


class Side(NamedTuple):
    """One side of the dome: °F, Btu/lb there, and the gaps (°F) in which CoolProp gave no answer."""

    temperatures: tuple[float, ...]
    enthalpies: tuple[float, ...]
    gaps: tuple[tuple[float, float], ...]


class Table(NamedTuple):
    """Both sides of the dome, and Btu/lb of vapour by dew point (°F) and superheat (°F)."""

    sides: dict[str, Side]
    superheats: tuple[float, ...]
    dew_points: tuple[float, ...]
    vapor: tuple[tuple[float, ...], ...]


@functools.cache
def _tables() -> dict[str, Table]:
    data = data_file("enthalpy.json")
    return {name: _table(one, tuple(data["superheats"])) for name, one in data["refrigerants"].items()}


def _table(one: dict[str, Any], superheats: tuple[float, ...]) -> Table:
    dew_points, vapor = zip(*one["vapor"], strict=True)
    return Table({which: _side(one[which]) for which in ("bubble", "dew")}, superheats, dew_points, vapor)


def _side(parts: dict[str, Any]) -> Side:
    temperatures, enthalpies = zip(*parts["points"], strict=True)
    return Side(temperatures, enthalpies, tuple((low, high) for low, high in parts["gaps"]))


def _of(refrigerant: str) -> Table:
    known = _tables().get(refrigerant)
    if known is None:
        raise OutOfRange(f"there is no table of enthalpy for {refrigerant}; there is for {', '.join(_tables())}")
    return known


def saturated_enthalpy(refrigerant: str, which: str, temperature: float) -> float:
    """Enthalpy on one side of the dome.

    Args:
        refrigerant: Designation as in the vocabulary, such as `R-410A`.
        which: `bubble` for saturated liquid, `dew` for saturated vapour.
        temperature: °F, -60 to 150.

    Returns:
        Btu/lb.

    Raises:
        OutOfRange: There is no table for the refrigerant, or the temperature is outside it.

    Source: CoolProp 8.0 equations of state, quality 0 and 1.
    """
    side = _of(refrigerant).sides[which]
    low, high = side.temperatures[0], side.temperatures[-1]
    if not low <= temperature <= high:
        raise OutOfRange(f"a saturation temperature of {temperature:.4g} °F is outside {low:g} to {high:g} °F")
    return cubic(side.temperatures, side.enthalpies, temperature)


def liquid_enthalpy(refrigerant: str, temperature: float) -> float:
    """Enthalpy (Btu/lb) of liquid at a temperature (°F), taken as saturated: what more pressure changes is left out.

    That is at most 0.7 Btu/lb for 20 °F of subcooling up to 116 °F (R-410A, the most of the eight).

    Raises:
        OutOfRange: As for `saturated_enthalpy`.
    """
    return saturated_enthalpy(refrigerant, "bubble", temperature)


def vapor_enthalpy(refrigerant: str, pressure: float, temperature: float) -> float:
    """Enthalpy of saturated or superheated vapour.

    Args:
        refrigerant: Designation as in the vocabulary.
        pressure: psia; its dew point may be -60 to 100 °F.
        temperature: °F, from the dew point to 120 °F above it.

    Returns:
        Btu/lb.

    Raises:
        OutOfRange: No table for the refrigerant, a pressure outside it, a temperature below the dew point or too far above.

    Source: CoolProp 8.0 equations of state.
    """
    table = _of(refrigerant)
    dew_point = saturation.temperature_at(saturation.curve(refrigerant, "dew"), pressure)
    low, high, most = table.dew_points[0], table.dew_points[-1], table.superheats[-1]
    if not low <= dew_point <= high:
        raise OutOfRange(f"a dew point of {dew_point:.4g} °F is outside {low:g} to {high:g} °F")
    superheat = temperature - dew_point
    if not 0 <= superheat <= most:
        raise OutOfRange(f"a superheat of {superheat:.4g} °F is outside 0 to {most:g} °F")
    return cubic(table.dew_points, [cubic(table.superheats, row, superheat) for row in table.vapor], dew_point)


def bridged(refrigerant: str, which: str, temperature: float) -> bool:
    """Whether one side of the dome was bridged at a temperature (°F), CoolProp giving no answer there."""
    return any(low < temperature < high for low, high in _of(refrigerant).sides[which].gaps)


def gaps(refrigerant: str) -> tuple[tuple[float, float], ...]:
    """The stretches of temperature (°F) in which one side of the dome or the other was bridged, the lowest first."""
    joined: list[tuple[float, float]] = []
    for low, high in sorted(gap for side in _of(refrigerant).sides.values() for gap in side.gaps):
        if joined and low <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(high, joined[-1][1]))
        else:
            joined.append((low, high))
    return tuple(joined)


def span(refrigerant: str) -> tuple[float, float]:
    """The lowest and highest temperature (°F) that both sides of the dome reach.

    Raises:
        OutOfRange: There is no table for the refrigerant.
    """
    sides = _of(refrigerant).sides.values()
    return max(side.temperatures[0] for side in sides), min(side.temperatures[-1] for side in sides)


def cubic(at: Sequence[float], values: Sequence[float], wanted: float) -> float:
    """The cubic through the four nodes around a point (Lagrange), the nodes rising."""
    start = min(max(bisect_right(at, wanted) - 2, 0), len(at) - 4)
    near = range(start, start + 4)
    total = 0.0
    for i in near:
        weight = 1.0
        for j in near:
            if j != i:
                weight *= (wanted - at[j]) / (at[i] - at[j])
        total += weight * values[i]
    return total
