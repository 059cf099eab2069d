"""Saturation of refrigerants from curves that CoolProp made, kept as data with its version.

A curve is cubic Hermite pieces of ln(pressure) over temperature: between nodes t0 and t1, with s = (t − t0)/(t1 − t0),
ln p = (2s³ − 3s² + 1) y0 + (s³ − 2s² + s) h m0 + (−2s³ + 3s²) y1 + (s³ − s²) h m1. Temperature from pressure solves the
piece that the pressure lies in.
"""

from __future__ import annotations

import functools
import math
from bisect import bisect_right
from typing import NamedTuple

from checker.trade.data_files import data_file
from checker.trade.function import OutOfRange

NO_CURVE = "there is no saturation curve for {refrigerant}; there is for {known}"
OFF_CURVE = "a pressure of {pressure:.4g} psia is outside {low:.4g} to {high:.4g} psia"
SAME = 1e-9  # of a pressure: a point at the very end of a curve, written to twelve digits, is still on it


class Curve(NamedTuple):
    """One saturation curve: nodes in °F, ln psia and slopes there, and the gaps (°F) that were bridged."""

    temperatures: tuple[float, ...]
    logs: tuple[float, ...]
    slopes: tuple[float, ...]
    gaps: tuple[tuple[float, float], ...]


@functools.cache
def _curves() -> tuple[str, dict[tuple[str, str], Curve]]:
    data = data_file("saturation.json")
    curves = {}
    for name, both in data["curves"].items():
        for curve, parts in both.items():
            temperatures, logs, slopes = zip(*parts["points"], strict=True)
            curves[name, curve] = Curve(temperatures, logs, slopes, tuple((a, b) for a, b in parts["gaps"]))
    return data["made_by"], curves


def made_by() -> str:
    """What made the curves: `CoolProp 8.0.0`."""
    return _curves()[0]


def refrigerants() -> tuple[str, ...]:
    """The designations there are curves for."""
    return tuple(dict.fromkeys(name for name, _ in _curves()[1]))


def curve(refrigerant: str, which: str) -> Curve:
    """The `bubble` or `dew` curve of a refrigerant.

    Raises:
        OutOfRange: There is no curve for it.
    """
    known = _curves()[1].get((refrigerant, which))
    if known is None:
        raise OutOfRange(NO_CURVE.format(refrigerant=refrigerant, known=", ".join(refrigerants())))
    return known


def pressure_at(curve: Curve, temperature: float) -> float:
    """Saturation pressure (psia) at a temperature (°F).

    Raises:
        OutOfRange: Outside the curve.
    """
    low, high = curve.temperatures[0], curve.temperatures[-1]
    if not low <= temperature <= high:
        raise OutOfRange(f"a saturation temperature of {temperature:.4g} °F is outside {low:g} to {high:g} °F")
    piece = min(bisect_right(curve.temperatures, temperature), len(curve.temperatures) - 1) - 1
    return math.exp(_log_at(curve, piece, temperature))


def temperature_at(curve: Curve, pressure: float) -> float:
    """Saturation temperature (°F) at an absolute pressure (psia).

    Raises:
        OutOfRange: Outside the curve.
    """
    low, high = math.exp(curve.logs[0]), math.exp(curve.logs[-1])
    if not low * (1 - SAME) <= pressure <= high * (1 + SAME):
        raise OutOfRange(OFF_CURVE.format(pressure=pressure, low=low, high=high))
    wanted = min(max(math.log(pressure), curve.logs[0]), curve.logs[-1])
    piece = min(bisect_right(curve.logs, wanted), len(curve.logs) - 1) - 1
    return _solved(curve, piece, wanted)


def bridged(curve: Curve, temperature: float) -> bool:
    """Whether a temperature (°F) lies where CoolProp gave no answer and the curve was bridged."""
    return any(low < temperature < high for low, high in curve.gaps)


def _log_at(curve: Curve, piece: int, temperature: float) -> float:
    t0, t1 = curve.temperatures[piece], curve.temperatures[piece + 1]
    h = t1 - t0
    s = (temperature - t0) / h
    return (
        (2 * s**3 - 3 * s**2 + 1) * curve.logs[piece]
        + (s**3 - 2 * s**2 + s) * h * curve.slopes[piece]
        + (-2 * s**3 + 3 * s**2) * curve.logs[piece + 1]
        + (s**3 - s**2) * h * curve.slopes[piece + 1]
    )


def _solved(curve: Curve, piece: int, wanted: float) -> float:
    """Bisection with secant steps inside one piece; the curve rises throughout."""
    low, high = curve.temperatures[piece], curve.temperatures[piece + 1]
    y_low, y_high = curve.logs[piece], curve.logs[piece + 1]
    for _ in range(60):
        middle = low + (high - low) * (wanted - y_low) / (y_high - y_low) if y_high > y_low else (low + high) / 2
        y = _log_at(curve, piece, middle)
        if abs(y - wanted) < 1e-14 or high - low < 1e-12:
            return middle
        if y < wanted:
            low, y_low = middle, y
        else:
            high, y_high = middle, y
    return (low + high) / 2
