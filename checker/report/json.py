"""The report as JSON, in the form of `schemas/report.schema.json`: the same bytes for the same job, rulesets and day."""

from __future__ import annotations

import json
from collections import Counter
from typing import Any

from checker.findings import Finding
from checker.report.model import DEFERRAL, Report

REPORT_VERSION = 1


def render(reports: list[Report]) -> str:
    """All reports of a run as one document."""
    document = {"report_version": REPORT_VERSION, "deferral": DEFERRAL, "jobs": [_job(report) for report in reports]}
    return json.dumps(document, ensure_ascii=False, indent=2) + "\n"


def _job(report: Report) -> dict[str, Any]:
    outcomes = Counter(finding.outcome for finding in report.findings)
    return {
        "job_id": report.job_id,
        "file": report.file,
        "title": report.title,
        "place": report.place,
        "on": report.on,
        "dates": [{"title": title, "written": written} for title, written in report.dates],
        "rulesets": [used._asdict() for used in report.rulesets],
        "notes": list(report.notes),
        "outside": list(report.outside),
        "unread": list(report.unread),
        "headline": report.headline,
        "counts": {name: outcomes.get(name, 0) for name in ("pass", "fail", "verify_locally")}
        | {"does_not_apply": report.not_applying, "left_as_found": report.left_as_found},
        "findings": [finding_data(finding) for finding in report.findings],
    }


def finding_data(finding: Finding) -> dict[str, Any]:
    """One finding as plain data."""
    data = finding._asdict()
    data.pop("remedy_after")
    for field in ("citations", "evidence", "workings", "needs", "alternatives"):
        data[field] = [part._asdict() for part in data[field]]
    data["evidence"] = [
        {name: said for name, said in fact.items() if name != "origin" or said} for fact in data["evidence"]
    ]
    for working in data["workings"]:
        for field in ("values", "operators", "amounts"):
            working[field] = list(working[field])
    data["notes"] = list(finding.notes)
    data["acceptance"] = finding.acceptance._asdict() if finding.acceptance else None
    return data
