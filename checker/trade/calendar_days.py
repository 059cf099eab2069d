"""Days between dates, months on from a date, and the next day an office is open. Dates are day numbers (`date.toordinal`)."""

from __future__ import annotations

import calendar
import datetime
import math
from collections.abc import Iterable

from checker.trade.function import Definition, OutOfRange, formula, rule_function

MINUTES_A_DAY = 1440
SATURDAY = 5
UNKNOWN_YEAR = "no holidays are listed for {year}, so its working days are not known"
OUTSIDE = "the date is outside the calendar"


@rule_function("duration", ["date -", "date +"], formula("(last - first) * 1440"), "the calendar")
def days_between(first: int, last: int) -> float:
    """The time from one date to another.

    Args:
        first: Day number.
        last: Day number.

    Returns:
        Minutes, 1440 a calendar day; 0 for the same date and below zero where `last` is the earlier one.
    """
    return float((last - first) * MINUTES_A_DAY)


@rule_function(
    "date", ["date +"],
    Definition(
        "working_day", "the first day after it, Monday to Friday, that is no holiday; none in a year without holidays",
        {"table": "holidays", "unknown": UNKNOWN_YEAR, "outside": OUTSIDE},
    ),
    "the calendar; the holidays are the ruleset's", tables=("holidays",),
)  # fmt: skip
def next_working_day(day: int, holidays: Iterable[int]) -> int:
    """The first day after a date that is no Saturday, Sunday or holiday.

    Args:
        day: Day number.
        holidays: Day numbers on which the office is closed. Only years with at least one listed are known.

    Returns:
        Day number, always after `day`.

    Raises:
        OutOfRange: The search comes into a year for which no holiday is listed.
    """
    closed = frozenset(holidays)
    known_years = {datetime.date.fromordinal(holiday).year for holiday in closed}
    candidate = day + 1
    while _year(candidate) in known_years:
        if _weekday(candidate) < SATURDAY and candidate not in closed:
            return candidate
        candidate += 1
    raise OutOfRange(UNKNOWN_YEAR.format(year=_year(candidate)))


@rule_function("date", ["date +"], formula("day + 1 + min(1, max(0, day % 7 - 4)) * (7 - day % 7)"), "the calendar")
def next_weekday(day: int) -> int:
    """The first day after a date that is no Saturday or Sunday: no office's next working day is earlier.

    Args:
        day: Day number.

    Returns:
        Day number, always after `day`.
    """
    candidate = day + 1
    while _weekday(candidate) >= SATURDAY:
        candidate += 1
    return candidate


@rule_function(
    "date", ["date +", "number +"],
    Definition(
        "months_after", "the same day of the month so many whole months on, or its last day where it has no such day",
        {"outside": OUTSIDE},
    ),
    "the calendar",
)  # fmt: skip
def months_after(day: int, months: float) -> int:
    """The day so many months of the calendar after a date: 30 November is three months after 31 August.

    Args:
        day: Day number.
        months: How many; a part of a month is left out.

    Returns:
        Day number: the same day of the month, or its last day where it has no such day.

    Raises:
        OutOfRange: The day, or the one that is looked for, is not in the years 1 to 9999.
    """
    _year(day)
    if not math.isfinite(months):
        raise OutOfRange(OUTSIDE)
    date = datetime.date.fromordinal(int(day))
    year, month = divmod(date.year * 12 + date.month - 1 + math.floor(months), 12)
    if not datetime.MINYEAR <= year <= datetime.MAXYEAR:
        raise OutOfRange(OUTSIDE)
    last = calendar.monthrange(year, month + 1)[1]
    return datetime.date(year, month + 1, min(date.day, last)).toordinal()


def _year(day: int) -> int:
    if not datetime.date.min.toordinal() <= day <= datetime.date.max.toordinal():
        raise OutOfRange(OUTSIDE)
    return datetime.date.fromordinal(day).year


def _weekday(day: int) -> int:
    """Monday is 0."""
    return (day - 1) % 7
