"""A day as Americans write it: 9/14/2026, 9-14-26, Sep 14 2026, 2026-9-14; 04/2026 and 2019 are some day in it."""

from __future__ import annotations

import calendar
import datetime
import re
from typing import Any

from checker.reading.fact_reader import LeafError

IN_NUMBERS = re.compile(r"(\d{1,2})([/.-])(\d{1,2})\2(\d{4}|\d\d)")
YEAR_FIRST = re.compile(r"(\d{4})[/.-](\d{1,2})[/.-](\d{1,2})")
MONTH_NAMED = re.compile(r"([a-z]{3,9})\.?\s+(\d{1,2})(?:st|nd|rd|th)?,?\s+(\d{4})", re.IGNORECASE)
DAY_FIRST = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?[\s-]+([a-z]{3,9})\.?,?[\s-]+(\d{4})", re.IGNORECASE)
OF_A_MONTH = re.compile(r"(\d{1,2})[/-](\d{4})|(\d{4})[/-](\d{1,2})|([a-z]{3,9})\.?,?\s+(\d{4})", re.IGNORECASE)
OF_A_YEAR = re.compile(r"(?:19|20)\d\d")
NO_YEAR = re.compile(r"\d{1,2}[/.-]\d{1,2}|[a-z]{3,9}\.?\s+\d{1,2}(?:st|nd|rd|th)?", re.IGNORECASE)
MONTHS = [name.casefold() for name in calendar.month_name]
PIVOT = 70  # two digits of a year: 26 is 2026, 98 is 1998


def day(text: str) -> Any:
    """A day as a job holds it, or two days between which it is; a text that is no day stays as it is.

    Raises:
        LeafError: It may mean several days, or there is no such day.
    """
    text = text.strip()
    if found := YEAR_FIRST.fullmatch(text):
        return _iso(text, *map(int, found.groups()))
    if found := MONTH_NAMED.fullmatch(text):
        return _iso(text, int(found[3]), _month(found[1]), int(found[2]))
    if found := DAY_FIRST.fullmatch(text):
        return _iso(text, int(found[3]), _month(found[2]), int(found[1]))
    if found := IN_NUMBERS.fullmatch(text):
        return _in_numbers(text, int(found[1]), int(found[3]), _year(found[4]))
    if found := OF_A_MONTH.fullmatch(text):
        month = _month(found[5]) if found[5] else int(found[1] or found[4])
        return _all_of(text, int(found[2] or found[3] or found[6]), month)
    if OF_A_YEAR.fullmatch(text):
        return {"between": [f"{text}-01-01", f"{text}-12-31"]}
    if NO_YEAR.fullmatch(text):
        raise LeafError(f"'{text}' does not say which year, or which day.", "Write it as 9/14/2026, or as 9/2026.")
    return text


def between(first: str, last: str) -> Any:
    """Some day from one to another: the first of what the one may be, to the last of what the other may be."""
    low, high = day(first), day(last)
    low = low["between"][0] if isinstance(low, dict) else low
    high = high["between"][1] if isinstance(high, dict) else high
    return {"between": [low, high]}


def _in_numbers(text: str, month: int, number: int, year: int) -> str:
    """Month first. Day first only where it cannot be otherwise, and then it is asked.

    Raises:
        LeafError: Only the day can stand first, or there is no such day.
    """
    if month > 12 >= number:
        meant = datetime.date(year, number, month) if month <= calendar.monthrange(year, number)[1] else None
        if meant:
            raise LeafError(
                f"'{text}': is {meant.day} {meant:%B %Y} meant?", f"The month comes first: {number}/{month}/{year}."
            )
    return _iso(text, year, month, number)


def _iso(text: str, year: int, month: int, number: int) -> str:
    try:
        return datetime.date(year, month, number).isoformat()
    except ValueError:
        raise LeafError(f"There is no day '{text}'.", "Write it as month/day/year, such as 9/14/2026.") from None


def _all_of(text: str, year: int, month: int) -> dict[str, list[str]]:
    first = _iso(text, year, month, 1)
    return {"between": [first, f"{first[:8]}{calendar.monthrange(year, month)[1]:02}"]}


def _month(name: str) -> int:
    """The month that a name, or three letters and more of it, means; 0 for none."""
    word = name.casefold()
    return next((number for number, month in enumerate(MONTHS) if number and month.startswith(word)), 0)


def _year(written: str) -> int:
    return int(written) if len(written) == 4 else int(written) + (2000 if int(written) < PIVOT else 1900)
