"""The report as JSON, in the form of `schemas/report.schema.json`: the same bytes for the same job, rulesets and day."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import Any

from checker.findings.finding import Finding, LimitUsed
from checker.findings.report import DEFERRAL, NotJudged, Report
from checker.ir.node import fields_of
from checker.ir.tree import SetBy
from checker.problems import json_out
from checker.problems.problem import Problem

REPORT_VERSION = 1


def render(reports: list[Report]) -> str:
    """All reports of a run as one document."""
    return begin() + ",".join(one(job_data(report)) for report in reports) + end(len(reports))


def begin() -> str:
    """What stands before the jobs of a run."""
    return f'{{\n  "report_version": {REPORT_VERSION},\n  "deferral": {json_out.compact(DEFERRAL)},\n  "jobs": ['


def one(job: dict[str, Any]) -> str:
    """One job of a run; between two of them stands a comma."""
    return "\n    " + json_out.indented(job).replace("\n", "\n    ")


def end(jobs: int, unreadable: list[dict[str, Any]] | None = None) -> str:
    """What stands behind the jobs of a run: those that could not be read or judged, where there are any."""
    told = json_out.indented(unreadable).replace("\n", "\n  ") if unreadable else ""
    return ("\n  " if jobs else "") + "]" + (f',\n  "unreadable": {told}' if told else "") + "\n}\n"


def problems_data(problems: Iterable[Problem]) -> list[dict[str, str]]:
    """What is wrong with a job as plain data."""
    return [{"where": str(problem.where), "what": problem.what, "hint": problem.hint} for problem in problems]


def job_data(report: Report, known: frozenset[str] | None = None) -> dict[str, Any]:
    """One job as plain data; `known` are the ids of its findings that stand in a baseline, None without one."""
    return {
        "job_id": report.job_id,
        "file": report.file,
        "title": report.title,
        "place": report.place,
        "on": report.on,
        "dates": [{"title": title, "written": written} for title, written in report.dates],
        "rulesets": [used._asdict() for used in report.rulesets],
        "notes": list(report.notes),
        "not_judged": [not_judged_data(one) for one in report.not_judged],
        "unread": [one._asdict() for one in report.unread],
        "headline": report.headline,
        "counts": counted(report),
        "cautions": cautions(report),
        "findings": [finding_data(finding) for finding in report.findings],
        **({} if known is None else {"known": sorted(known)}),
    }


def not_judged_data(one: NotJudged) -> dict[str, Any]:
    """A ruleset that is not written for a job as plain data."""
    return one._asdict() | {"why": list(one.why), "rules": list(one.rules)}


def counted(report: Report) -> dict[str, int]:
    """How many findings there are of each outcome, and how many rules that do not apply."""
    outcomes = Counter(finding.outcome for finding in report.findings)
    named = {name: outcomes.get(name, 0) for name in ("pass", "fail", "verify_locally")}
    return named | {"does_not_apply": report.not_applying, "left_as_found": report.left_as_found}


OF_A_NEED = ("fact", "title", "ask", "detail", "known")


def cautions(report: Report) -> dict[str, str]:
    """The texts of the cautions that the findings name, each once."""
    return dict(sorted((one.key, one.text) for finding in report.findings for one in finding.cautions))


def _limit_data(limit: LimitUsed) -> dict[str, Any]:
    before = limit.instead_of
    told = {**before._asdict(), "set_by": _set_by_data(before.set_by)} if before else None
    return {**limit._asdict(), "set_by": _set_by_data(limit.set_by), "instead_of": told}


def _set_by_data(by: SetBy) -> dict[str, Any]:
    return {**fields_of(by), "citations": [fields_of(citation) for citation in by.citations]}


def finding_data(finding: Finding) -> dict[str, Any]:
    """One finding as plain data."""
    data = finding._asdict()
    for field in ("remedy_after", "acceptable_by", "formerly"):
        data.pop(field)
    data["needs"] = [{name: getattr(need, name) for name in OF_A_NEED} for need in finding.needs]
    data["citations"] = [fields_of(citation) for citation in finding.citations]
    for field in ("evidence", "workings", "alternatives", "answers"):
        data[field] = [part._asdict() for part in data[field]]
    data["evidence"] = [
        {name: said for name, said in fact.items() if name != "origin" or said} for fact in data["evidence"]
    ]
    for working in data["workings"]:
        for field in ("values", "operators", "amounts"):
            working[field] = list(working[field])
        working["limits"] = [limit.name for limit in working["limits"]]
    data["limits"] = [_limit_data(limit) for limit in finding.limits]
    data["notes"] = list(finding.notes)
    data["cautions"] = [caution.key for caution in finding.cautions]
    data["acceptance"] = finding.acceptance._asdict() if finding.acceptance else None
    return data
