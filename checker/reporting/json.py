"""The report as JSON, in the form of `schemas/report.schema.json`: the same bytes for the same job, rulesets and day.

A rule is told once: under `rules` stands what is the same in each of its findings, and a job names the rulebook that its
rules stand in. A finding carries what is its own. A field that has nothing to say is left out.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Any

import orjson

from checker.engine.checker import Checker
from checker.findings.finding import NOT_RECORDED, OF_ONE_JOB, Finding, Working
from checker.findings.known import STATED
from checker.findings.report import DEFERRAL, NotJudged, Report
from checker.findings.rulebook import given
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.problems import json_out
from checker.problems.problem import Problem
from checker.reporting.form import Judged, Once, TellsOnce
from checker.reporting.totals import Totals
from checker.reporting.words import telling

REPORT_VERSION = 2
JSON = "as JSON"


def render(reports: list[Report]) -> str:
    """All reports of a run as one document."""
    form = Json()
    jobs = ",".join("\n" + job_text(report, None, "\n") for report in reports)
    form.tell(Once(*named, _text_of(report, *named)) for report in reports for named in _named(report))
    return form.begin() + jobs + form.closing()


def _named(report: Report) -> Iterator[tuple[str, str]]:
    """The rules that the findings of a report name, each with its rulebook, and the cautions of those that did not pass."""
    key = report.rulebook.key
    for finding in report.findings:
        yield key, finding.rule
        yield from (("", caution.key) for caution in finding.cautions if finding.outcome != PASS)


def _text_of(report: Report, of: str, name: str) -> str:
    if of:
        return text(report.rulebook.rule(name))
    return text(next(caution.text for f in report.findings for caution in f.cautions if caution.key == name))


class RulesOnce(TellsOnce):
    """Rules by their rulebooks, and the texts of cautions of what did not pass, stand once for all jobs."""

    def names(self, one: Judged) -> Iterator[tuple[str, str]]:
        return _named(one.report)

    def text_of(self, one: Judged, of: str, name: str) -> str:
        return _text_of(one.report, of, name)


class Json(RulesOnce):
    """The report as one document: the jobs, a finding a line; behind them the rules, the cautions and what could not be read."""

    between = ","

    def __init__(self) -> None:
        super().__init__()
        self._once: list[Once] = []
        self._unreadable: list[dict[str, Any]] = []

    def begin(self) -> str:
        return f'{{"report_version":{REPORT_VERSION},"deferral":{text(DEFERRAL)},"jobs":['

    def job(self, one: Judged) -> str:
        return "\n" + job_text(one.report, one.known, "\n")

    def tell(self, pieces: Iterable[Once]) -> str:
        self._once += self.new(pieces)
        return ""

    def gather(self, name: str, problems: tuple[Problem, ...]) -> None:
        self._unreadable.append({"file": name, "problems": problems_data(problems)})

    def end(self, totals: Totals, checker: Checker, whole: bool) -> str:
        return self.closing()

    def closing(self) -> str:
        """What stands behind the jobs."""
        told = once_text(self._once, "\n")
        unreadable = f',\n"unreadable":{text(self._unreadable)}' if self._unreadable else ""
        return f"\n],\n{told}{unreadable}}}\n"


def once_text(pieces: list[Once], line: str) -> str:
    """The rules by rulebook, and the cautions, as two fields of an object.

    Args:
        line: What stands before each.
    """
    books: dict[str, list[str]] = {}
    for piece in pieces:
        books.setdefault(piece.of, []).append(f"{line}{text(piece.name)}:{piece.text}")
    cautions = books.pop("", [])
    rules = ",".join(f"{line}{text(key)}:{{{','.join(told)}}}" for key, told in books.items())
    return f'"rules":{{{rules}}},"cautions":{{{",".join(cautions)}}}'


def job_text(report: Report, known: frozenset[str] | None, line: str) -> str:
    """One job.

    Args:
        known: The ids of its findings that stand in a baseline, None without one.
        line: What stands before each finding.
    """
    findings = ",".join([line + finding_text(finding, report) for finding in report.findings])
    return f'{text(job_data(report, known))[:-1]},"findings":[{findings}]}}'


def text(data: Any) -> str:
    """JSON on one line. A file's name need not be UTF-8: what of it is not becomes an escape where it is written."""
    try:
        return json_out.inert(orjson.dumps(data).decode())
    except orjson.JSONEncodeError:
        return json_out.compact(data)


def problems_data(problems: Iterable[Problem]) -> list[dict[str, str]]:
    """What is wrong with a job as plain data."""
    return [{"where": str(problem.where), "what": problem.what, "hint": problem.hint} for problem in problems]


