"""The short answer of a check: never more than a screen, never silent of why it ends as it does."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.findings.report import Report
from checker.reading.files import read_file, read_text
from checker.reporting import screen
from checker.reporting.open_facts import open_facts
from tests.support import readme
from tests.support.commands import changeout
from tests.support.many_jobs import bell, on_bells
from tests.support.rulesets import ON

ROOT = Path(__file__).parent.parent
FILES = sorted([*(ROOT / "examples" / "jobs").glob("*.json"), *(ROOT / "tests" / "jobs").glob("*.json")])
FILES = [file for file in FILES if '"like"' not in file.read_text(encoding="utf-8")]  # those that stand by themselves
BLANK: dict[str, Any] = {"job_id": "blank", "schema_version": 1}
NEARLY_BLANK = {
    "nothing": BLANK,
    "an uncovered place": BLANK | {"site": {"jurisdiction": "Anytown"}},
    "a place that two editions may hold in": BLANK | {"site": {"jurisdiction": "xx-alder"}},
    "another trade's system": BLANK | {"site": {"jurisdiction": "xx-alder"}, "scope": {"system": "package_unit"}},
}
NEVER = ("approved", "compliant", "certified")


def report_of(shipped: Checker, facts: dict[str, Any]) -> Report:
    return shipped.check(read_text(json.dumps(facts).encode(), "job.json"), ON)


def assert_fits(report: Report) -> str:
    """A screen: its lines, its columns, who decides, and why it ends with another code than 0."""
    told = screen.render(report)
    assert len(told.splitlines()) <= screen.MOST_LINES, told
    assert max(map(len, told.splitlines())) <= 80
    assert "The authority having jurisdiction decides." in told
    assert not any(word in told.lower() for word in NEVER)
    for finding in report.to_fix[:1]:
        assert " ".join((finding.headline or finding.title).split()) in " ".join(told.split())
    if report.before_running:
        assert "life safety" in told.lower()
    if report.not_judged:
        assert "Not judged here" in told
    return told


@pytest.mark.parametrize(
    "path",
    [
        pytest.param(file, id=file.stem, marks=pytest.mark.long if file.is_relative_to(ROOT / "tests") else [])
        for file in FILES
    ],
)
def test_a_job_fits_a_screen(path: Path, shipped: Checker) -> None:
    assert_fits(shipped.check(read_file(path), ON))


@pytest.mark.parametrize("name", NEARLY_BLANK)
def test_a_job_that_records_hardly_anything_fits_a_screen(name: str, shipped: Checker) -> None:
    told = assert_fits(report_of(shipped, NEARLY_BLANK[name]))
    assert "'changeout interview'" in told or "Nothing was judged." in told


def test_a_job_in_which_everything_fails_fits_a_screen(shipped: Checker) -> None:
    """Every finding of an example made a failure, with life safety and cautions: the first are told, the rest counted."""
    report = shipped.check(read_file(FILES[0]), ON)
    failed = tuple(
        one._replace(outcome="fail", message="It is wrong. " * 9, remedy="Mend it. " * 20) for one in report.findings
    )
    told = assert_fits(report._replace(findings=failed, title="A long title " * 30, deciding=("A note " * 40,) * 9))
    assert f"Fix first ({len(report._replace(findings=failed).to_fix)})" in told
    assert "more" in told.partition("Fix first")[2]


def test_a_failure_is_told_with_reading_section_remedy_and_caution(shipped: Checker) -> None:
    path = ROOT / "examples" / "jobs" / "02-oversized-breaker.json"
    report = shipped.check(read_file(path), ON)
    told = " ".join(screen.render(report).split())
    (finding,) = report.to_fix
    for part in (finding.message, "440.4(B)", finding.remedy, *(caution.text for caution in finding.cautions)):
        assert " ".join(part.split()) in told
    assert "Don't call for inspection yet." in told


def test_open_life_safety_stands_before_the_rest_and_its_caution_once(shipped: Checker) -> None:
    report = report_of(shipped, BLANK)
    told = " ".join(screen.render(report).split())
    assert told.index("(life safety)") < told.index("Still to record")
    assert 1 == told.count(" ".join(report.caution.split()))


def test_the_most_decisive_comes_first(shipped: Checker) -> None:
    """Life safety, then weight, then what settles most rules by itself, then what most rules wait for."""
    ranks = [one.rank for one in open_facts(report_of(shipped, BLANK).findings)]
    assert ranks == sorted(ranks)
    assert len({one.need.fact for one in open_facts(report_of(shipped, BLANK).findings)}) == len(ranks)


def test_every_open_fact_is_named_or_counted(shipped: Checker) -> None:
    report = report_of(shipped, BLANK)
    asked = screen.render(report)
    facts = open_facts(report.findings)
    named = sum(1 for one in facts if one.need.ask and one.need.ask[:40] in " ".join(asked.split()))
    assert 0 < named < len(facts)
    assert f"up to {len(facts)} to record" in " ".join(asked.split())


def test_many_jobs_are_a_table_with_a_line_a_job_and_the_failures_below() -> None:
    run = changeout("check", "examples/jobs", "--on", ON.isoformat())
    lines = run.stdout.splitlines()
    rows = [line for line in lines if line.startswith("examples/jobs/")]
    assert len(list((ROOT / "examples" / "jobs").glob("*.json"))) == len(rows)
    assert any(line.startswith("examples/jobs/02-oversized-breaker.json") and "fix first" in line for line in rows)
    assert "02-oversized-breaker: " in run.stdout.partition("To fix")[2]
    assert max(map(len, lines)) <= 80
    assert 1 == run.returncode


def test_failures_of_very_many_jobs_are_bounded(tmp_path: Path) -> None:
    file = tmp_path / "many.jsonl"
    file.write_text("".join(json.dumps(bell(f"j{number}")) + "\n" for number in range(60)), encoding="utf-8")
    run = changeout(*on_bells("check", str(file)))
    assert 60 == sum("fix first" in line for line in run.stdout.splitlines())
    assert "and 20 more" in run.stdout
    assert "What to fix most often:" in run.stdout


def test_one_station_is_told_whole_and_no_other(shipped: Checker) -> None:
    run = changeout("check", "examples/jobs/03-no-overflow-device.json", "--station", "drain", "--on", ON.isoformat())
    assert 1 == run.returncode
    assert "Primary drain slopes" in run.stdout
    assert "FAIL: " in run.stdout
    assert "permit" not in run.stdout


def test_a_station_is_known_by_a_word_of_its_heading_and_a_wrong_one_is_told_which_there_are() -> None:
    job = "examples/jobs/01-clean.json"
    assert "Drain and float switch" in changeout("check", job, "--station", "float", "--on", ON.isoformat()).stdout
    wrong = changeout("check", job, "--station", "dran", "--on", ON.isoformat())
    assert 2 == wrong.returncode
    assert "drain (Drain and float switch)" in wrong.stderr


def test_all_tells_everything(shipped: Checker) -> None:
    path = ROOT / "examples" / "jobs" / "05-only-the-nameplate.json"
    run = changeout("check", "examples/jobs/05-only-the-nameplate.json", "--all", "--on", ON.isoformat())
    told = " ".join(run.stdout.split())
    for one in open_facts(shipped.check(read_file(path), ON).findings):
        assert f"[{one.need.fact}]" in told


def test_the_readme_shows_what_is_really_printed() -> None:
    """Where it does not: `python -m tests.support.readme` draws it anew."""
    told = (ROOT / "README.md").read_text(encoding="utf-8")
    for picture in (readme.TERMINAL, readme.PAGE):
        assert f'src="{picture.relative_to(ROOT).as_posix()}"' in told
        assert picture.stat().st_size < 60_000
    assert readme.terminal() == readme.TERMINAL.read_text(encoding="utf-8")
