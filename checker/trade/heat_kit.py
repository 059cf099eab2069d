"""Electric heat on an air handler: its current, its circuit, and what is left of it on a lower voltage."""

from __future__ import annotations

from checker.trade.function import OutOfRange, formula, rule_function

HEATERS = "a heat kit of {power:g} W is below zero"
VOLTAGE = "a voltage of {voltage:g} V is not above zero"
CONTINUOUS_SHARE = 1.25  # of heaters and blower together: NEC 424.4(B), 424.3(B) before 2020 (from memory)


@rule_function(
    "current",
    ["power +", "voltage -"],
    formula("power / voltage", ("power >= 0", HEATERS), ("voltage > 0", VOLTAGE)),
    "Ohm's law",
)
def heat_kit_current(power: float, voltage: float) -> float:
    """The current of single-phase heaters.

    Args:
        power: Power of the heaters at that voltage, W.
        voltage: V.

    Returns:
        A.

    Raises:
        OutOfRange: Power below zero, or voltage not above zero.
    """
    if power < 0:
        raise OutOfRange(f"a heat kit of {power:g} W is below zero")
    return power / _voltage(voltage)


@rule_function(
    "power", ["power +", "voltage -", "voltage +"],
    formula(
        "rated_power * (supply_voltage / rated_voltage) ** 2",
        ("rated_power >= 0", HEATERS.replace("{power", "{rated_power")),
        ("supply_voltage > 0", VOLTAGE.replace("{voltage", "{supply_voltage")),
        ("rated_voltage > 0", VOLTAGE.replace("{voltage", "{rated_voltage")),
    ),
    "Ohm's law",
)  # fmt: skip
def heat_kit_power(rated_power: float, rated_voltage: float, supply_voltage: float) -> float:
    """The power of heaters on a voltage they are not rated for: it goes with the square of the voltage.

    Args:
        rated_power: W at the rated voltage.
        rated_voltage: V.
        supply_voltage: V.

    Returns:
        W.

    Raises:
        OutOfRange: Power below zero, or a voltage not above zero.

    Source: Ohm's law; a heating element's resistance is taken as unchanged.
    """
    if rated_power < 0:
        raise OutOfRange(f"a heat kit of {rated_power:g} W is below zero")
    share: float = (_voltage(supply_voltage) / _voltage(rated_voltage)) ** 2
    return rated_power * share


@rule_function(
    "current", ["power +", "voltage -", "current +"],
    formula(
        "1.25 * (power / voltage + blower)",
        ("blower >= 0", "a blower current of {blower:g} A is below zero"), ("power >= 0", HEATERS), ("voltage > 0", VOLTAGE),
    ),
    "NEC 424.4(B), 424.3(B) before 2020 (section from memory)",
)  # fmt: skip
def heat_circuit_ampacity(power: float, voltage: float, blower: float) -> float:
    """The least ampacity of a circuit that feeds heaters, with the blower if it is on the same circuit.

    Args:
        power: Power of the heaters at that voltage, W.
        voltage: V.
        blower: Current of the blower, A; 0 where another circuit feeds it.

    Returns:
        A, not rounded.

    Raises:
        OutOfRange: Power or current below zero, or voltage not above zero.

    Source: NEC 424.4(B); 424.3(B) before the 2020 edition.
    """
    if blower < 0:
        raise OutOfRange(f"a blower current of {blower:g} A is below zero")
    return CONTINUOUS_SHARE * (heat_kit_current(power, voltage) + blower)


def _voltage(voltage: float) -> float:
    if voltage <= 0:
        raise OutOfRange(f"a voltage of {voltage:g} V is not above zero")
    return voltage
