"""How a finding stands, in every form: failed, accepted in writing, practice, too close to tell; and the mark of a section."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.findings.finding import Finding
from checker.findings.report import Report
from checker.ir.node import field_names, replace
from checker.ir.outcomes import FAIL
from checker.ir.tree import Citation
from checker.reading.files import read_text
from checker.reading.job import Job, load
from checker.reporting import page, text, words
from checker.reporting.totals import Totals, share
from tests.support.browser import DESK, PHONE, faults, needs_chromium, opened
from tests.support.many_jobs import JOBS, item, told
from tests.support.rulesets import ON

STATES = {"fix": "Fix", "practice": "Practice", "accepted": "Accepted"}
SHAPES = """() => Object.fromEntries([...document.querySelectorAll('h3 .word')].map(word => {
  const style = getComputedStyle(word);
  return [word.textContent, [style.color, style.backgroundColor, style.borderTopStyle]]; }))"""


def _changed(name: str, **changes: Any) -> dict[str, Any]:
    data: dict[str, Any] = json.loads((JOBS / f"{name}.json").read_text(encoding="utf-8"))
    for path, value in changes.items():
        *groups, last = path.split("__")
        place = data
        for group in groups:
            place = place[group]
        place[last] = value
    return data


@pytest.fixture(scope="module")
def mixed() -> dict[str, Any]:
    """A job with a failure, another that was accepted in writing, and practice not followed (a filter out of reach)."""
    data = _changed("08-accepted", airflow__filter_accessible=False)
    next(one for one in data["circuits"] if one["serves"] == "outdoor_unit")["devices"][0]["rating"] = "60 A"
    return data


@pytest.fixture(scope="module")
def judged(shipped: Checker, mixed: dict[str, Any]) -> tuple[Report, Job]:
    job = load(read_text(json.dumps(mixed).encode(), "job.json"), shipped.vocabulary)
    return shipped.check_job(job, ON), job


def test_each_failure_is_to_fix_or_practice_or_accepted(judged: tuple[Report, Job]) -> None:
    report, _ = judged
    parts = (report.to_fix, report.practice, report.accepted)
    assert all(parts), "the job has one of each"
    listed = [finding.finding_id for part in parts for finding in part]
    assert sorted(finding.finding_id for finding in report.with_outcome(FAIL)) == sorted(listed)
    assert 1 == report.exit_code(strict=False)
    headline = report.headline
    assert f"{len(report.to_fix)} failed, 1 accepted by the authority in writing" in headline
    assert f"{len(report.practice)} good practice not followed" in headline


def test_practice_on_which_life_hangs_is_to_fix(judged: tuple[Report, Job]) -> None:
    report, _ = judged
    (first, *rest) = report.practice
    grave = first._replace(life_safety=True)
    changed = report._replace(findings=tuple(grave if one is first else one for one in report.findings))
    assert rest == changed.practice
    assert grave == changed.to_fix[0]


def test_an_accepted_failure_alone_is_no_failure_of_the_job(shipped: Checker) -> None:
    report = shipped.check(read_text((JOBS / "08-accepted.json").read_bytes(), "08"), ON)
    assert 0 == report.exit_code(strict=False)
    assert "0 failed, 1 accepted by the authority in writing" in report.headline
    assert "" == words.nothing_wrong(report), "something was found, and it stands"
    totals = Totals()
    totals.add(share(report, 0))
    assert 0 == totals.to_fix


def test_the_text_gives_each_its_heading_and_its_word(judged: tuple[Report, Job]) -> None:
    report, _ = judged
    said = text.render(report, 100)
    under = {part.split(" (")[0]: part for part in re.split(r"\n\n(?=\w)", said)}
    for heading, word, found in (
        ("Fix first", "FAIL: ", report.to_fix),
        ("Practice not followed", "PRACTICE NOT FOLLOWED: ", report.practice),
        ("Accepted by the authority in writing", "ACCEPTED: ", report.accepted),
    ):
        assert len(found) == under[heading].count(f"\n  {word}")
        for other in {"FAIL: ", "PRACTICE NOT FOLLOWED: ", "ACCEPTED: "} - {word}:
            assert f"\n  {other}" not in under[heading]


def test_a_comment_gives_each_its_word(shipped: Checker, mixed: dict[str, Any], judged: tuple[Report, Job]) -> None:
    report, _ = judged
    said, *_ = told(shipped, "markdown", [item(mixed)])
    words_of = [line.split("**")[1].split(",")[0] for line in said.splitlines() if line.startswith("- **")]
    assert len(report.to_fix) == words_of.count("Fix")
    assert len(report.practice) == words_of.count("Practice not followed")
    assert 1 == words_of.count("Accepted in writing")


@needs_chromium
@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_on_the_page_each_looks_unlike_the_others(
    judged: tuple[Report, Job], tmp_path: Path, size: dict[str, int]
) -> None:
    report, job = judged
    file = tmp_path / "page.html"
    file.write_text(page.render(report, job, None), encoding="utf-8")
    with opened(file, size) as (browser, _, _):
        looks = browser.evaluate(SHAPES)
        counts = {part: browser.locator(f"article.{part}").count() for part in STATES}
        red = browser.evaluate(SHAPES.replace("h3 .word", "article.accepted h3 .word, article.practice h3 .word"))
        assert [] == faults(browser)
        assert browser.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    assert counts == {"fix": len(report.to_fix), "practice": len(report.practice), "accepted": 1}
    shown = [tuple(looks[word]) for word in STATES.values()]
    assert 3 == len({color for color, *_ in shown}) == len({border for *_, border in shown} | {"solid"})
    assert "Fix" not in red


def test_what_passes_too_close_to_its_limit_is_not_under_a_plain_passed(judged: tuple[Report, Job]) -> None:
    """The pressure test of that job: 301 psig with 299.2 the least, the gauges together ±3.4 psi."""
    report, job = judged
    near = [finding for finding in report.passed if finding.near]
    assert "pressure-test-holds" in {finding.rule for finding in near}
    html = page.render(report, job, None)
    badges = re.findall(r'<span class="word near">[^<]*</span> ([^<]*)<td>', html)
    assert {finding.title for finding in near} == set(map(unescape, badges))
    said = " ".join(text.render(report, 100).split())
    for finding in near:
        assert re.search(rf"ok(, practice)? \({words.NEAR}\): {re.escape(finding.title)}", said)


# --- the mark of a section that nobody has checked ---

SURE = ("checked", "second_hand", "from_memory", "doubtful")


@pytest.mark.parametrize("section", SURE)
@pytest.mark.parametrize("requirement", SURE)
def test_a_section_is_marked_unless_all_of_it_was_checked(section: str, requirement: str) -> None:
    citation = _citation(section, requirement)
    assert (words.UNCHECKED in words.cited((citation,))) == ({section, requirement} != {"checked"})
    assert bool(words.doubted(citation)) == ({section, requirement} != {"checked"})
    assert "checked" not in words.cited((citation,))


def _citation(section: str, requirement: str) -> Citation:
    known = {"document": "Book", "edition": "2020", "section": "1.2", "note": ""}
    sure = {"section_sure": section, "requirement_sure": requirement}
    return Citation(**{field: {**known, **sure}.get(field, "") for field in field_names(Citation)})


@pytest.mark.parametrize("form", ["text", "markdown", "junit", "sarif", "csv"])
def test_the_mark_is_explained_wherever_it_stands(shipped: Checker, mixed: dict[str, Any], form: str) -> None:
    said, *_ = told(shipped, form, [item(mixed), item(_changed("03-no-overflow-device"))])
    assert words.UNCHECKED in said
    assert "not yet checked in the book" in " ".join(said.split())
    if form in ("text", "markdown"):
        assert 1 == " ".join(said.split()).count("not yet checked in the book"), "once"


def test_a_page_explains_the_mark_once_and_says_checked_of_nothing(judged: tuple[Report, Job]) -> None:
    report, job = judged
    html = page.render(report, job, None)
    assert 1 == html.count(words.UNCHECKED_MEANS)
    assert "(checked)" not in html
    bare = report._replace(findings=tuple(_sure(finding) for finding in report.findings))
    assert words.UNCHECKED not in page.render(bare, job, None)


def _sure(finding: Finding) -> Finding:
    sure = {"section_sure": "checked", "requirement_sure": "checked"}
    return finding._replace(citations=tuple(replace(citation, **sure) for citation in finding.citations))
