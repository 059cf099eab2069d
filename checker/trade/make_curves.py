"""Make the files under `data/` from CoolProp. The door of CoolProp: judging never comes here.

`python -m checker.trade.make_curves` writes the files again; a test makes them again and compares. Where CoolProp's
mixture model finds no solution, the curve goes from the last point that answers to the next, and the gap is written down.
"""

from __future__ import annotations

import json
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
    "R-454A": "R454A.mix",
    "R-454B": "R454B.mix",
    "R-454C": "R454C.mix",
    "R-457A": "R457A.mix",
}
QUALITY = {"bubble": 0, "dew": 1}
LOWEST, HIGHEST, STEP, PROBE = -60.0, 150.0, 3.0, 0.1  # °F
PSI = 6894.757293168361


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


def pressure(fluid: str, curve: str, temperature: float) -> float | None:
    """Saturation pressure in psia at a temperature in °F, or None where CoolProp finds no solution."""
    try:
        return float(PropsSI("P", "T", kelvin(temperature), "Q", QUALITY[curve], fluid)) / PSI
    except ValueError:
        return None


def gaps(fluid: str, curve: str) -> list[list[float]]:
    """The stretches of temperature, to PROBE, in which CoolProp finds no solution; those within STEP are one."""
    stretches: list[list[float]] = []
    for step in range(round((HIGHEST - LOWEST) / PROBE) + 1):
        temperature = round(LOWEST + step * PROBE, 6)
        if pressure(fluid, curve, temperature) is not None:
            continue
        low, high = round(temperature - PROBE, 6), round(temperature + PROBE, 6)
        if stretches and low - stretches[-1][1] < STEP:
            stretches[-1][1] = high
        else:
            stretches.append([low, high])
    return stretches


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


def saturation() -> dict[str, Any]:
    """Everything the file holds."""
    curves = {
        name: {curve: {"fluid": fluid, "gaps": gaps(fluid, curve), "points": points(fluid, curve)} for curve in QUALITY}
        for name, fluid in FLUIDS.items()
    }
    return {
        "made_by": f"CoolProp {CoolProp.__version__}",
        "form": "cubic Hermite pieces of ln(pressure in psia) over temperature in °F: [temperature, ln pressure, slope]",
        "curves": curves,
    }


# Nitrogen: the pressures and temperatures of the fit, and how many powers of 500/T stand in B, C and D.
TEMPERATURES, PRESSURES = np.arange(-20.0, 151.0, 10.0), np.arange(5.0, 851.0, 15.0)  # °F, psia
TERMS = (4, 3, 1)
GAS_CONSTANT = 8.31446261815324  # J/(mol K)


def nitrogen() -> dict[str, Any]:
    """Virial coefficients fitted by least squares in pressure, and the greatest miss of the fit in psi."""
    states = np.array([_nitrogen_state(float(t), float(p)) for t in TEMPERATURES for p in PRESSURES])
    rankine, q, pressures = states.T
    powers = [q**order * (500 / rankine) ** i for order, terms in enumerate(TERMS, 1) for i in range(terms)]
    terms = np.array(powers).T * (rankine * q)[:, None]
    fitted, *_ = np.linalg.lstsq(terms, pressures - rankine * q, rcond=None)
    miss = float(np.abs(rankine * q + terms @ fitted - pressures).max())
    b, c, d = np.split(fitted, np.cumsum(TERMS)[:-1])
    return {
        "made_by": f"CoolProp {CoolProp.__version__}",
        "fluid": "Nitrogen",
        "form": "p = T q (1 + B q + C q^2 + D q^3), p in psia, T in °R, B = b0 + b1 (500/T) + b2 (500/T)^2 + ..., C, D alike",
        "temperatures": [float(TEMPERATURES[0]), float(TEMPERATURES[-1])],
        "highest_pressure": float(PRESSURES[-1]),
        "greatest_miss": round(miss, 6),
        **{name: [round(float(x), 12) for x in terms_of] for name, terms_of in zip("BCD", (b, c, d), strict=True)},
    }


