"""Days between dates and working days. Weekdays are those of a printed calendar of 2026 (1 January is a Thursday)."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checker.trade.calendar_days import days_between, months_after, next_weekday, next_working_day
from checker.trade.function import OutOfRange

# United States federal holidays of 2026 by 5 U.S.C. 6103 (from memory); 4 July is a Saturday, kept on the Friday.
HOLIDAYS_2026 = tuple(
    date(2026, month, day).toordinal()
    for month, day in [
        (1, 1), (1, 19), (2, 16), (5, 25), (6, 19), (7, 3), (9, 7), (10, 12), (11, 11), (11, 26), (12, 25),
    ]
)  # fmt: skip
days = st.dates(date(2026, 1, 1), date(2026, 12, 30)).map(date.toordinal)


def on(text: str) -> int:
    return date.fromisoformat(text).toordinal()


@pytest.mark.parametrize(
    ("first", "last", "expected"),
    [
        ("2026-03-01", "2026-03-01", 0),
        ("2026-02-28", "2026-03-01", 1),
        ("2024-02-28", "2024-03-01", 2),  # a leap year
        ("2026-01-01", "2027-01-01", 365),
        ("2026-03-07", "2026-03-09", 2),  # clocks change on the 8th; a calendar day stays a day
        ("2026-03-02", "2026-03-01", -1),
    ],
)
def test_days_between(first: str, last: str, expected: int) -> None:
    """Counted on the calendar."""
    assert expected * 24 * 60 == days_between(on(first), on(last))


@pytest.mark.parametrize(
    ("day", "expected"),
    [
        ("2026-06-09", "2026-06-10"),  # Tuesday
        ("2026-06-12", "2026-06-15"),  # Friday
        ("2026-06-13", "2026-06-15"),  # Saturday
        ("2026-06-14", "2026-06-15"),  # Sunday
        ("2026-06-18", "2026-06-22"),  # the holiday is a Friday: on to Monday
        ("2026-07-02", "2026-07-06"),
        ("2026-09-04", "2026-09-08"),  # a Monday holiday after a weekend
        ("2026-11-25", "2026-11-27"),
    ],
)
def test_the_next_working_day(day: str, expected: str) -> None:
    """Read from the calendar of 2026 and the holidays above."""
    assert on(expected) == next_working_day(on(day), HOLIDAYS_2026)


def test_a_year_without_listed_holidays_is_not_guessed() -> None:
    with pytest.raises(OutOfRange, match="no holidays are listed for 2027"):
        next_working_day(on("2026-12-31"), HOLIDAYS_2026)
    with pytest.raises(OutOfRange, match="no holidays are listed for 2025"):
        next_working_day(on("2025-06-10"), HOLIDAYS_2026)


def test_no_holidays_at_all_is_not_taken_for_an_office_that_never_closes() -> None:
    with pytest.raises(OutOfRange, match="no holidays are listed for 2026"):
        next_working_day(on("2026-06-10"), ())


def test_the_end_of_the_calendar_is_an_answer_not_a_crash() -> None:
    with pytest.raises(OutOfRange, match="outside the calendar"):
        next_working_day(date.max.toordinal(), (date.max.toordinal(),))


@pytest.mark.parametrize(
    ("day", "months", "expected"),
    [
        ("2026-08-31", 3, "2026-11-30"), ("2026-11-30", 3, "2027-02-28"), ("2027-11-30", 3, "2028-02-29"),
        ("2026-01-15", 12, "2027-01-15"), ("2026-01-15", 0, "2026-01-15"), ("2026-03-31", -1, "2026-02-28"),
        ("2026-01-31", 1.9, "2026-02-28"), ("2024-02-29", 48, "2028-02-29"), ("2024-02-29", 12, "2025-02-28"),
    ],
)  # fmt: skip
def test_months_after(day: str, months: float, expected: str) -> None:
    """By hand, from a calendar; 2024 and 2028 are leap years."""
    assert on(expected) == months_after(on(day), months)


@pytest.mark.parametrize("months", [100_000, -100_000, float("inf"), float("-inf"), float("nan")])
def test_months_beyond_the_calendar_are_refused(months: float) -> None:
    with pytest.raises(OutOfRange):
        months_after(on("2026-01-15"), months)


@given(days, days, st.integers(0, 60), st.integers(0, 60))
def test_months_after_never_falls_with_its_day_or_its_months(one: int, other: int, few: int, more: int) -> None:
    low, high = sorted([one, other])
    assert months_after(low, min(few, more)) <= months_after(high, max(few, more))


@given(days)
def test_the_next_working_day_is_later_and_worked_and_none_is_skipped(day: int) -> None:
    found = next_working_day(day, HOLIDAYS_2026)
    worked = [d for d in range(day + 1, found + 1) if date.fromordinal(d).isoweekday() <= 5 and d not in HOLIDAYS_2026]
    assert [found] == worked


@given(days, days)
def test_a_later_day_never_has_an_earlier_next_working_day(one: int, other: int) -> None:
    low, high = sorted((one, other))
    assert next_working_day(low, HOLIDAYS_2026) <= next_working_day(high, HOLIDAYS_2026)


@pytest.mark.parametrize(
    ("day", "expected"),
    [
        ("2026-06-11", "2026-06-12"),  # Thursday
        ("2026-06-12", "2026-06-15"),  # Friday
        ("2026-06-13", "2026-06-15"),  # Saturday
        ("2026-06-14", "2026-06-15"),  # Sunday
        ("2026-07-02", "2026-07-03"),  # a holiday is a weekday all the same
    ],
)
def test_the_next_weekday(day: str, expected: str) -> None:
    """Read from the calendar of 2026."""
    assert on(expected) == next_weekday(on(day))


@given(days)
def test_no_next_working_day_is_before_the_next_weekday(day: int) -> None:
    """Holidays only ever put a working day off."""
    assert day < next_weekday(day) <= next_working_day(day, HOLIDAYS_2026)
