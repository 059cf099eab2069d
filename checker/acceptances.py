"""The authority's acceptance of a failing rule, as a job notes it.

An acceptance never changes an outcome. It stands while the evidence is the same and its last day is not past; then the
failure stops counting for the exit code. One that does not stand, or that nothing uses, is said so.
"""

from __future__ import annotations

import datetime

from checker.findings import FAIL, Acceptance, Finding
from checker.job import Job

FIELDS = ("finding_id", "evidence_digest", "accepted_by", "reference")


def with_acceptance(findings: list[Finding], job: Job, on: datetime.date) -> tuple[list[Finding], tuple[str, ...]]:
    """The findings with the acceptances they name, and a note for each acceptance that does not stand."""
    by_id = {finding.finding_id: index for index, finding in enumerate(findings)}
    notes = []
    for index, key in enumerate(job.lists.get("acceptances", ())):
        found = {field: job.text(f"acceptances.{index}.{field}") for field in FIELDS}
        at = by_id.get(found["finding_id"], -1)
        days = job.worth(f"acceptances.{index}.accepted_on"), job.worth(f"acceptances.{index}.until")
        standing = _standing(found, days, findings[at] if at >= 0 else None, on)
        until = job.readings.get(f"acceptances.{index}.until")
        if at >= 0 and findings[at].outcome == FAIL:
            acceptance = Acceptance(
                key, found["accepted_by"], found["reference"], until.written if until else "", standing
            )
            findings[at] = findings[at]._replace(acceptance=acceptance)
        if standing != "stands":
            notes.append(f"The acceptance '{key}' does not count: {standing}.")
    return findings, tuple(notes)


def _standing(found: dict[str, str], days: tuple[object, object], finding: Finding | None, on: datetime.date) -> str:
    accepted_on, until = days
    lacking = [field.replace("_", " ") for field in FIELDS if not found[field]]
    if lacking or not isinstance(until, int):
        return f"it lacks {', '.join([*lacking, *([] if isinstance(until, int) else ['a last day'])])}"
    if finding is None:
        return "it names no finding of this job"
    if finding.outcome != FAIL:
        return "the rule does not fail"
    if finding.evidence_digest != found["evidence_digest"]:
        return "what it was given for has changed since"
    if isinstance(accepted_on, int) and on.toordinal() < accepted_on:
        return f"it was given on {datetime.date.fromordinal(accepted_on).isoformat()}, after the day looked at"
    if on.toordinal() > until:
        return f"it ended on {datetime.date.fromordinal(until).isoformat()}"
    return "stands"
