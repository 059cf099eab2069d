"""What is owed over an archive of jobs on a day: goes through them one at a time and keeps lines only."""

from __future__ import annotations

import datetime

from checker.engine.checker import Checker
from checker.findings.report import Report
from checker.portfolio.calibrations import Calibrations
from checker.portfolio.follow_ups import acceptances, again, records
from checker.portfolio.known_fixes import fixes
from checker.portfolio.notice_rules import of_place
from checker.portfolio.obligations import Item, JobView, owed_to_authority
from checker.reading.job import Job


class Owing:
    """What is owed on a day.

    Args:
        near: How many days ahead a permit, an acceptance or a calibration that runs out is told of.
    """

    def __init__(self, checker: Checker, on: datetime.date, near: int) -> None:
        self.checker, self.on, self.near = checker, on, near
        self.jobs = 0
        self._items: list[Item] = []
        self._calibrations = Calibrations(on.toordinal(), near)

    def add(self, job: Job) -> Report:
        """Take in one job; its report on the day is handed back.

        Raises:
            ProblemsFound: The job cannot be judged; then nothing of it is kept.
        """
        report = self.checker.check_job(job, self.on)
        view, chain = JobView(job, self.on.toordinal(), self.near), self.checker.chain_of(job)
        owed = [
            *owed_to_authority(view, fixes(report, lambda: of_place(chain, self.checker.vocabulary))),
            *acceptances(view, report),
            *again(view, chain),
            *records(view, report),
        ]
        self.jobs += 1
        self._items += owed
        self._calibrations.add(view)
        return report

    def items(self) -> list[Item]:
        """Everything owed, by kind, the first due first."""
        return sorted([*self._items, *self._calibrations.items()], key=lambda item: item.order)
