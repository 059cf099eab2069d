"""The authority's acceptance of a failing rule, as a job notes it.

An acceptance never changes an outcome. It stands while the evidence is the same and its last day is not past, and where
the rule is one that the office may let off; then the failure stops counting for the exit code. One that does not stand,
or that nothing uses, is said so.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from typing import NamedTuple

from checker.findings.finding import STANDS, Acceptance, Finding, finding_id
from checker.ir.kleene import Evaluated
from checker.ir.outcomes import FAIL
from checker.reading.job import Job

FIELDS = ("rule", "finding_id", "evidence_digest", "accepted_by", "reference")
DAYS = {"accepted_on": "a day on which it was given", "until": "a last day"}


class Accepted(NamedTuple):
    """An acceptance of a job: what it says, its last day as written and as a number, and how it stands.

    `at` is the position of the finding that it names (-1: none), `former` the id under which it names the rule, where
    that is one the rule no longer has.
    """

    key: str
    rule: str
    office: str
    reference: str
    until: str
    last_day: int | None
    at: int
    former: str
    standing: str


def accepted(findings: Sequence[Finding], job: Job, on: datetime.date) -> list[Accepted]:
    """Every acceptance of a job with how it stands on a day."""
    keys = job.lists.get(job.at("acceptances"), ())
    places = _places(findings, job) if keys else {}
    return [_accepted(index, key, places, findings, job, on) for index, key in enumerate(keys)]


def with_acceptance(findings: list[Finding], job: Job, on: datetime.date) -> tuple[list[Finding], tuple[str, ...]]:
    """The findings with the acceptances they name, and a note for each acceptance that does not stand or was renamed."""
    notes = []
    for one in accepted(findings, job, on):
        if one.at >= 0 and findings[one.at].outcome == FAIL and not findings[one.at].accepted:
            shown = Acceptance(one.key, one.office, one.reference, one.until, one.standing)
            findings[one.at] = findings[one.at]._replace(acceptance=shown)
        if one.standing != STANDS:
            notes.append(f"The acceptance '{one.key}' does not count: {one.standing}.")
        if one.former:
            rule = findings[one.at].rule
            notes.append(
                f"The acceptance '{one.key}' was given under the rule's former name, {one.former}; now {rule}."
            )
    return findings, tuple(notes)


def _places(findings: Sequence[Finding], job: Job) -> dict[str, tuple[int, str]]:
    """Where each finding stands, by its id and by the ids it had under the former names of its rule."""
    found: dict[str, tuple[int, str]] = {}
    for at, finding in enumerate(findings):
        for former in finding.formerly:
            found.setdefault(finding_id(job.id, former, finding.item), (at, former))
    return found | {finding.finding_id: (at, "") for at, finding in enumerate(findings)}


def _accepted(
    index: int, key: str, places: dict[str, tuple[int, str]], findings: Sequence[Finding], job: Job, on: datetime.date
) -> Accepted:
    at, former = places.get(_text(job, index, "finding_id"), (-1, ""))
    ends = job.at("acceptances.until", index)
    until, last = job.readings.get(ends), job.value(ends)
    standing = _lacking(index, job) or _unfit(index, job, findings[at] if at >= 0 else None) or _by_day(index, job, on)
    return Accepted(
        key,
        _text(job, index, "rule"),
        _text(job, index, "accepted_by"),
        _text(job, index, "reference"),
        until.written if until else "",
        last if isinstance(last, int) else None,
        at,
        former,
        standing or STANDS,
    )


def _text(job: Job, index: int, field: str) -> str:
    return job.text(job.at(f"acceptances.{field}", index))


def _lacking(index: int, job: Job) -> str:
    lacking = [field.replace("_", " ") for field in FIELDS if not _text(job, index, field)]
    lacking += [said for field, said in DAYS.items() if not isinstance(_day(job, index, field), int)]
    return f"it lacks {', '.join(lacking)}" if lacking else ""


def _day(job: Job, index: int, field: str) -> Evaluated | None:
    return job.value(job.at(f"acceptances.{field}", index))


def _unfit(index: int, job: Job, finding: Finding | None) -> str:
    """Why an acceptance cannot be of what it names, whatever the day."""
    if finding is None:
        return "it names no finding of this job"
    rule = _text(job, index, "rule")
    if rule not in (finding.rule, *finding.formerly):
        return f"it names the rule {rule}, and a finding of {finding.rule}"
    if finding.outcome != FAIL:
        return "the rule does not fail"
    if finding.acceptable_by == "none":
        return "no office can accept this one"
    if finding.acceptable_by == "state" and _text(job, index, "office_level") != "state":
        return "only a state office can accept this one, and it doesn't say that one did"
    if finding.evidence_digest != _text(job, index, "evidence_digest"):
        return "what it was given for has changed since"
    return ""


def _by_day(index: int, job: Job, on: datetime.date) -> str:
    given, until = (_day(job, index, field) for field in DAYS)
    assert isinstance(given, int)
    assert isinstance(until, int)
    if on.toordinal() < given:
        return f"it was given on {datetime.date.fromordinal(given).isoformat()}, after the day of this check"
    if on.toordinal() > until:
        return f"its last day was {datetime.date.fromordinal(until).isoformat()}"
    return ""
