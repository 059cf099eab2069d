"""The plan of a visit: what to bring, with sizes; what to ask, see in time, measure and photograph."""

from __future__ import annotations

import functools
import json
from pathlib import Path
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.fieldwork import prep_page, prep_text
from checker.fieldwork.prep import Prep, prepare
from checker.ir.outcomes import PASS
from checker.reading.files import read_file, read_text
from checker.reading.job import load
from tests.support.browser import PHONE, faults, needs_chromium, opened
from tests.support.jobs import QUOTE
from tests.support.rulesets import ON

EXAMPLES = sorted((Path(__file__).parent.parent / "examples" / "jobs").glob("*.json"))


def plan(checker: Checker, job: dict[str, Any]) -> Prep:
    return _plan(checker, json.dumps(job))


@functools.cache
def _plan(checker: Checker, written: str) -> Prep:
    return prepare(checker, load(read_text(written.encode(), "job.json"), checker.vocabulary), ON)


def lines(prep: Prep, start: str) -> list[str]:
    return [line.text for section in prep.sections if section.heading.startswith(start) for line in section.lines]


def rules(prep: Prep, start: str) -> set[str]:
    return {
        rule
        for section in prep.sections
        if section.heading.startswith(start)
        for line in section.lines
        for rule in line.rules
    }


def test_the_breaker_to_bring_has_its_sizes_and_is_to_be_confirmed(shipped: Checker) -> None:
    # 17.5 A minimum: 20 A is the next standard rating; 30 A is the maximum (NEC 240.6(A)). Two poles are the supply's, not
    # those of the old one-pole breaker.
    found = lines(plan(shipped, QUOTE), "Bring: something is wrong already")
    assert any("2-pole" in text and "20 A to 30 A" in text and "confirm on the plate" in text for text in found), found


def test_a_plate_that_was_read_needs_no_confirming(shipped: Checker) -> None:
    circuit = QUOTE["circuits"][0]
    read = {**QUOTE, "circuits": [{**circuit, "nameplate": circuit["as_ordered"]}]}
    prep = plan(shipped, read)
    assert not prep.ordered
    breaker = next(text for text in lines(prep, "Bring: something") if "2-pole" in text)
    assert "confirm" not in breaker


def test_the_float_switch_is_brought_before_anybody_has_looked(shipped: Checker) -> None:
    assert any("Float switch" in text for text in lines(plan(shipped, QUOTE), "Bring, unless"))


def test_figures_as_ordered_decide_nothing_in_a_check(shipped: Checker) -> None:
    report = shipped.check(read_text(json.dumps(QUOTE).encode(), "job.json"), ON)
    found = next(f for f in report.findings if f.rule == "overcurrent-within-nameplate")
    assert found.outcome == "verify_locally"


def test_what_is_measured_is_listed_with_its_limit(shipped: Checker) -> None:
    job = {
        **QUOTE,
        "instructions": {"evacuation_level": "300 micron", "subcooling_target": 10, "subcooling_tolerance": 3},
    }
    found = lines(plan(shipped, job), "Measure")
    assert any(text.endswith("final vacuum at most 300 micron") for text in found)
    assert any("subcooling from 7 °F to 13 °F" in text for text in found)  # 10 - 3 and 10 + 3


def test_a_limit_that_is_not_known_says_what_it_needs(shipped: Checker) -> None:
    assert any("(first: vacuum by the manual)" in text for text in lines(plan(shipped, QUOTE), "Measure"))


def test_what_is_gone_after_removal_is_asked_before(shipped: Checker) -> None:
    found = lines(plan(shipped, QUOTE), "Before the old equipment is removed")
    assert any("share a vent or chimney" in text for text in found)


def test_every_line_of_things_to_bring_belongs_to_a_rule_that_is_not_settled(shipped: Checker) -> None:
    for file in EXAMPLES:
        job = load(read_file(file), shipped.vocabulary)
        prep = prepare(shipped, job, ON)
        settled = {f.rule for f in prep.report.findings} - {f.rule for f in prep.report.findings if f.outcome != PASS}
        assert not rules(prep, "Bring") & settled, file


def test_every_rule_that_is_open_and_has_something_to_bring_is_there(shipped: Checker) -> None:
    prep = plan(shipped, QUOTE)
    due = {f.rule for f in prep.report.findings if f.outcome != PASS and f.bring}
    assert rules(prep, "Bring") == due
    assert len(due) > 20


def test_each_line_has_a_section_and_a_rule(shipped: Checker) -> None:
    for section in plan(shipped, QUOTE).sections:
        for line in section.lines:
            assert line.rules, line.text
            assert line.cited, line.text


def test_text_wraps_and_defers(shipped: Checker) -> None:
    text = prep_text.render_text(plan(shipped, QUOTE), 60)
    assert max(map(len, text.splitlines())) <= 60
    assert "The authority having jurisdiction decides" in " ".join(text.split())
    for word in ("approved", "compliant", "certified"):
        assert word not in text.lower()


def test_markdown_keeps_hostile_text_inert(shipped: Checker) -> None:
    evil = "<script>alert(1)</script> [x](javascript:1) `a` # b"
    text = prep_text.render_markdown(plan(shipped, {**QUOTE, "title": evil}))
    assert "<script>" not in text.replace("\\<script\\>", "")
    assert "[x](" not in text.replace("\\[x\\](", "")


@needs_chromium
@pytest.mark.parametrize("scripts", [True, False])
def test_the_page_fits_a_phone_and_is_inert(shipped: Checker, tmp_path: Path, scripts: bool) -> None:
    evil = '"><script>window.hit = 1</script><img src=x onerror="window.hit=1">'
    file = tmp_path / "prep.html"
    file.write_text(prep_page.render(plan(shipped, {**QUOTE, "title": evil})), encoding="utf-8")
    with opened(file, PHONE, scripts) as (page, complaints, requests):
        assert evil in page.inner_text("h1")
        assert page.query_selector("img") is None
        assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
        assert not scripts or faults(page) == []
    assert (complaints, requests) == ([], [])
