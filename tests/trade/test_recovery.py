"""Levels of 40 CFR 82.156, Table 1, as printed there in inches of mercury of vacuum (checked in published copies)."""

from __future__ import annotations

from datetime import date

import pytest

from checker.reading import units
from checker.trade.function import OutOfRange
from checker.trade.recovery import PSI_PER_INCH_OF_MERCURY, recovery_level

OLDER, NEWER = date(1993, 11, 14).toordinal(), date(1993, 11, 15).toordinal()


def psig(inches_of_vacuum: float) -> float:
    unit = units.find_unit("gauge_pressure", "inHgv")
    assert unit is not None
    return units.to_base(inches_of_vacuum, unit)


@pytest.mark.parametrize(
    ("pressure_class", "charge", "older", "newer"),
    [
        ("very_high_pressure", 8, 0, 0),
        ("very_high_pressure", 500, 0, 0),
        ("high_pressure", 8, 0, 0),
        ("high_pressure", 199.99, 0, 0),
        ("high_pressure", 200, 4, 10),
        ("medium_pressure", 8, 4, 10),
        ("medium_pressure", 199.99, 4, 10),
        ("medium_pressure", 200, 4, 15),
    ],
)
def test_every_row_of_the_table(pressure_class: str, charge: float, older: float, newer: float) -> None:
    """Source: 40 CFR 82.156(a), Table 1."""
    assert psig(older) == pytest.approx(recovery_level(pressure_class, charge, OLDER), abs=1e-6)
    assert psig(newer) == pytest.approx(recovery_level(pressure_class, charge, NEWER), abs=1e-6)


def test_an_inch_of_mercury_is_that_of_the_list_of_units() -> None:
    assert PSI_PER_INCH_OF_MERCURY == pytest.approx(-psig(1), rel=1e-12)


def test_two_hundred_pounds_written_in_kilograms_is_two_hundred_pounds() -> None:
    assert psig(10) == pytest.approx(recovery_level("high_pressure", 199.9999999, NEWER), abs=1e-6)


def test_a_low_pressure_refrigerant_has_an_absolute_level() -> None:
    """Table 1 gives 25 mmHg absolute for it: not a gauge level, and not a residential split system."""
    with pytest.raises(OutOfRange, match="25 mmHg absolute"):
        recovery_level("low_pressure", 8, NEWER)


@pytest.mark.parametrize(("pressure_class", "charge"), [("highest", 8), ("high_pressure", -1)])
def test_what_is_not_in_the_table_is_refused(pressure_class: str, charge: float) -> None:
    with pytest.raises(OutOfRange):
        recovery_level(pressure_class, charge, NEWER)
