"""The report as JSON Lines: a line a job, each a whole by itself. What is in a line is what the JSON report says of a job."""

from __future__ import annotations

import json
from typing import Any

import orjson

from checker.findings import Finding
from checker.problems import ProblemsFound
from checker.report.form import Form, Judged
from checker.report.json import REPORT_VERSION, counted, finding_data, job_data, problems_data
from checker.report.model import DEFERRAL

MOST_KEPT = 5000  # findings whose text is kept; then it begins anew
NAMES_LEFT_OPEN = b'"finding_id":"","evidence_digest":""'  # no text holds this: a quote inside a text is written \"


class JsonLines(Form):
    """A line a job. A finding that says the same in many jobs is written out once, but for its two names."""

    resumable = True

    def __init__(self) -> None:
        self._kept: dict[Any, tuple[Finding, bytes, bytes]] = {}

    def job(self, one: Judged) -> str:
        data = job_data(one.report._replace(findings=()), one.known)
        data |= {"headline": one.report.headline, "counts": counted(one.report)}
        findings = one.report.findings
        try:
            return _quick_line(data | {"findings": [self._finding(finding) for finding in findings]})
        except orjson.JSONEncodeError:
            return _line(data | {"findings": [finding_data(finding) for finding in findings]})

    def _finding(self, finding: Finding) -> orjson.Fragment:
        nameless = finding.known_by("", "")
        key = (finding.rule, finding.item, id(finding.evidence), id(finding.workings))
        kept = self._kept.get(key)
        if kept is None or kept[0] != nameless:
            if len(self._kept) >= MOST_KEPT:
                self._kept.clear()
            before, _, after = orjson.dumps(finding_data(nameless)).partition(NAMES_LEFT_OPEN)
            kept = self._kept[key] = (nameless, before, after)
        names = f'"finding_id":"{finding.finding_id}","evidence_digest":"{finding.evidence_digest}"'
        return orjson.Fragment(kept[1] + names.encode() + kept[2])

    def unreadable(self, name: str, found: ProblemsFound) -> str:
        return _line({"file": name, "unreadable": problems_data(found.problems)})


def _line(data: dict[str, Any]) -> str:
    """A line of plain data. A file's name need not be UTF-8: what of it is not becomes an escape where it is written."""
    try:
        return _quick_line(data)
    except orjson.JSONEncodeError:
        return json.dumps(_whole(data), ensure_ascii=False, separators=(",", ":")) + "\n"


def _quick_line(data: dict[str, Any]) -> str:
    """
    Raises:
        orjson.JSONEncodeError: A text in it is no UTF-8.
    """
    return orjson.dumps(_whole(data), option=orjson.OPT_APPEND_NEWLINE).decode()


def _whole(data: dict[str, Any]) -> dict[str, Any]:
    return {"report_version": REPORT_VERSION, "deferral": DEFERRAL, **data}