def _nitrogen_state(temperature: float, psia: float) -> tuple[float, float, float]:
    """Temperature in °R, density as the ideal-gas psi per °R of so many moles, pressure in psia."""
    density = PropsSI("Dmolar", "T", kelvin(temperature), "P", psia * PSI, "Nitrogen")
    return temperature + 459.67, density * GAS_CONSTANT / 1.8 / PSI, psia


# Enthalpy: dew points and superheats of the grid of vapour, °F; and the state that it is counted from.
DEW_POINTS = np.arange(-60.0, 101.0, 5.0)
SUPERHEATS = (0.0, 5.0, 10.0, 15.0, 20.0, 30.0, 40.0, 60.0, 80.0, 100.0, 120.0)
ZERO, AT_ZERO = 32.0, 200_000.0  # °F, J/kg
BTU_PER_LB = 2326.0  # J/kg


def heat(fluid: str, **at: float) -> float | None:
    """Enthalpy in Btu/lb at a state in SI units, saturated liquid at 0 °C being 200 kJ/kg; None where CoolProp is silent."""
    (one, its), (other, of_it) = at.items()
    try:
        zero = PropsSI("H", "T", kelvin(ZERO), "Q", 0, fluid)
        return float(PropsSI("H", one, its, other, of_it, fluid) - zero + AT_ZERO) / BTU_PER_LB
    except ValueError:
        return None


def dome(fluid: str, curve: str) -> list[list[float]]:
    """[°F, Btu/lb] of the saturated liquid or vapour at each node that answers."""
    asked = [float(t) for t in np.arange(LOWEST, HIGHEST + STEP / 2, STEP)]
    return [[t, round(h, 4)] for t in asked if (h := heat(fluid, T=kelvin(t), Q=QUALITY[curve])) is not None]


def grid(fluid: str) -> tuple[list[list[Any]], list[float]]:
    """[dew point, Btu/lb at each superheat] for each dew point that answers throughout, and the dew points that do not."""
    rows, silent = [], []
    for dew_point in (float(t) for t in DEW_POINTS):
        row = _grid_row(fluid, dew_point)
        if None in row:
            silent.append(dew_point)
        else:
            rows.append([dew_point, [round(h, 4) for h in row if h is not None]])
    return rows, silent


def _grid_row(fluid: str, dew_point: float) -> list[float | None]:
    psia = pressure(fluid, "dew", dew_point)
    if psia is None:
        return [None]
    saturated = heat(fluid, T=kelvin(dew_point), Q=1)
    return [saturated, *(heat(fluid, T=kelvin(dew_point + over), P=psia * PSI) for over in SUPERHEATS[1:])]


def enthalpy() -> dict[str, Any]:
    """Everything that the file of enthalpies holds."""
    refrigerants = {}
    for name, fluid in FLUIDS.items():
        rows, silent = grid(fluid)
        sides = {curve: {"gaps": gaps(fluid, curve), "points": dome(fluid, curve)} for curve in QUALITY}
        refrigerants[name] = {"fluid": fluid, **sides, "silent_dew_points": silent, "vapor": rows}
    return {
        "made_by": f"CoolProp {CoolProp.__version__}",
        "counted_from": "saturated liquid at 0 °C is 200 kJ/kg",
        "form": "bubble, dew: [°F, Btu/lb]; vapor: [dew point in °F, [Btu/lb at each superheat in °F]]; cubics of four nodes",
        "superheats": list(SUPERHEATS),
        "refrigerants": refrigerants,
    }


def text(data: dict[str, Any]) -> str:
    """A file as it is written."""
    return json.dumps(data, separators=(",", ":"), ensure_ascii=False).replace('"points"', '\n"points"') + "\n"


if __name__ == "__main__":
    folder = resources.files("checker.trade") / "data"
    for name, made in (("saturation", saturation()), ("nitrogen", nitrogen()), ("enthalpy", enthalpy())):
        (folder / f"{name}.json").write_text(text(made), encoding="utf-8")  # type: ignore[attr-defined]
