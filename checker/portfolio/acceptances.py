"""The authority's acceptances over all jobs: which run out soon, which no longer count, and which stand."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from checker.engine.checker import Checker
from checker.findings.acceptances import Accepted, accepted
from checker.findings.finding import STANDS
from checker.findings.report import DEFERRAL
from checker.problems import json_out
from checker.reading.job import Job
from checker.reporting.paragraphs import counted, paragraphs
from checker.reporting.words import noted

ACCEPTANCES_VERSION = 1


class Listed(NamedTuple):
    """An acceptance of a job, and the days left to its last day (that day is 0; negative: past; None: not known)."""

    job: str
    accepted: Accepted
    left: int | None

    @property
    def stands(self) -> bool:
        return self.accepted.standing == STANDS

    @property
    def order(self) -> tuple[bool, int, str, str]:
        return self.left is not None, self.left or 0, self.job, self.accepted.key

    def runs_out(self, near: int) -> bool:
        """Whether it stands and its last day is no more than so many days ahead."""
        return self.stands and self.left is not None and self.left <= near


def listed(checker: Checker, job: Job, on: datetime.date) -> list[Listed]:
    """The acceptances of one job as they stand on a day.

    Raises:
        ProblemsFound: The job cannot be judged.
    """
    if not job.items("acceptances"):
        return []
    findings = checker.check_job(job, on).findings
    return [
        Listed(job.id, one, None if one.last_day is None else one.last_day - on.toordinal())
        for one in accepted(findings, job, on)
    ]


def worth_a_look(acceptances: Iterable[Listed], near: int) -> bool:
    """Whether any runs out within these days, or does not count."""
    return any(not one.stands or one.runs_out(near) for one in acceptances)


class AcceptanceList(NamedTuple):
    """What was looked at: the acceptances, how many jobs, how many could not be used, the day, the days ahead, the caution."""

    listed: list[Listed]
    jobs: int
    unusable: int
    on: datetime.date
    near: int
    caution: str


def as_text(listing: AcceptanceList, width: int = 80) -> str:
    """The list for a terminal of so many columns."""
    return paragraphs(_lines(listing), width)


def _lines(listing: AcceptanceList) -> Iterator[tuple[str, int]]:
    ordered = sorted(listing.listed, key=lambda one: one.order)
    groups = {
        "Don't count: those failures count again": [one for one in ordered if not one.stands],
        f"Run out within {listing.near} days": [one for one in ordered if one.runs_out(listing.near)],
        "Stand longer": [one for one in ordered if one.stands and not one.runs_out(listing.near)],
    }
    bad = f" {listing.unusable} could not be used." if listing.unusable else ""
    yield f"Jobs checked on {listing.on.isoformat()}: {listing.jobs}. Acceptances in them: {len(ordered)}.{bad}", 0
    for heading, ones in groups.items():
        if ones:
            yield "", 0
            yield f"{heading} ({len(ones)})", 0
        for one in ones:
            yield _line(one), 2
    yield "", 0
    yield listing.caution, 0
    yield DEFERRAL, 0


def _line(listed: Listed) -> str:
    acceptance = listed.accepted
    whose = ", ".join(
        filter(
            None, (acceptance.office, acceptance.reference, f"through {acceptance.until}" if acceptance.until else "")
        )
    )
    stands = "" if listed.stands else f"; it does not count: {acceptance.standing}"
    former = f"; given under the rule's former name {acceptance.former}" if acceptance.former else ""
    return noted(
        f"{_left(listed.left)}: {listed.job}, '{acceptance.key}' [{acceptance.rule or 'no rule named'}]: {whose}{former}{stands}"
    )


def _left(left: int | None) -> str:
    if left is None:
        return "no last day"
    if left < 0:
        return f"ended {counted(-left, 'day')} ago"
    return f"{counted(left, 'day')} left" if left else "today is the last day"


def as_json(listing: AcceptanceList) -> str:
    """The list as one JSON document; `days_left` is negative where the last day is past, null where it is not known."""
    document = {
        "acceptances_version": ACCEPTANCES_VERSION,
        "deferral": DEFERRAL,
        "on": listing.on.isoformat(),
        "expiring_in": listing.near,
        "jobs": listing.jobs,
        "unusable": listing.unusable,
        "acceptances": [
            {
                "job": one.job,
                "key": one.accepted.key,
                "rule": one.accepted.rule,
                "former_name": one.accepted.former,
                "office": one.accepted.office,
                "reference": one.accepted.reference,
                "until": one.accepted.until,
                "days_left": one.left,
                "standing": one.accepted.standing,
            }
            for one in sorted(listing.listed, key=lambda one: one.order)
        ],
    }
    return json_out.document(document)
