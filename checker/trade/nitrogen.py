"""Nitrogen shut up in a tight system: the pressure to expect once the temperature has changed.

At 500 psig the ideal law misses 30 °F of warming by 2.6 psi, more than a small leak shows, so nitrogen is taken as the
real gas it is: p = T q (1 + B q + C q² + D q³), with p in psia, T in °R, q the moles in a volume as ideal-gas psi per °R,
and B, C, D powers of 500/T. The coefficients are data that CoolProp made, within 0.002 psi of it.
"""

from __future__ import annotations

import functools
from typing import NamedTuple

from checker.trade.data_files import data_file
from checker.trade.function import Definition, OutOfRange, rule_function
from checker.trade.sums import total

ZERO = 459.67  # °R at 0 °F
HIGHEST_START = 700.0  # psig: above any test pressure of this trade
TEMPERATURE = "nitrogen at {temperature:.4g} °F is outside {coldest:g} to {hottest:g} °F"
PRESSURE = "nitrogen at {pressure:.4g} psia is above {highest:g} psia"
SERVES = (
    (
        f"0 <= start <= {HIGHEST_START:g}",
        f"a test pressure of {{start:.4g}} psig is outside 0 to {HIGHEST_START:g} psig",
    ),
    ("5 <= atmosphere <= 20", "an atmosphere of {atmosphere:.4g} psia is outside 5 to 20 psia"),
)


class Gas(NamedTuple):
    """Virial coefficients of a gas (B, C and D in powers of 500/T), and where they were fitted (°F, psia)."""

    powers: tuple[tuple[float, ...], ...]
    coldest: float
    hottest: float
    highest: float


@rule_function(
    "gauge_pressure", ["gauge_pressure +", "temperature -", "temperature +", "absolute_pressure"],
    Definition(
        "gas",
        "p = T q (1 + B q + C q^2 + D q^3) with the coefficients of the file; q from the start by q <- q p/p(q), twelve times",
        {"file": "nitrogen.json", "cold": TEMPERATURE, "high": PRESSURE}, SERVES,
    ),
    "CoolProp 8.0 equation of state of nitrogen, fitted within 0.002 psi",
)  # fmt: skip
def nitrogen_expected_pressure(
    start: float, start_temperature: float, end_temperature: float, atmosphere: float
) -> float:
    """Gauge pressure that a tight system of nitrogen shows after its temperature has changed.

    The tubing is taken as rigid. Copper that warms with the gas gives it about 0.03 % more room in 10 °F, so the true
    pressure at 500 psig lies about 0.15 psi lower for 10 °F of warming, and higher for cooling.

    Args:
        start: psig, 0 to 700.
        start_temperature, end_temperature: Of the gas, °F, -20 to 150.
        atmosphere: psia, where the gauge stands.

    Returns:
        psig.

    Raises:
        OutOfRange: Outside those ranges, or an atmosphere that is none.

    Source: CoolProp 8.0 (equation of state of Span and others, 2000), constant density.
    """
    if not 0 <= start <= HIGHEST_START:
        raise OutOfRange(f"a test pressure of {start:.4g} psig is outside 0 to {HIGHEST_START:g} psig")
    if not 5 <= atmosphere <= 20:
        raise OutOfRange(f"an atmosphere of {atmosphere:.4g} psia is outside 5 to 20 psia")
    moles = _moles(start + atmosphere, _rankine(start_temperature))
    return _within(_pressure(moles, _rankine(end_temperature))) - atmosphere


@functools.cache
def _gas() -> Gas:
    data = data_file("nitrogen.json")
    coldest, hottest = data["temperatures"]
    return Gas(tuple(tuple(data[name]) for name in "BCD"), coldest, hottest, data["highest_pressure"])


def _rankine(temperature: float) -> float:
    gas = _gas()
    if not gas.coldest <= temperature <= gas.hottest:
        raise OutOfRange(TEMPERATURE.format(temperature=temperature, coldest=gas.coldest, hottest=gas.hottest))
    return temperature + ZERO


def _within(pressure: float) -> float:
    if pressure > _gas().highest:
        raise OutOfRange(PRESSURE.format(pressure=pressure, highest=_gas().highest))
    return pressure


def _pressure(moles: float, rankine: float) -> float:
    b, c, d = (total(x * (500 / rankine) ** i for i, x in enumerate(powers)) for powers in _gas().powers)
    return rankine * moles * (1 + moles * (b + moles * (c + moles * d)))


def _moles(pressure: float, rankine: float) -> float:
    """Density at a pressure: nearly ideal, so each step leaves a hundredth of the error of the one before."""
    moles = pressure / rankine
    for _ in range(12):
        moles *= pressure / _pressure(moles, rankine)
    return moles
