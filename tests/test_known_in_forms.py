"""How each thing is known stands at each line, in every form of a report. The words are ours; that none is left out is not."""

from __future__ import annotations

import json
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from checker.engine.checker import Checker
from checker.findings.report import Report
from checker.ir.outcomes import FAIL, PASS
from checker.reading.files import read_file
from checker.reporting import words
from tests.support.commands import changeout, on_day
from tests.support.rulesets import ON

JOB = Path(__file__).parent.parent / "examples" / "jobs" / "02-oversized-breaker.json"


@pytest.fixture(scope="module")
def report(shipped: Checker) -> Report:
    return shipped.check(read_file(JOB, "02"), ON)


def told(*said: str) -> str:
    run = changeout(*on_day("check", str(JOB), *said))
    assert run.returncode == 1, run.stderr
    return run.stdout


def run_on(text: str) -> str:
    return re.sub(r"[\\\s]+", " ", text)


def test_junit_has_it_in_every_case(report: Report) -> None:
    cases = list(ElementTree.fromstring(told("--format", "junit")).iter("testcase"))
    said = {case.get("name", ""): " ".join(case.itertext()) for case in cases}
    assert len(said) == len(report.findings)
    for finding in report.findings:
        name = finding.rule + (f" [{finding.item}]" if finding.item else "")
        line = report.known.line(finding)
        assert (f"How known: {line}" in said[name]) if line else "How known" not in said[name]


def test_a_line_of_json_has_it_unless_it_is_only_stated(report: Report) -> None:
    found = json.loads(told("--format", "json"))["jobs"][0]["findings"]
    said = {(one["rule"], one.get("item", "")): one.get("how_known", "stated") for one in found}
    assert {(one.rule, one.item): report.known.words(one) for one in report.findings} == said


@pytest.mark.parametrize("form", [(), ("--all",), ("--format", "markdown"), ("--format", "sarif"), ("--format", "csv")])
def test_a_failure_has_it_in_every_form(report: Report, form: tuple[str, ...]) -> None:
    said = run_on(told(*form))
    (failure,) = report.with_outcome(FAIL)
    assert report.known.line(failure) == "stated; from the nameplate"
    assert "stated; from the nameplate" in said


@pytest.mark.parametrize("form", [("--all",), ("--format", "csv"), ("--format", "sarif", "--all")])
def test_what_passed_has_it_in_every_form_that_names_what_passed(report: Report, form: tuple[str, ...]) -> None:
    said = run_on(told(*form))
    lines = {report.known.line(one) for one in report.findings if one.outcome == PASS}
    assert len(lines) > 5
    assert [] == [line for line in lines if line not in said]
    assert all(words.how_known(report) in said for _ in form[:1] if form == ("--all",))
