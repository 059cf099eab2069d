"""Days as a job records them: known, known between two, or not known; nothing is guessed."""

from __future__ import annotations

import datetime
from typing import NamedTuple

from checker.ir.kleene import NONE, Range
from checker.reading.job import Job


class Days(NamedTuple):
    """The first and last day that a recorded date can be, as day numbers; the same where it is known."""

    first: int
    last: int

    @property
    def known(self) -> bool:
        return self.first == self.last

    def before(self, other: Days) -> bool:
        """Whether it is surely before another."""
        return self.last < other.first

    @property
    def written(self) -> str:
        first, last = written(self.first), written(self.last)
        return first if self.known else f"between {first} and {last}"

    @property
    def month(self) -> str:
        """Year and month, or nothing where the days lie in more than one."""
        first, last = written(self.first)[:7], written(self.last)[:7]
        return first if first == last else ""


def days(job: Job, path: str) -> Days | None:
    """The days that a date of a job can be; None where none is recorded."""
    value = job.value(path)
    if isinstance(value, Range):
        return Days(int(value.low), int(value.high))
    return Days(value, value) if isinstance(value, int) and not isinstance(value, bool) else None


def recorded(job: Job, path: str) -> str:
    """A date in words: the day; the two days that it lies between; or why it is not known."""
    day = days(job, path)
    if day:
        return day.written
    if job.value(path) == NONE:
        return job.readings[path].written
    return missing(job, path)


def missing(job: Job, path: str) -> str:
    """That a fact is not known and why, or that it is not recorded."""
    return f"not known ({job.not_known[path]})" if path in job.not_known else "not recorded"


def written(day: int) -> str:
    return datetime.date.fromordinal(day).isoformat()
