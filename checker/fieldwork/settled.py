"""What an answer settled: the findings that it closed, and what is to be looked at again."""

from __future__ import annotations

from collections.abc import Collection
from typing import NamedTuple

from checker.fieldwork.open_readings import good, holding_back
from checker.findings.finding import Finding
from checker.findings.report import Report
from checker.ir.outcomes import AGAIN, FAIL, PASS, VERIFY
from checker.reading.vocabulary import Vocabulary


class Settled(NamedTuple):
    """What an answer settled: findings that failed or passed by it, those whose reading should be looked at again, how
    many rules turned out not to apply, and what is now to be said of the job as a whole.

    `passed` are only those of whose readings no rule is open; `holding_back` are the rules for which others wait."""

    failed: tuple[Finding, ...]
    passed: tuple[Finding, ...]
    holding_back: tuple[Finding, ...]
    again: tuple[Finding, ...]
    dropped: int
    notes: tuple[str, ...]


def settled(before: Report, after: Report, recorded: Collection[str], vocabulary: Vocabulary) -> Settled:
    """What became of findings between two reports of one job, of which these facts are recorded."""
    was = {finding.finding_id: finding for finding in before.findings}
    new = [f for f in after.findings if f.finding_id not in was or was[f.finding_id].outcome != f.outcome]
    again = [
        finding
        for finding in after.with_outcome(VERIFY)
        if finding.reason in AGAIN
        and (finding.finding_id not in was or was[finding.finding_id].reason != finding.reason)
        and all(need.fact in recorded for need in finding.needs)
    ]
    gone = {finding.rule for finding in before.findings} - {finding.rule for finding in after.findings}
    were_good = {finding.finding_id for finding in good(before, vocabulary)}
    return Settled(
        tuple(finding for finding in new if finding.outcome == FAIL),
        tuple(finding for finding in good(after, vocabulary) if finding.finding_id not in were_good),
        holding_back([finding for finding in new if finding.outcome == PASS], after, vocabulary),
        tuple(again),
        len(gone),
        tuple(note for note in after.notes if note not in before.notes),
    )
