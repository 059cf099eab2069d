"""A baseline: what was not in order on a day, so that a later run can tell what is new.

A line a finding, known by its `finding_id` (job, rule, item) and its `evidence_digest` (what the job says of it and what the
rule asks). Neither knows of the job's file, its layout or its lines. A finding that is not the same in both, or whose outcome
is another, is new. A baseline excuses; it never changes an outcome.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from checker.findings.finding import Finding, finding_id
from checker.findings.report import DEFERRAL, Report
from checker.ir.outcomes import PASS
from checker.problems import json_out
from checker.problems.problem import ProblemsFound, Where, refused

VERSION = 1
FIELDS = ("finding_id", "evidence_digest", "outcome")

Known = frozenset[tuple[str, str, str]]


def head() -> str:
    """The first line of a baseline."""
    return _line({"baseline_version": VERSION, "deferral": DEFERRAL})


def lines(report: Report) -> str:
    """The lines of a report in a baseline: a finding each that did not pass and that the authority has not accepted."""
    return "".join(
        _line(
            {field: getattr(finding, field) for field in FIELDS}
            | {"job_id": report.job_id, "rule": finding.rule, "item": finding.item}
        )
        for finding in report.findings
        if finding.outcome != PASS and not finding.accepted
    )


def known(report: Report, baseline: Known) -> frozenset[str]:
    """The ids of a report's findings that stand in a baseline."""
    return frozenset(
        finding.finding_id
        for finding in report.findings
        if any((name, finding.evidence_digest, finding.outcome) in baseline for name in _names(report.job_id, finding))
    )


def _names(job_id: str, finding: Finding) -> Iterator[str]:
    """The id of a finding, and those it had under former names of its rule."""
    yield finding.finding_id
    yield from (finding_id(job_id, rule, finding.item) for rule in finding.formerly)


def exit_code(report: Report, known_ids: frozenset[str], strict: bool) -> int:
    """The exit code of a report, findings that stand in the baseline left out."""
    new = tuple(finding for finding in report.findings if finding.finding_id not in known_ids)
    return report._replace(findings=new).exit_code(strict) if new or not known_ids else 0


def read(path: Path) -> Known:
    """What stands in a baseline.

    Raises:
        ProblemsFound: It cannot be opened, or is not a baseline.
    """
    try:
        with path.open(encoding="utf-8-sig") as file:
            return frozenset(_entries(path, file))
    except (OSError, UnicodeDecodeError) as error:
        reason = error.strerror if isinstance(error, OSError) else "it is not plain text"
        raise _refused(path, 0, f"The baseline cannot be read: {reason}.") from None


def _entries(path: Path, file: Iterator[str]) -> Iterator[tuple[str, str, str]]:
    if _data(path, 1, next(file, "")).get("baseline_version") != VERSION:
        raise _refused(path, 1, "This is not a baseline.")
    for number, line in enumerate(file, 2):
        if not line.strip():
            continue
        data = _data(path, number, line)
        if not all(isinstance(data.get(field), str) for field in FIELDS):
            raise _refused(path, number, f"A line of a baseline has {', '.join(FIELDS)}.")
        yield data["finding_id"], data["evidence_digest"], data["outcome"]


def _data(path: Path, number: int, line: str) -> dict[str, Any]:
    try:
        data = json.loads(line)
    except ValueError:
        data = None
    if not isinstance(data, dict):
        raise _refused(path, number, "This is not a line of a baseline.")
    return data


def _refused(path: Path, line: int, what: str) -> ProblemsFound:
    where = Where(str(path), line, 1 if line else 0)
    return refused(where, what, "Make one with --write-baseline FILE.")


def _line(data: dict[str, Any]) -> str:
    return json_out.compact(data) + "\n"
