"""Electric heat circuits against published heat tables."""

from __future__ import annotations

import pytest
from nec_tables import RATINGS

from checker.trade.function import OutOfRange
from checker.trade.heat_kit import heat_circuit_ampacity, heat_kit_current, heat_kit_power
from checker.trade.overcurrent import standard_at_least


@pytest.mark.parametrize(
    ("power", "voltage", "blower", "ampacity", "device"),
    [
        (9600, 240, 3.0, 53.75, 60),  # a published worked example (trade newsletter)
        (5000, 240, 0.7, 26.9, 30),  # the rest: a maker's published heat table
        (8000, 240, 0.7, 42.5, 45),
        (10000, 240, 0.65, 52.9, 60),
        (5000, 240, 0.0, 26.0, 30),  # the second circuit of a 15 kW kit, no blower on it
    ],
)
def test_published_heat_circuits(power: float, voltage: float, blower: float, ampacity: float, device: float) -> None:
    found = heat_circuit_ampacity(power, voltage, blower)
    assert ampacity == pytest.approx(found, abs=0.06)  # printed to 0.1 A
    assert device == standard_at_least(found, RATINGS)


@pytest.mark.parametrize(
    ("rated", "blower", "power", "ampacity", "device"),
    [(10000, 0.65, 7510, 45.9, 50), (5000, 0.7, 3760, 23.4, 25)],
)
def test_a_240_volt_kit_on_208_volts(rated: float, blower: float, power: float, ampacity: float, device: float) -> None:
    """Source: the same maker's table (prints 7.5 kW and 45.9 A for the first)."""
    left = heat_kit_power(rated, 240, 208)
    assert power == pytest.approx(left, abs=6)
    assert ampacity == pytest.approx(heat_circuit_ampacity(left, 208, blower), abs=0.1)
    assert device == standard_at_least(heat_circuit_ampacity(left, 208, blower), RATINGS)


@pytest.mark.parametrize(("power", "printed"), [(10000, 41.7), (15000, 62.5), (20000, 83.4)])
def test_published_load_currents(power: float, printed: float) -> None:
    """Source: another maker's nameplate table, at 240 V; it prints 83.4 for 83.33."""
    assert printed == pytest.approx(heat_kit_current(power, 240), abs=0.08)


def test_a_kit_on_its_rated_voltage_keeps_its_power() -> None:
    assert 9600 == heat_kit_power(9600, 240, 240)


@pytest.mark.parametrize("given", [(-1, 240, 240), (5000, 0, 240), (5000, 240, 0)])
def test_power_needs_real_amounts(given: tuple[float, float, float]) -> None:
    with pytest.raises(OutOfRange):
        heat_kit_power(*given)


@pytest.mark.parametrize("given", [(-1, 240, 0), (5000, 0, 0), (5000, 240, -1)])
def test_ampacity_needs_real_amounts(given: tuple[float, float, float]) -> None:
    with pytest.raises(OutOfRange):
        heat_circuit_ampacity(*given)
