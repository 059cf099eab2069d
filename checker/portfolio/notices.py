"""Inspections as a job records them: what each notice said, which came first, and what is still open of it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from checker.ir.kleene import NONE
from checker.portfolio.recorded_days import Days, days, recorded
from checker.reading.job import Job

PASSED, CORRECTIONS, NOT_READY = "passed", "corrections", "not_ready"


class Correction(NamedTuple):
    """One correction in the notice's own words. `rule` is empty where none is named; `unnamed` may say why."""

    key: str
    words: str
    rule: str
    unnamed: str


class Inspection(NamedTuple):
    """One inspection. `corrections` is None where the job does not say what the notice asked for; `due` is the day by
    which they have to be put right, where the notice gives one."""

    key: str
    days: Days | None
    written: str
    trade: str
    result: str
    corrections: tuple[Correction, ...] | None
    due: Days | None = None

    @property
    def told(self) -> bool:
        """Whether the job says what this notice said of the work."""
        return bool(self.corrections) or self.result == PASSED

    @property
    def named(self) -> frozenset[str]:
        """The rules that its corrections name."""
        return frozenset(one.rule for one in self.corrections or () if one.rule)

    @property
    def called(self) -> str:
        """How a person calls it: trade and day."""
        return f"{self.trade or 'trade not known'} {self.written}"


def inspections(job: Job) -> tuple[Inspection, ...]:
    """The inspections of a job, as they stand there."""
    return tuple(_inspection(job, index) for index in job.items("inspections"))


def _inspection(job: Job, index: int) -> Inspection:
    keys = job.lists.get(job.at("inspections.corrections", index))
    listed = None if keys is None else tuple(_correction(job, index, i, key) for i, key in enumerate(keys))
    day = job.at("inspections.date", index)
    return Inspection(
        job.lists[job.at("inspections")][index],
        days(job, day),
        recorded(job, day),
        job.text(job.at("inspections.trade", index)),
        job.text(job.at("inspections.result", index)),
        listed,
        days(job, job.at("inspections.correct_by", index)),
    )


def _correction(job: Job, inspection: int, index: int, key: str) -> Correction:
    named = job.at("inspections.corrections.rule", inspection, index)
    rule, none = job.text(named), job.value(named) == NONE
    unnamed = "" if rule else job.readings[named].written if none else ""
    words = job.text(job.at("inspections.corrections.words", inspection, index))
    return Correction(key, words or "(words not recorded)", rule, unnamed)


def passes_after(inspection: Inspection, others: Iterable[Inspection]) -> tuple[list[Inspection], list[Inspection]]:
    """The passed inspections of its trade that surely came after an inspection, and those that may have."""
    surely, perhaps = [], []
    for other in others:
        if other.result != PASSED or (other.trade and inspection.trade and other.trade != inspection.trade):
            continue
        if inspection.trade and inspection.trade == other.trade and _before(inspection, other):
            surely.append(other)
        elif other is not inspection and not _before(other, inspection):
            perhaps.append(other)
    return surely, perhaps


def still_open(seen: tuple[Inspection, ...]) -> list[tuple[Inspection, list[Inspection]]]:
    """The inspections whose corrections no passed inspection surely followed, each with those that may have."""
    asked = [one for one in seen if one.result != PASSED and (one.corrections or one.result)]
    pairs = [(one, passes_after(one, seen)) for one in asked]
    return [(one, perhaps) for one, (surely, perhaps) in pairs if not surely]


class First(NamedTuple):
    """The first inspection of a trade: whether it passed, and its month; `unknown` says why it cannot be told."""

    trade: str
    passed: bool
    month: str
    unknown: str


def firsts(seen: tuple[Inspection, ...]) -> list[First]:
    """The first inspection of each trade. Where the days leave the order open, it is told if all that could be it agree."""
    trades = list(dict.fromkeys(one.trade for one in seen))
    return [_first(trade, seen) for trade in trades]


def _first(trade: str, seen: tuple[Inspection, ...]) -> First:
    if not trade:
        return First(trade, False, "", "the trade is not known")
    of_trade = [one for one in seen if one.trade == trade]
    could_be_of_it = [one for one in seen if one.trade in (trade, "")]
    could_be = [one for one in could_be_of_it if not any(_before(other, one) for other in of_trade)]
    results = {one.result == PASSED for one in could_be}
    if any(not one.result for one in could_be):
        return First(trade, False, "", "the result is not known")
    if len(results) > 1:
        return First(trade, False, "", "which inspection was the first is not known")
    months = {one.days.month if one.days else "" for one in could_be}
    return First(trade, results.pop(), months.pop() if len(months) == 1 else "", "")


def _before(inspection: Inspection, other: Inspection) -> bool:
    return inspection.days is not None and other.days is not None and inspection.days.before(other.days)
