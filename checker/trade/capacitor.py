"""The lowest and highest capacitance that a run capacitor's printed tolerance allows."""

from __future__ import annotations

from checker.trade.function import OutOfRange, formula, rule_function

PRINTED = "arithmetic of the printed tolerance"
SERVES = (
    ("rated > 0", "a capacitor of {rated:g} µF is not above zero"),
    ("0 <= tolerance < 1", "a tolerance of {100 * tolerance:g} % is not between 0 and 100 %"),
)


@rule_function("capacitance", ["capacitance +", "number -"], formula("rated * (1 - tolerance)", *SERVES), PRINTED)
def capacitor_lowest(rated: float, tolerance: float) -> float:
    """The lowest capacitance within a printed tolerance.

    Args:
        rated: Printed capacitance, µF.
        tolerance: Printed tolerance as a share of one (0.06 is 6 %).

    Returns:
        µF.

    Raises:
        OutOfRange: A capacitance not above zero, or a tolerance below 0 or not below 1.
    """
    return _rated(rated) * (1 - _tolerance(tolerance))


@rule_function("capacitance", ["capacitance +", "number +"], formula("rated * (1 + tolerance)", *SERVES), PRINTED)
def capacitor_highest(rated: float, tolerance: float) -> float:
    """The highest capacitance within a printed tolerance, µF; arguments and errors as `capacitor_lowest`."""
    return _rated(rated) * (1 + _tolerance(tolerance))


def _rated(rated: float) -> float:
    if rated <= 0:
        raise OutOfRange(f"a capacitor of {rated:g} µF is not above zero")
    return rated


def _tolerance(tolerance: float) -> float:
    if not 0 <= tolerance < 1:
        raise OutOfRange(f"a tolerance of {100 * tolerance:g} % is not between 0 and 100 %")
    return tolerance
