"""What somebody should look at once more: readings that are possible and far from usual, and readings that contradict each other.

These are remarks. They change no verdict. What cannot be at all is refused where it is read (`fact_reader`).
"""

from __future__ import annotations

import datetime
import re
from collections import defaultdict
from collections.abc import Iterator

from checker.ir.kleene import Range
from checker.reading import units
from checker.reading.fact_reader import Reading
from checker.reading.fact_shapes import ANY_AMOUNT, Leaf, pattern
from checker.reading.job import Job, noted_photographs

POSITION = re.compile(r"\.(\d+)(?=\.)")


def second_look(job: Job, on: datetime.date) -> Iterator[str]:
    """A sentence for each reading or pair of readings to look at again.

    Args:
        job: The job as read.
        on: The day of the check. A day that comes after it is told of, unless the schema says that it may lie ahead.
    """
    for path, reading in job.readings.items():
        leaf = job.vocabulary.leaf(path)
        if leaf is not None:
            yield from _alone(leaf, reading, on.toordinal())
    yield from _photographs(job, on.toordinal())
    orders = job.vocabulary.schema.get("orders", ())
    found = _found(job, {path for pair in orders for path in pair})
    for lower, upper in orders:
        for positions in found[lower].keys() & found[upper].keys():
            yield from _beside(job, found[lower][positions], found[upper][positions])


def _photographs(job: Job, on: int) -> Iterator[str]:
    """A sentence for each photograph that was taken before the first day of the job, or after the last."""
    days = [ends for path in job.vocabulary.commands.get("photographed_within", ()) for ends in _days(job, path)]
    for at, one in enumerate(noted_photographs(job) if days else ()):
        for day in _days(job, job.at("photographs.taken", at))[:1]:
            side = "before the first" if day < min(days) else "after the last" if max(days) < day <= on else ""
            if side:
                yield f"Look again: the photograph {one.key} was taken on {_iso(day)}, {side} day of this job."


def _days(job: Job, path: str) -> tuple[float, ...]:
    """The first and the last day that a date may be; nothing where none is recorded."""
    reading = job.readings.get(path)
    return (_ends(reading) or ()) if reading else ()


def _iso(day: float) -> str:
    return datetime.date.fromordinal(int(day)).isoformat()


def _alone(leaf: Leaf, reading: Reading, on: int) -> Iterator[str]:
    if leaf.form == "date":
        ends = _ends(reading)
        if ends and ends[0] > on and not leaf.ahead:
            yield f"Look again: {leaf.title}, {reading.written}, is after the day of this check."
    elif leaf.bounds is not ANY_AMOUNT and isinstance(reading.worth, float):
        low, high = leaf.bounds.usual_lowest, leaf.bounds.usual_highest
        if not low <= reading.worth <= high:
            usual = " to ".join(units.write_amount(end, leaf.kind, leaf.unit) for end in (low, high))
            yield f"Look again: {leaf.title}, {reading.written}. {usual} is usual."


def _found(job: Job, wanted: set[str]) -> defaultdict[str, dict[tuple[str, ...], str]]:
    """The paths at which some facts are recorded, by the fact and the positions of the items that hold it."""
    found: defaultdict[str, dict[tuple[str, ...], str]] = defaultdict(dict)
    for path in job.readings:
        fact = pattern(path)
        if fact in wanted:
            found[fact][tuple(POSITION.findall(path))] = path
    return found


def _beside(job: Job, lower: str, upper: str) -> Iterator[str]:
    first, second = job.readings[lower], job.readings[upper]
    ends, others = _ends(first), _ends(second)
    if ends and others and ends[0] > others[1]:
        leaf = job.vocabulary.leaf(lower)
        is_past = "is after" if leaf and leaf.form == "date" else "is more than"
        yield f"Look again: {_named(job, lower, first)} {is_past} {_named(job, upper, second)}."


def _named(job: Job, path: str, reading: Reading) -> str:
    return f"{job.vocabulary.title(path)} ({reading.written})"


def _ends(reading: Reading) -> tuple[float, float] | None:
    """The least and the most that a reading may be; nothing where it is no amount and no day."""
    worth = reading.worth
    if isinstance(worth, Range):
        return worth.low, worth.high
    if isinstance(worth, bool) or not isinstance(worth, (int, float)):
        return None
    return worth, worth
