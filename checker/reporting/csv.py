"""The report as CSV (RFC 4180): a row a finding. No cell of it is taken for a formula by a spreadsheet.

A ruleset that is not written for a job, and a job of which nothing could be judged, have a row too, the outcome `not_judged` or
`unreadable`, so that none is lost. What was recorded and looked at by no rule that applied is `not_looked_at`. `in_the_way`
marks what makes the exit code 1.
"""

from __future__ import annotations

import csv
import functools
import io
from collections.abc import Iterable, Iterator

from checker.findings.finding import Finding
from checker.findings.report import Report
from checker.problems.problem import ProblemsFound
from checker.problems.sanitize import inert
from checker.reporting.csv_safe import safe_cell
from checker.reporting.form import Form, Judged
from checker.reporting.words import (
    NOTHING_JUDGED,
    UNREAD,
    WORRYING,
    accepted,
    asked,
    compared,
    explained,
    limits_from_layers,
    not_judged,
    noted,
    put_to,
    sections_of,
    telling,
    unread_titles,
)

COLUMNS = (
    "file", "job_id", "job", "place", "on", "rule", "ruleset", "item", "topic", "obligation", "life_safety", "outcome", "reason",
    "in_the_way", "title", "headline", "message", "comparison", "margin", "record", "ask", "remedy", "caution", "sections",
    "limits", "notes", "accepted", "known", "how_known",
    "finding_id", "evidence_digest", "rulesets", "who_decides",
)  # fmt: skip
WHO_DECIDES = (
    "The authority having jurisdiction decides. This is a self-check, not an inspection; codes are cited, not quoted."
)
YES = {True: "yes", False: "no"}


class Csv(Form):
    resumable = True

    def begin(self) -> str:
        return _rows([COLUMNS])

    def job(self, one: Judged) -> str:
        head = _of_job(one.report, one.name)
        known = one.known or frozenset()
        in_the_way = {finding.finding_id for finding in one.report.in_the_way} - known
        cells = [
            _of_finding(f)
            | {"known": YES[f.finding_id in known], "in_the_way": YES[f.finding_id in in_the_way]}
            | {"how_known": one.report.known.line(f)}
            for f in one.report.findings
        ]
        left_out = zip(one.report.not_judged, not_judged(one.report), strict=True)
        cells += [{"ruleset": out.ruleset, "outcome": "not_judged", "message": said} for out, said in left_out]
        cells = cells or [{"outcome": "not_judged", "message": NOTHING_JUDGED}]
        return _rows(_row(head | each) for each in (*cells, *_not_looked_at(one.report)))

    def unreadable(self, name: str, found: ProblemsFound) -> str:
        said = " ".join(f"{problem.where}: {problem.what} {problem.hint}" for problem in found.problems)
        return _rows([_row({"file": name, "outcome": "unreadable", "message": said, "who_decides": WHO_DECIDES})])


def _not_looked_at(report: Report) -> Iterator[dict[str, str]]:
    """A row a recorded fact that would worry an inspector and was judged by no rule, and one of all others unread."""
    for one in (one for one in report.unread if one.alarming):
        cells = {
            "outcome": "not_looked_at",
            "item": one.item,
            "title": one.title,
            "record": f"{one.written} [{one.fact}]",
        }
        yield cells | {"message": f"{WORRYING}."}
    rest = unread_titles(report)
    if rest:
        yield {"outcome": "not_looked_at", "message": f"{UNREAD}: {', '.join(rest)}."}


def _of_job(report: Report, name: str) -> dict[str, str]:
    return {
        "file": name,
        "job_id": report.job_id,
        "job": report.title,
        "place": report.place,
        "on": report.on,
        "rulesets": ", ".join(f"{used.id} {used.version} ({used.digest})" for used in report.rulesets),
        "who_decides": WHO_DECIDES,
    }


def _of_finding(finding: Finding) -> dict[str, str]:
    told = [working for working in finding.workings if telling(working)]
    plain = (
        "rule", "ruleset", "item", "topic", "obligation", "outcome", "reason", "title", "headline", "message", "remedy",
        "finding_id", "evidence_digest",
    )  # fmt: skip
    return {field: getattr(finding, field) for field in plain} | {
        "ask": put_to(finding),
        "caution": " ".join(caution.text for caution in finding.cautions),
        "life_safety": YES[finding.life_safety],
        "comparison": "; ".join(compared(working) for working in told),
        "margin": "; ".join(working.margin for working in told),
        "record": "; ".join(f"{asked(need)} [{need.fact}]" for need in finding.needs),
        "sections": (sections := sections_of(finding)),
        "limits": (limits := "; ".join(limits_from_layers(finding))),
        "notes": " ".join(filter(None, (*map(noted, finding.notes), explained(sections + limits)))),
        "accepted": accepted(finding.acceptance) if finding.acceptance else "",
    }


def _row(cells: dict[str, str]) -> list[str]:
    return [_cell(cells.get(column, "")) for column in COLUMNS]


@functools.lru_cache(8192)
def _cell(text: str) -> str:
    """A text on one line that is no formula. The words of rules come again on every job."""
    return safe_cell(" ".join(inert(text).split()))


def _rows(rows: Iterable[Iterable[str]]) -> str:
    text = io.StringIO(newline="")
    csv.writer(text).writerows(rows)
    return text.getvalue()
