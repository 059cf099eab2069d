"""Reports in both forms: valid by their schema, the same bytes each time, deferring, and narrow enough to read."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from checker.engine.checker import Checker
from checker.findings.report import DEFERRAL, Report
from checker.problems.sanitize import low
from checker.reading.files import read_file
from checker.reading.shipped import ROOT
from checker.reporting import json as as_json
from checker.reporting import text as as_text
from tests.support.rulesets import ON, Judge

SCHEMA = Draft202012Validator(json.loads((Path(__file__).parent.parent / "schemas" / "report.schema.json").read_text()))
HERE = {"site": {"jurisdiction": "xx-nether-lamp"}, "dates": {"hung": "2024-01-01"}}
JOBS: list[dict[str, Any]] = [
    {},
    HERE | {"lantern": {"lit": True, "height": 7.5}},
    HERE | {"lantern": {"lit": True, "height": 9, "paper": "tin"}},
    HERE | {"lantern": {"lit": False}},
    {"lantern": {"lit": True, "height": 7.5, "paper": "rice"}},
]
NEVER = ("approved", "compliant", "certified")


@pytest.fixture(params=JOBS, ids=["nothing", "fails", "passes", "does not apply", "uncovered"])
def report(request: pytest.FixtureRequest, judge_tiny: Judge) -> Report:
    return judge_tiny(request.param)


def test_the_json_report_is_valid_by_its_schema(report: Report) -> None:
    assert [] == [error.message for error in SCHEMA.iter_errors(json.loads(as_json.render([report])))]


def test_the_schema_refuses_a_verify_without_reason(judge_tiny: Judge) -> None:
    document = json.loads(as_json.render([judge_tiny(HERE | {"lantern": {"lit": True}})]))
    (finding,) = (f for f in document["jobs"][0]["findings"] if f["rule"] == "lit-lantern-high-enough")
    del finding["reason"]
    assert list(SCHEMA.iter_errors(document))


def test_counts_in_the_report_are_those_of_its_findings(report: Report) -> None:
    job = json.loads(as_json.render([report]))["jobs"][0]
    for outcome in ("pass", "fail", "verify_locally"):
        assert sum(f["outcome"] == outcome for f in job["findings"]) == job["counts"][outcome]


@pytest.mark.parametrize("width", [40, 80, 100])
def test_no_line_is_wider_than_the_terminal(report: Report, width: int) -> None:
    rendered = as_text.render(report, width)
    assert max(len(line) for line in rendered.splitlines()) <= width


def test_every_report_defers_and_claims_nothing(report: Report) -> None:
    rendered = as_text.render(report, 100)
    assert DEFERRAL in " ".join(rendered.split())
    for word in NEVER:
        assert word not in (rendered + as_json.render([report])).lower()


def test_colour_adds_nothing_to_read(judge_tiny: Judge) -> None:
    report = judge_tiny(JOBS[1])
    painted = as_text.render(report, 80, lambda text, style: f"<{style}>{text}</{style}>")
    bare = painted
    for style in ("heading", "fail", "verify", "pass"):
        bare = bare.replace(f"<{style}>", "").replace(f"</{style}>", "")
    assert as_text.render(report, 80) == bare
    assert painted != bare


@pytest.mark.parametrize("name", ["02-oversized-breaker", "04-decay-rises", "05-only-the-nameplate"])
def test_a_caution_stands_by_name_with_each_finding_and_by_its_text_once_a_section(shipped: Checker, name: str) -> None:
    report = shipped.check(read_file(ROOT / "examples" / "jobs" / f"{name}.json"), ON)
    told = as_text.render(report, 100)
    for found, heading in ((report.to_fix, "Fix first"), (report.before_running, "Settle before running")):
        cautions = {caution for finding in found for caution in finding.cautions}
        section = " ".join(told.partition(f"{heading} (")[2].partition("\n\n")[0].split())
        assert not found or cautions
        assert {one.text: 1 for one in cautions} == {one.text: section.count(one.text) for one in cautions}
        assert len(found) == section.count("Caution, see below: ")


def test_a_title_that_begins_with_capitals_keeps_them_inside_a_sentence(shipped: Checker) -> None:
    """AFUE and EER2 are written so in the trade; "eER2" is no word."""
    titles = [leaf.title for leaf in shipped.vocabulary.leaves.values()]
    assert any(title.startswith("EER2") for title in titles)
    assert [] == [title for title in titles if re.match("[a-z][A-Z]", low(title))]
