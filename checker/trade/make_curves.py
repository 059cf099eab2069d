"""Make `data/saturation.json` from CoolProp. The door of CoolProp: judging a job never comes here.

`python -m checker.trade.make_curves` writes the file again; a test makes it again and compares. Where CoolProp's mixture
model finds no solution, the curve goes from the last point that answers to the next, and the gap is written down.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from importlib import resources
from typing import Any

import CoolProp
import numpy as np
from CoolProp.CoolProp import PropsSI

# Our designation → CoolProp's name. The pseudo-pure models where there is one: the mixture models of the same blends
# agree within 0.15 psi and fail at some pressures.
FLUIDS = {
    "R-22": "R22",
    "R-32": "R32",
    "R-134a": "R134a",
    "R-404A": "R404A",
    "R-407C": "R407C",
    "R-410A": "R410A",
    "R-452B": "R452B.mix",
    "R-454B": "R454B.mix",
}
QUALITY = {"bubble": 0, "dew": 1}
LOWEST, HIGHEST, STEP, PROBE = -60.0, 150.0, 3.0, 0.5  # °F
PSI = 6894.757293168361


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


def pressure(fluid: str, curve: str, temperature: float) -> float | None:
    """Saturation pressure in psia at a temperature in °F, or None where CoolProp finds no solution."""
    try:
        return float(PropsSI("P", "T", kelvin(temperature), "Q", QUALITY[curve], fluid)) / PSI
    except ValueError:
        return None


def gaps(fluid: str, curve: str) -> Iterator[tuple[float, float]]:
    """The stretches of temperature, to half a degree, in which CoolProp finds no solution."""
    low = None
    for temperature in np.arange(LOWEST, HIGHEST + PROBE, PROBE):
        fails = pressure(fluid, curve, float(temperature)) is None
        if fails and low is None:
            low = float(temperature) - PROBE
        if not fails and low is not None:
            yield low, float(temperature)
            low = None


def points(fluid: str, curve: str) -> list[list[float]]:
    """[°F, ln psia, d ln psia / d °F] at each node that answers; slopes are those of a cubic spline through them."""
    asked = np.arange(LOWEST, HIGHEST + STEP / 2, STEP)
    answered = [(float(t), p) for t in asked if (p := pressure(fluid, curve, float(t)))]
    t, y = np.array([a for a, _ in answered]), np.log([p for _, p in answered])
    return [[round(a, 6), round(b, 12), round(c, 12)] for a, b, c in zip(t, y, _slopes(t, y), strict=True)]


def _slopes(t: Any, y: Any) -> Any:
    """Slopes of the cubic spline that is not a knot at its second and last but one node."""
    n, h = len(t), np.diff(t)
    d = np.diff(y) / h
    a, b = np.zeros((n, n)), np.zeros(n)
    for i in range(1, n - 1):
        a[i, i - 1 : i + 2] = h[i], 2 * (h[i - 1] + h[i]), h[i - 1]
        b[i] = 3 * (h[i] * d[i - 1] + h[i - 1] * d[i])
    a[0, :2] = h[1], h[0] + h[1]
    b[0] = ((h[0] + 2 * (h[0] + h[1])) * h[1] * d[0] + h[0] ** 2 * d[1]) / (h[0] + h[1])
    a[-1, -2:] = h[-1] + h[-2], h[-2]
    b[-1] = (h[-1] ** 2 * d[-2] + (2 * (h[-1] + h[-2]) + h[-1]) * h[-2] * d[-1]) / (h[-1] + h[-2])
    return np.linalg.solve(a, b)


def data() -> dict[str, Any]:
    """Everything the file holds."""
    curves = {
        name: {
            curve: {"fluid": fluid, "gaps": [list(gap) for gap in gaps(fluid, curve)], "points": points(fluid, curve)}
            for curve in QUALITY
        }
        for name, fluid in FLUIDS.items()
    }
    return {
        "made_by": f"CoolProp {CoolProp.__version__}",
        "form": "cubic Hermite pieces of ln(pressure in psia) over temperature in °F: [temperature, ln pressure, slope]",
        "curves": curves,
    }


def text() -> str:
    """The file as it is written."""
    return json.dumps(data(), indent=None, separators=(",", ":")).replace('"points"', '\n"points"') + "\n"


if __name__ == "__main__":
    (resources.files("checker.trade") / "data" / "saturation.json").write_text(text(), encoding="utf-8")  # type: ignore[attr-defined]
