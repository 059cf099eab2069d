"""The word on a citation whose edition is only the one published for the state, in every form of a report."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest

from checker.engine.checker import Checker
from checker.fieldwork.prep import prepare
from checker.findings.report import Report
from checker.reading.files import read_text
from checker.reading.job import load
from checker.reporting import page, screen
from checker.reporting.forms import FORMS
from checker.reporting.pdf_text import Texts
from tests.support.many_jobs import JOBS, item, told
from tests.support.rulesets import ON

REPORT = json.loads((Path(__file__).parent.parent / "schemas" / "report.schema.json").read_text(encoding="utf-8"))
MARK = "NEC 2023 (as published for Ohio, ask the office), "


def in_ohio(**site: Any) -> dict[str, Any]:
    """A worked job with a breaker that is too big, in Ohio, whose file puts the 2023 NEC in force and no other edition here."""
    data: dict[str, Any] = json.loads((JOBS / "02-oversized-breaker.json").read_text(encoding="utf-8"))
    place = {name: said for name, said in data["site"].items() if name != "jurisdiction"}
    return {**data, "site": {**place, "state": "OH", **site}}


TOLD = {"adopted": [{"key": "e", "code": "nec", "edition": "2023", "told_by": "the clerk"}]}


def report_of(checker: Checker, data: dict[str, Any]) -> Report:
    return checker.check_job(load(read_text(json.dumps(data).encode(), "job.json"), checker.vocabulary), ON)


def test_a_finding_is_marked_where_its_edition_is_only_published(shipped: Checker) -> None:
    """Every finding that cites the NEC in an edition, and no other: of the residential code nothing counts in Ohio."""
    findings = report_of(shipped, in_ohio()).findings
    citing = {one.finding_id for one in findings if any(c.document == "NEC" and c.edition for c in one.citations)}
    assert len(citing) > 20
    assert citing == {one.finding_id for one in findings if one.published}
    assert {(("NEC", "Ohio"),)} == {one.published for one in findings if one.published}


def test_the_offices_word_takes_the_mark_away_whatever_was_judged_before(shipped: Checker) -> None:
    """The same edition told by the office: nothing else differs, so that what was said of the job before is looked up."""
    assert [len(report_of(shipped, in_ohio(**site)).findings) > 100 for site in ({}, TOLD, {})] == [True] * 3
    assert not any(one.published for one in report_of(shipped, in_ohio(**TOLD)).findings)
    assert any(one.published for one in report_of(shipped, in_ohio()).findings)


def test_no_mark_where_every_edition_is_judged_or_a_ruleset_covers_the_place(shipped: Checker) -> None:
    for site in ({"state": "NV"}, {"state": "OH", "jurisdiction": "xx-alder"}):
        assert not any(one.published for one in report_of(shipped, in_ohio(**site)).findings)


def form_of(checker: Checker, form: str, **site: Any) -> str:
    return " ".join(told(checker, form, [item(in_ohio(**site))], everything=True)[0].split())


@pytest.mark.parametrize("form", FORMS)
def test_each_form_marks_the_line(shipped: Checker, form: str) -> None:
    said = form_of(shipped, form)
    assert ('"published":{"NEC":"Ohio"}' if form in ("json", "jsonl") else f"{MARK}440.4(B)") in said
    if form == "json":
        assert [] == list(jsonschema_rs.validator_for(REPORT).iter_errors(json.loads(said)))
    by_the_office = form_of(shipped, form, **TOLD)
    assert "440.4(B)" in by_the_office
    assert '"published":{' not in by_the_office
    assert "as published for" not in by_the_office


def test_page_and_pdf_mark_the_line(shipped: Checker) -> None:
    """What a PDF sets is put together as data first, which is looked at here."""
    job = load(read_text(json.dumps(in_ohio()).encode(), "job.json"), shipped.vocabulary)
    report = shipped.check_job(job, ON)
    shown = page.render(report, job, None)
    assert f". {MARK}440.4(B)" in shown, "in the short list of what failed"
    assert f"<b>Section</b> {MARK}440.4(B)" in shown, "at the failure itself"
    assert f"{MARK}440.4(B)" in json.dumps(Texts(page.told(report, job, None), report).data(), ensure_ascii=False)


def test_the_short_answer_marks_the_line(shipped: Checker) -> None:
    assert f"{MARK}440.4(B)" in " ".join(screen.render(report_of(shipped, in_ohio()), 80).split())


def test_every_line_of_a_plan_marks_it(shipped: Checker) -> None:
    """Also what is to be seen before removal and what is to be measured, which are told by rule."""
    for site, marked in (({}, True), (TOLD, False)):
        job = load(read_text(json.dumps({"job_id": "j", "schema_version": 1, "site": {"state": "OH", **site}}).encode(), "j"),
                   shipped.vocabulary)  # fmt: skip
        plan = prepare(shipped, job, ON)
        for section in plan.sections:
            lines = [line.cited for line in section.lines if "NEC 2023" in line.cited]
            assert all((MARK[:-2] in cited) == marked for cited in lines), section.heading
        assert marked == (sum(MARK in line.cited for section in plan.sections for line in section.lines) > 20)


def test_the_short_answer_asks_once_for_each_code(shipped: Checker) -> None:
    said = " ".join(screen.render(report_of(shipped, in_ohio()), 80).split())
    assert 1 == said.count("is that still so?")
    assert 1 == said.count("which edition is in force?")
    assert "Which edition of" not in said
