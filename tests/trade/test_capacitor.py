"""Capacitor limits against hand-worked figures."""

from __future__ import annotations

import pytest

from checker.trade.capacitor import capacitor_highest, capacitor_lowest
from checker.trade.function import OutOfRange


@pytest.mark.parametrize(
    ("rated", "tolerance", "lowest", "highest"), [(45, 0.06, 42.3, 47.7), (7.5, 0.06, 7.05, 7.95), (35, 0, 35, 35)]
)
def test_capacitor_limits(rated: float, tolerance: float, lowest: float, highest: float) -> None:
    """Source: arithmetic by hand; 7.05 µF is also quoted in a trade forum."""
    assert lowest == pytest.approx(capacitor_lowest(rated, tolerance))
    assert highest == pytest.approx(capacitor_highest(rated, tolerance))


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(OutOfRange, match="not above zero"):
        capacitor_lowest(0, 0.06)
    with pytest.raises(OutOfRange, match="tolerance"):
        capacitor_highest(45, 6)
