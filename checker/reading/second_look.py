"""What somebody should look at once more: readings far from usual, and readings that cannot all be right.

A reading that is only far from usual changes no verdict. Of readings that contradict each other one at least is wrong: they
are doubted, and no rule passes by them. What cannot be at all is refused where it is read (`fact_reader`).
"""

from __future__ import annotations

import datetime
import itertools
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from checker.ir.kleene import Range
from checker.reading import units
from checker.reading.added_up import Recorded, recorded, sum_of
from checker.reading.fact_reader import HAIR, Reading
from checker.reading.fact_shapes import ANY_AMOUNT, Leaf, pattern
from checker.reading.job import Job, noted_photographs

LOOK_AGAIN = "Look again: "


class Look(NamedTuple):
    """What to look at again, and the full paths of the readings that cannot all be right."""

    why: str
    doubted: tuple[str, ...] = ()

    @property
    def said(self) -> str:
        """The same as a sentence."""
        return f"{LOOK_AGAIN}{self.why}."


def second_look(job: Job, on: datetime.date) -> Iterator[Look]:
    """What to look at again in a job.

    Args:
        job: The job as read.
        on: The day of the check. A day that comes after it is told of, unless the schema says that it may lie ahead.
    """
    day = on.toordinal()
    for path, reading in job.readings.items():
        leaf = None if reading.value.__class__ in (str, bool) else job.vocabulary.leaf(path)
        if leaf is not None:
            yield from _alone(leaf, reading, day)
    yield from _photographs(job, day)
    orders, sums = job.vocabulary.schema.get("orders", ()), job.vocabulary.schema.get("sums", ())
    wanted = {fact for one in orders for fact in (one["lower"], one["upper"])}
    found = recorded(job.readings, wanted.union(*((one["whole"], *one["parts"]) for one in sums)))
    for order in orders:
        yield from _in_order(job, order, found)
    for one in sums:
        yield from _added_up(job, one, found)
    for path in job.lists:
        yield from _clock(job, path)


def _photographs(job: Job, on: int) -> Iterator[Look]:
    """A sentence for each photograph that was taken before the first day of the job, or after the last."""
    days = [ends for path in job.vocabulary.commands.get("photographed_within", ()) for ends in _days(job, path)]
    for at, one in enumerate(noted_photographs(job) if days else ()):
        for day in _days(job, job.at("photographs.taken", at))[:1]:
            side = "before the first" if day < min(days) else "after the last" if max(days) < day <= on else ""
            if side:
                yield Look(f"the photograph {one.key} was taken on {_iso(day)}, {side} day of this job")


def _days(job: Job, path: str) -> tuple[float, ...]:
    """The first and the last day that a date may be; nothing where none is recorded."""
    reading = job.readings.get(path)
    return (_ends(reading) or ()) if reading else ()


def _iso(day: float) -> str:
    return datetime.date.fromordinal(int(day)).isoformat()


def doubts(looks: Iterable[Look]) -> dict[str, str]:
    """The readings that are doubted, by full path, each with why."""
    found: dict[str, str] = {}
    for look in looks:
        for path in look.doubted:
            found.setdefault(path, look.why)
    return found


def _alone(leaf: Leaf, reading: Reading, on: int) -> Iterator[Look]:
    if leaf.form == "date":
        ends = _ends(reading)
        if ends and ends[0] > on and not leaf.ahead:
            yield Look(f"{leaf.title}, {reading.written}, is after the day of this check")
    elif leaf.bounds is not ANY_AMOUNT and isinstance(reading.value, float):
        why = far_from_usual(leaf, reading.value)
        if why:
            yield Look(f"{leaf.title}, {reading.written}. {why}")


def far_from_usual(leaf: Leaf, amount: float) -> str:
    """What is usual, where an amount is not; else nothing."""
    low, high = leaf.bounds.usual_lowest, leaf.bounds.usual_highest
    if low <= amount <= high:
        return ""
    return f"{' to '.join(units.write_amount(end, leaf.kind, leaf.unit) for end in (low, high))} is usual"


def _in_order(job: Job, order: Mapping[str, Any], found: Recorded) -> Iterator[Look]:
    """What is wrong with two readings of which the one is never more, or never later, than the other."""
    lowers, uppers = found.get(order["lower"], {}), found.get(order["upper"], {})
    leaf = job.vocabulary.leaf(order["lower"])
    for positions in filter(uppers.__contains__, lowers) if leaf else ():
        lower, upper = lowers[positions], uppers[positions]
        ends, others = _ends(job.readings[lower]), _ends(job.readings[upper])
        past = ends[0] - others[1] if ends and others else 0.0
        if past > 0 and leaf:
            is_past = "is after" if leaf.form == "date" else "is more than"
            why = f"{_named(job, lower)} {is_past} {_named(job, upper)}"
            sure = not order.get("usual") and past > _within(leaf, order)
            yield Look(why, (lower, upper) if sure else ())


def _added_up(job: Job, one: Mapping[str, Any], found: Recorded) -> Iterator[Look]:
    """What is wrong with a reading that is not the sum of its parts."""
    wholes, parts = found.get(one["whole"], {}), [found.get(part, {}) for part in one["parts"]]
    leaf = job.vocabulary.leaf(one["whole"])
    for positions in wholes if leaf else ():
        if any(positions not in part for part in parts):
            continue
        whole, paths = wholes[positions], [part[positions] for part in parts]
        value, amount = job.value(whole), sum_of(one, [job.readings[path] for path in paths])
        if leaf and isinstance(value, float) and amount is not None and abs(value - amount) > _within(leaf, one):
            added = " and ".join(_named(job, path) for path in paths)
            yield Look(f"{_named(job, whole)} is not {added} together", (whole, *paths))


def _clock(job: Job, path: str) -> Iterator[Look]:
    """What is to be looked at where a reading was taken before the one above it. Judging goes by the clock all the same."""
    entry = job.vocabulary.lists.get(pattern(path))
    if entry is None or not entry.clock:
        return
    at = [f"{path}.{number}.{entry.clock}" for number in range(len(job.lists[path]))]
    timed = [(value, one) for one in at if isinstance(value := job.value(one), float)]
    for (earlier, above), (later, below) in itertools.pairwise(timed):
        if later < earlier:
            yield Look(f"{entry.title}: {job.readings[below].written} stands below {job.readings[above].written}")
            return


def _within(leaf: Leaf, one: Mapping[str, Any]) -> float:
    """How far readings of two instruments may be apart, in the base unit of the kind."""
    unit = units.find_unit(leaf.kind, leaf.unit)
    if unit is None or "within" not in one:
        return 0.0
    return abs(units.to_base(one["within"], unit) - units.to_base(0.0, unit)) * (1 + HAIR)


def _named(job: Job, path: str) -> str:
    return f"{job.vocabulary.title(path)} ({job.readings[path].written})"


def _ends(reading: Reading) -> tuple[float, float] | None:
    """The least and the most that a reading may be; nothing where it is no amount and no day."""
    value = reading.value
    if isinstance(value, Range):
        return value.low, value.high
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return None
    return value, value
