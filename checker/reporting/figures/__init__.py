"""Pictures of a report: one for a finding, in the form its rule asks for, and one of the refrigerant cycle of a job.

Each is an `<svg>` element to stand in a page, with a title and a description that holds every number of it. Whoever shows
one gives its place a width; the picture fills it.
"""

from __future__ import annotations

from checker.findings.finding import Finding
from checker.ir.digests import digest
from checker.reading.job import Job
from checker.reporting.figures import decay_curve, expected_against_read, refrigerant_cycle, size_ladder, target_band
from checker.reporting.figures.canvas import Figure

__all__ = ["Figure", "cycle", "figures"]

DRAWN = {
    "decay_curve": decay_curve.figure,
    "size_ladder": size_ladder.figure,
    "target_band": target_band.figure,
    "expected_against_read": expected_against_read.figure,
}


def figures(finding: Finding, job: Job) -> Figure | None:
    """The picture of a finding; None where its rule asks for none, or the job lacks what it would show."""
    draw = DRAWN.get(finding.picture)
    return draw(finding, job, f"p{finding.finding_id[:8]}") if draw else None


def cycle(job: Job) -> Figure | None:
    """The refrigerant cycle of a job; None where a reading is missing, in heating, or without elevation or barometer."""
    return refrigerant_cycle.figure(job, f"c{digest(job.id)[:8]}")
