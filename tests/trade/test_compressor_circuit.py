"""Currents of a compressor's circuit against published nameplates, and against the codes' percentages."""

from __future__ import annotations

import pytest
from nec_tables import RATINGS, RATINGS_2023

from checker.trade.compressor_circuit import (
    compressor_current,
    disconnect_minimum,
    first_overcurrent,
    maximum_overcurrent,
    minimum_circuit_ampacity,
)
from checker.trade.function import OutOfRange

# Published nameplates of two single-phase 208/230 V series: (compressor, other motors, ampacity, maximum device).
PLATES_THAT_FOLLOW_THE_FORMULA = [
    (7.6, 2.5, 12.0, 15),
    (12.4, 2.7, 18.2, 30),
    (18.0, 4.2, 26.7, 40),
    (20.4, 5.4, 30.9, 50),
    (26.4, 7.1, 40.1, 60),
    (17.6, 1.5, 23.5, 40),
    (23.6, 1.5, 31.0, 50),
]
# Three plates of the same series print less than the formula allows: the plate governs.
# (compressor, other motors, ampacity, printed maximum device, device by the formula)
PLATES_BELOW_THE_FORMULA = [(32.1, 8.9, 49.0, 60, 80), (30.8, 1.5, 40.0, 60, 70), (14.4, 3.4, 21.8, 30, 35)]

# Arithmetic by hand: (compressor, others, ampacity, maximum device, device at 175 %, disconnect).
BY_HAND = [
    (14.2, 0.8, 18.55, 30, 25, 17.25),
    (16.7, 1.1, 21.975, 35, 30, 20.47),
    (24.1, 1.4, 31.525, 50, 40, 29.325),
    (5.0, 0.4, 6.65, 15, 15, 6.21),
]


@pytest.mark.parametrize(("compressor", "others", "ampacity", "device"), PLATES_THAT_FOLLOW_THE_FORMULA)
def test_published_nameplates(compressor: float, others: float, ampacity: float, device: float) -> None:
    """Source: two makers' published electrical tables; a printed ampacity is rounded to 0.1 A."""
    assert ampacity == pytest.approx(minimum_circuit_ampacity(compressor, others), abs=0.05)
    assert device == maximum_overcurrent(compressor, others, RATINGS)


@pytest.mark.parametrize(("compressor", "others", "ampacity", "printed", "formula"), PLATES_BELOW_THE_FORMULA)
def test_a_nameplate_may_print_less_than_the_formula(
    compressor: float, others: float, ampacity: float, printed: float, formula: float
) -> None:
    """Source: the same tables. One of them prints 0.4 A more ampacity than the formula: a plate is not recomputed."""
    assert ampacity == pytest.approx(minimum_circuit_ampacity(compressor, others), abs=0.41)
    assert formula == maximum_overcurrent(compressor, others, RATINGS)
    assert printed < formula


@pytest.mark.parametrize(("compressor", "others", "ampacity", "device", "first", "disconnect"), BY_HAND)
def test_percentages_by_hand(
    compressor: float, others: float, ampacity: float, device: float, first: float, disconnect: float
) -> None:
    """Source: NEC 440.32, 440.33, 440.22(A), 440.12 percentages, multiplied by hand."""
    assert ampacity == pytest.approx(minimum_circuit_ampacity(compressor, others))
    assert device == maximum_overcurrent(compressor, others, RATINGS)
    assert first == first_overcurrent(compressor, others, RATINGS)
    assert disconnect == pytest.approx(disconnect_minimum(compressor, others))


def test_a_single_compressor_of_forty_amperes_at_175_percent() -> None:
    """Source: a published code quiz, 40 A x 1.75 = 70 A, a standard size."""
    assert 70 == first_overcurrent(40, 0, RATINGS)


def test_the_greater_marked_current_counts() -> None:
    """Source: NEC 440.6(A), from memory."""
    assert 40 == compressor_current(36, 40) == compressor_current(40, 36)


def test_a_small_compressor_is_not_asked_for_less_than_fifteen_amperes() -> None:
    """Source: NEC 440.22(A); also where 10 A is a standard rating."""
    assert 15 == maximum_overcurrent(2, 0.2, RATINGS) == maximum_overcurrent(2, 0.2, RATINGS_2023)


def test_the_device_is_never_under_the_minimum_circuit_ampacity() -> None:
    """Others alone, 51 A: 51.5 A down is 50, under the ampacity of 51.3, so 60. By the listing method, by hand."""
    assert 60 == maximum_overcurrent(0.2, 51.05, RATINGS)


@pytest.mark.parametrize("work", [minimum_circuit_ampacity, disconnect_minimum, compressor_current])
def test_a_current_below_zero_is_refused(work: object) -> None:
    with pytest.raises(OutOfRange, match="below zero"):
        work(-1, 2)  # type: ignore[operator]
