"""Calibrations that run out, over all jobs. An instrument goes from job to job: the latest day recorded counts."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from checker.ir.kleene import NONE
from checker.portfolio.obligations import Item, JobView
from checker.portfolio.recorded_days import Days, days, recorded


class Tool(NamedTuple):
    """An instrument as jobs tell it apart."""

    key: str
    reads: str
    model: str

    @property
    def name(self) -> str:
        return f"'{self.key}', " + " ".join(filter(None, (self.reads.replace("_", " "), self.model)))


class Calibrations:
    """What jobs record of the calibration of each instrument. Two of the same name, kind and model count as one."""

    def __init__(self, on: int, near: int) -> None:
        self.on, self.near = on, near
        self.latest: dict[Tool, tuple[Days, Item]] = {}
        self.unknown: dict[Tool, Item] = {}

    def add(self, view: JobView) -> None:
        """Take in the instruments of one job."""
        job = view.job
        for index, key in enumerate(job.lists.get(job.at("instruments"), ())):
            kind, model = (job.text(job.at(role, index)) for role in ("instruments.kind", "instruments.model"))
            tool = Tool(key, kind, model)
            path = job.at("instruments.calibration_due", index)
            due = days(job, path)
            last = due.last if due and due.known else None
            item = view.item("instruments", tool.name, last, due.written if due else f"day {recorded(job, path)}")
            if due is None and job.value(path) != NONE:
                self.unknown[tool] = item
            elif due and (tool not in self.latest or self.latest[tool][0].last < due.last):
                self.latest[tool] = due, item

    def items(self) -> Iterator[Item]:
        """Return instruments whose calibration is overdue, due within the given days, or undated."""
        yield from (item for due, item in self.latest.values() if due.first <= self.on + self.near)
        yield from (item for tool, item in self.unknown.items() if tool not in self.latest)
