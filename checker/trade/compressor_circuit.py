"""Currents of a circuit with one hermetic compressor, worked out from its nameplate.

A cross-check only. Where a nameplate prints a minimum circuit ampacity or a maximum fuse or breaker, the
printed value governs, and it may be lower than these formulas give.
"""

from __future__ import annotations

from collections.abc import Iterable

from checker.trade.function import OutOfRange, formula, rule_function
from checker.trade.overcurrent import RATINGS, standard_at_least, standard_at_most

CONDUCTOR_SHARE = 1.25  # of the compressor current: NEC 440.32, 440.33
LISTING_SHARE = 2.25  # of the compressor current: the listing standards' maximum
CODE_SHARE = 1.75  # of the compressor current: NEC 440.22(A), before the increase for starting
DISCONNECT_SHARE = 1.15  # of all currents together: NEC 440.12
SMALLEST_DEVICE = 15.0  # A: 440.22(A) asks for nothing smaller

DEVICE = "max(standard_at_most(max({share} * compressor + others, 15)), standard_at_least(max(1.25 * compressor + others, 15)))"
BOTH = ("current +", "current +")


def _not_below_zero(*currents: str) -> tuple[tuple[str, str], ...]:
    """Conditions that these currents are not below zero."""
    return tuple((f"{name} >= 0", f"a current of {{{name}:g}} A is below zero") for name in currents)


SERVES = _not_below_zero("compressor", "others")


@rule_function(
    "current", BOTH,
    formula(
        "max(rated_load_current, branch_selection_current)", *_not_below_zero("rated_load_current", "branch_selection_current")
    ),
    "NEC 440.6(A) (from memory)",
)  # fmt: skip
def compressor_current(rated_load_current: float, branch_selection_current: float) -> float:
    """The compressor current that everything else is counted from: the greater of the two marked, A.

    Source: NEC 440.6(A).
    """
    return max(_current(rated_load_current), _current(branch_selection_current))


@rule_function("current", BOTH, formula("1.25 * compressor + others", *SERVES), "NEC 440.32, 440.33 (checked)")
def minimum_circuit_ampacity(compressor: float, others: float) -> float:
    """The least ampacity of the circuit conductors.

    Args:
        compressor: Current of the compressor, the largest motor of the circuit, A.
        others: All other currents of the circuit together, A.

    Returns:
        A, not rounded.

    Raises:
        OutOfRange: A current below zero.

    Source: NEC 440.32, 440.33.
    """
    return CONDUCTOR_SHARE * _current(compressor) + _current(others)


@rule_function(
    "current",
    BOTH,
    formula(DEVICE.format(share="2.25"), *SERVES),
    "UL 1995 clause 36, UL 60335-2-40 (from memory)",
    tables=(RATINGS,),
)
def maximum_overcurrent(compressor: float, others: float, ratings: Iterable[float]) -> float:
    """The largest standard fuse or breaker by the listing standards: 225 % of the compressor and the others.

    Args:
        compressor: Current of the compressor, the largest motor of the circuit, A.
        others: All other currents of the circuit together, A.
        ratings: The standard ratings, A.

    Returns:
        A standard rating: the next one down, but none under the minimum circuit ampacity nor under 15 A.

    Raises:
        OutOfRange: A current below zero, or one beyond the standard ratings.

    Source: UL 1995 clause 36, carried into UL 60335-2-40 (secondary sources; other manufacturers round otherwise).
    """
    return _standard_device(LISTING_SHARE, compressor, others, tuple(ratings))


@rule_function(
    "current",
    BOTH,
    formula(DEVICE.format(share="1.75"), *SERVES),
    "NEC 440.22(A), 440.22(B)(1) (from memory)",
    tables=(RATINGS,),
)
def first_overcurrent(compressor: float, others: float, ratings: Iterable[float]) -> float:
    """The largest standard fuse or breaker at 175 % of the compressor and the others.

    It may be more where that will not carry the starting current. Arguments, result and errors are those of
    `maximum_overcurrent`.

    Source: NEC 440.22(A), 440.22(B)(1).
    """
    return _standard_device(CODE_SHARE, compressor, others, tuple(ratings))


@rule_function("current", BOTH, formula("1.15 * (compressor + others)", *SERVES), "NEC 440.12 (checked)")
def disconnect_minimum(compressor: float, others: float) -> float:
    """The least current rating of the disconnect: 115 % of all currents together, A.

    Raises:
        OutOfRange: A current below zero.

    Source: NEC 440.12(A), (B).
    """
    return DISCONNECT_SHARE * (_current(compressor) + _current(others))


def _standard_device(share: float, compressor: float, others: float, ratings: tuple[float, ...]) -> float:
    most = max(share * _current(compressor) + _current(others), SMALLEST_DEVICE)
    least = max(minimum_circuit_ampacity(compressor, others), SMALLEST_DEVICE)
    return max(standard_at_most(most, ratings), standard_at_least(least, ratings))


def _current(current: float) -> float:
    if current < 0:
        raise OutOfRange(f"a current of {current:g} A is below zero")
    return current
