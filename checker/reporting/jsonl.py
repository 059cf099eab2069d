"""The report as JSON Lines: a line a job, each a whole by itself. What is in a line is what the JSON report says of a job."""

from __future__ import annotations

from typing import Any

import orjson

from checker.findings.finding import Finding
from checker.findings.report import DEFERRAL
from checker.problems import json_out
from checker.problems.problem import ProblemsFound
from checker.reporting.form import Form, Judged
from checker.reporting.json import REPORT_VERSION, cautions, counted, finding_data, job_data, problems_data

MOST_KEPT = 5000  # findings whose text is kept; then it begins anew
# No text holds these: a quote inside a text is written \"
FINDINGS_LEFT_OPEN = '"findings":[]'
NAMES_LEFT_OPEN = '"finding_id":"","evidence_digest":""'


class JsonLines(Form):
    """A line a job. A finding that says the same in many jobs is written out once, but for its two names."""

    resumable = True

    def __init__(self) -> None:
        self._kept: dict[Any, tuple[Finding, str, str]] = {}

    def job(self, one: Judged) -> str:
        data = job_data(one.report._replace(findings=()), one.known)
        data |= {"headline": one.report.headline, "counts": counted(one.report), "cautions": cautions(one.report)}
        findings = one.report.findings
        try:
            before, _, after = _quick_line(data).partition(FINDINGS_LEFT_OPEN)
            return "".join([before, '"findings":[', ",".join(map(self._finding, findings)), "]", after])
        except orjson.JSONEncodeError:
            return _line(data | {"findings": [finding_data(finding) for finding in findings]})

    def _finding(self, finding: Finding) -> str:
        nameless = finding.known_by("", "")
        key = (finding.rule, finding.item, id(finding.evidence), id(finding.workings))
        kept = self._kept.get(key)
        if kept is None or kept[0] != nameless:
            if len(self._kept) >= MOST_KEPT:
                self._kept.clear()
            text = json_out.inert(orjson.dumps(finding_data(nameless)).decode())
            before, _, after = text.partition(NAMES_LEFT_OPEN)
            kept = self._kept[key] = (nameless, before, after)
        names = f'"finding_id":"{finding.finding_id}","evidence_digest":"{finding.evidence_digest}"'
        return kept[1] + names + kept[2]

    def unreadable(self, name: str, found: ProblemsFound) -> str:
        return _line({"file": name, "unreadable": problems_data(found.problems)})


def _line(data: dict[str, Any]) -> str:
    """A line of plain data. A file's name need not be UTF-8: what of it is not becomes an escape where it is written."""
    try:
        return _quick_line(data)
    except orjson.JSONEncodeError:
        return json_out.compact(_whole(data)) + "\n"


def _quick_line(data: dict[str, Any]) -> str:
    """
    Raises:
        orjson.JSONEncodeError: A text in it is no UTF-8.
    """
    return json_out.inert(orjson.dumps(_whole(data), option=orjson.OPT_APPEND_NEWLINE).decode())


def _whole(data: dict[str, Any]) -> dict[str, Any]:
    return {"report_version": REPORT_VERSION, "deferral": DEFERRAL, **data}