def job_data(report: Report, known: frozenset[str] | None) -> dict[str, Any]:
    """One job as plain data, but for its findings."""
    to_record = {need.fact: need for finding in report.findings for need in finding.needs}
    return given(
        {
            "job_id": report.job_id,
            "file": report.file,
            "title": report.title,
            "place": report.place,
            "on": report.on,
            "dates": [{"title": title, "written": written} for title, written in report.dates],
            "rulesets": [used._asdict() for used in report.rulesets],
            "notes": list(report.notes),
            "not_judged": [_not_judged(one) for one in report.not_judged],
            "worrying": [given(one._asdict() | {"alarming": False}) for one in report.unread if one.alarming],
            "unread": {one.fact: one.written for one in report.unread if not one.alarming},
            "headline": report.headline,
            "counts": counted(report),
            "how_known": report.known.counts(report.passed),
            "in_the_way": [one.finding_id for one in report.in_the_way if one.finding_id not in (known or ())],
            "known": sorted(known) if known else [],
            "to_record": {
                fact: given({"ask": need.ask or need.title, "detail": need.detail, "known": need.known})
                for fact, need in to_record.items()
            },
            "rulebook": report.rulebook.key,
        }
    )


def _not_judged(one: NotJudged) -> dict[str, Any]:
    return one._asdict() | {"why": list(one.why), "rules": list(one.rules)}


def counted(report: Report) -> dict[str, int]:
    """How many findings there are of each outcome, and how many rules that do not apply."""
    outcomes = Counter(finding.outcome for finding in report.findings)
    named = {name: outcomes.get(name, 0) for name in ("pass", "fail", "verify_locally")}
    return named | {"does_not_apply": report.not_applying, "left_as_found": report.left_as_found}


def finding_text(finding: Finding, report: Report) -> str:
    """One finding: what others say the same is made once, what is of its job alone stands behind that."""
    kept = finding.kept
    key = JSON, report.rulebook.key
    told: str | None = None if kept is None else kept.get(key)
    if told is None:
        told = text(finding_data(finding, report))
        if kept is not None:
            kept[key] = told
    known = report.known.words(finding)
    how = {"how_known": "" if known == STATED else known, "published": dict(finding.published)}
    named = {} if finding.outcome == PASS else {name: getattr(finding, name) for name in OF_ONE_JOB}
    own = given(named | how)
    return f"{told[:-1]},{text(own)[1:]}" if own else told


def finding_data(finding: Finding, report: Report) -> dict[str, Any]:
    """What is a finding's own: of one that passed what was compared, of another all that tells why and what to do."""
    told = report.rulebook.rule(finding.rule).get("limits", {})
    data = {
        "rule": finding.rule,
        "item": finding.item,
        "outcome": finding.outcome,
        "compared": [_compared(one) for one in finding.workings if telling(one)],
        "limits": {one.name: one.value for one in finding.limits if one.value != told.get(one.name, "")},
        "notes": list(finding.notes),
        **report.rulebook.differing(finding),
    }
    exact = {} if finding.needs_exact else {"needs_exact": False}
    return given(data if finding.outcome == PASS else data | _not_passed(finding)) | exact


def _not_passed(finding: Finding) -> dict[str, Any]:
    return {
        "reason": finding.reason,
        "headline": finding.headline,
        "message": finding.message,
        "asked_of": finding.asked_of,
        "answers": [one._asdict() for one in finding.answers],
        "remedy": finding.remedy,
        "bring": finding.bring if finding.outcome == FAIL else "",
        "photograph": finding.photograph if finding.outcome == FAIL else "",
        "compared": [_working(one, finding) for one in finding.workings if set(one.values) - {NOT_RECORDED}],
        "read": {one.fact: one.written for one in finding.evidence},
        "inherited": {one.fact: one.origin for one in finding.evidence if one.origin},
        "needs": [need.fact for need in finding.needs],
        "alternatives": {one.label: one.outcome for one in finding.alternatives},
        "acceptance": finding.acceptance._asdict() if finding.acceptance else None,
    }


def _compared(one: Working) -> dict[str, Any]:
    """A comparison with its values, and how sure a measured one is."""
    return given(
        {
            "values": list(one.values),
            "operators": list(one.operators),
            "margin": one.margin,
            "uncertainty": one.uncertainty,
            "probability": one.probability,
        }
    )


def _working(one: Working, finding: Finding) -> dict[str, Any]:
    """A comparison or other condition of a finding that did not pass, with its text and whether it holds."""
    note = one.note if finding.outcome == VERIFY else ""  # else it stands among the notes of the finding
    return {"text": one.text, "holds": one.holds, **_compared(one), **given({"note": note})}
