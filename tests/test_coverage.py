"""What an archive exercised of the rules: counts of four lanterns worked out by hand, and of every example."""

from __future__ import annotations

import json
import shutil
from collections import defaultdict
from pathlib import Path
from typing import Any

import pytest

from checker.authoring.impact.coverage import Coverage, Covered, Version
from checker.authoring.impact.coverage_text import as_json, as_text
from checker.engine.checker import Checker
from checker.reading.files import read_file, read_text
from checker.reading.job import Job, load
from checker.reading.job_schema import job_vocabulary
from checker.rulesets.library import open_library
from tests.support.commands import JOBS, changeout
from tests.support.rulesets import ON, TINY

HEIGHT, PAPER, ANY, CARRIED, KEPT = (
    "lit-lantern-high-enough",
    "paper-not-bare-rice",
    "tin-or-unlit-indoors",
    "lantern-lit-or-of-tin",
    "rice-hung-late",
)
CITED = 'citation: [{document: guild, section: "6", section_sure: checked, requirement_sure: checked}]'
LIMITS = "".join(
    f'  {name}: {{title: {name}, unit: ft, values: [{{value: "{value}", source: invented, sure: checked}}]}}\n'
    for name, value in (("off_the_ground", 1), ("high", 20), ("low", 2))
)
MORE = f"""\
limits:
{LIMITS}
rules:
  {CARRIED}:
    title: Lit, or of tin and high
    topic: fire
    obligation: should
    intent: Invented.
    {CITED}
    require:
      - lantern.height > off_the_ground
      - any_of:
          - option: lit
            when: lantern.lit
          - all_of:
              - lantern.paper == tin
              - any_of: [lantern.height > high, lantern.height < low]
    cases: [{{name: any, given: {{}}, expect: verify_locally}}]
  {KEPT}:
    title: Rice only in edition 1
    topic: fire
    obligation: should
    editions: "1"
    intent: Invented.
    {CITED}
    applies_when: [lantern.paper == rice]
    require: [lantern.height > off_the_ground]
    cases: [{{name: any, given: {{}}, expect: verify_locally}}]
"""


@pytest.fixture
def guild(tmp_path: Path) -> Checker:
    """The lantern guild with two rules more."""
    shutil.copytree(TINY / "rulesets", tmp_path / "rulesets")
    (tmp_path / "rulesets" / "guild" / "more.yaml").write_text(MORE, encoding="utf-8")
    return Checker(open_library([tmp_path / "rulesets"]), job_vocabulary(TINY / "job.schema.json"))


def lantern(checker: Checker, hung: str, place: str = "xx-nether-lamp", **facts: Any) -> Job:
    data = {"job_id": "j", "schema_version": 1, "site": {"jurisdiction": place}, "lantern": facts}
    if hung:
        data["dates"] = {"hung": hung}
    return load(read_text(json.dumps(data).encode(), "j.json"), checker.vocabulary)


@pytest.fixture
def coverage(guild: Checker) -> Coverage:
    """Edition 1 asks for 7 ft, edition 2, from 2024, for 8 ft; a lit lantern's paper is oiled or tin."""
    found = Coverage(guild, ON)
    found.add(lantern(guild, "2023-05-01", lit=True, height=7.5, paper="oiled"))
    found.add(lantern(guild, "2025-05-01", lit=True, height=7.5, paper="tin"))
    found.add(lantern(guild, "", lit=True, height=7.5, paper="oiled"))
    found.add(lantern(guild, "2025-05-01", lit=False, height=25, paper="tin"))
    return found


def of(coverage: Coverage, rule: str) -> Covered:
    (found,) = (one for one in coverage.rules() if one.rule == rule)
    return found


@pytest.mark.parametrize(
    ("rule", "counts"),
    [
        (HEIGHT, (3, 1, 1, 1)),  # passes at 7 ft, fails at 8 ft, open where the edition is not known; one is not lit
        (PAPER, (3, 3, 0, 0)),
        (ANY, (4, 4, 0, 0)),
        (CARRIED, (4, 4, 0, 0)),
        (KEPT, (0, 0, 0, 0)),
    ],
)
def test_jobs_a_rule_applied_to_passed_failed_and_left_open(
    coverage: Coverage, rule: str, counts: tuple[int, ...]
) -> None:
    found = of(coverage, rule)
    assert counts == (found.applied, found.passed, found.failed, found.open)


def test_lines_and_the_branches_inside_them(coverage: Coverage) -> None:
    """Three are lit; the last is of tin and high, which takes both the outer and the inner way."""
    high, ways = of(coverage, CARRIED).lines
    assert ("lantern.height > off_the_ground", 4, 0, 0, ()) == tuple(high)
    assert (4, 0, 0) == (ways.held, ways.broken, ways.open)
    assert [
        ("lit", 3, 1, 0),
        ("lantern.paper == tin and any of: lantern.height > high; lantern.height < low", 1, 3, 0),
        ("lantern.height > high", 1, 3, 0),
        ("lantern.height < low", 0, 4, 0),
    ] == [tuple(branch) for branch in ways.branches]


def test_a_line_under_two_editions_counts_for_both_in_a_job_of_unknown_edition(coverage: Coverage) -> None:
    (line,) = of(coverage, HEIGHT).lines
    assert (2, 2, 0) == (line.held, line.broken, line.open)


def test_editions_used_and_not_used(coverage: Coverage) -> None:
    assert ((Version("1", 1), 2), (Version("2", 1), 2)) == of(coverage, HEIGHT).used
    assert () == of(coverage, HEIGHT).unused
    assert ((), (Version("1", 1),)) == (of(coverage, KEPT).used, of(coverage, KEPT).unused)


def test_what_was_only_left_open_was_not_exercised(guild: Checker) -> None:
    found = Coverage(guild, ON)
    found.add(lantern(guild, "2023-05-01", lit=True))
    assert (1, False) == (of(found, HEIGHT).open, of(found, HEIGHT).exercised)
    (line,) = of(found, HEIGHT).lines
    assert (0, 0, 1, False) == (line.held, line.broken, line.open, line.decided)


def test_a_ruleset_of_a_place_without_jobs_is_named(guild: Checker) -> None:
    found = Coverage(guild, ON)
    found.add(lantern(guild, "2023-05-01", place="xx-elsewhere", lit=True))
    assert ["village"] == found.places_not_met()


@pytest.mark.long
def test_counts_are_those_of_the_reports_on_every_example(shipped: Checker) -> None:
    """A person who counts the findings of the reports gets the same numbers."""
    found, expected = Coverage(shipped, ON), defaultdict(set)
    for path in sorted(JOBS.glob("*.json")):
        job = load(read_file(path, path.name), shipped.vocabulary)
        found.add(job)
        for finding in shipped.check_job(job, ON).findings:
            expected[finding.rule, finding.outcome].add(path.name)
            expected[finding.rule, "applied"].add(path.name)
    counted = {}
    for one in found.rules():
        outcomes = {"applied": one.applied, "pass": one.passed, "fail": one.failed, "verify_locally": one.open}
        counted |= {(one.rule, outcome): jobs for outcome, jobs in outcomes.items() if jobs}
    assert {key: len(jobs) for key, jobs in expected.items()} == counted


@pytest.mark.long
def test_on_every_example_a_rule_that_failed_broke_a_line_and_each_that_applied_used_a_version(
    shipped: Checker,
) -> None:
    found = Coverage(shipped, ON)
    for path in sorted(JOBS.glob("*.json")):
        found.add(load(read_file(path, path.name), shipped.vocabulary))
    for one in found.rules():
        assert bool(one.applied) == bool(one.used), one.rule
        if one.failed:
            assert any(line.broken for line in one.lines), one.rule


# --- words and the command ---


@pytest.mark.parametrize("width", [40, 80, 120])
def test_text_begins_with_what_was_never_exercised_and_keeps_within_the_terminal(
    coverage: Coverage, width: int
) -> None:
    text = as_text(coverage, 2, width)
    assert max(map(len, text.splitlines())) <= width
    said = " ".join(text.split())
    assert said.startswith(
        "4 jobs checked on 2026-11-25: 4 of the 5 rules of their places exercised. 2 could not be used."
    )
    assert said.index("Never exercised (1)") < said.index("Exercised (4)")
    assert f"{KEPT}: Rice only in edition 1; applied to none" in said
    assert "way never met: lantern.height < low" in said
    assert "line never broken" not in said, "where a rule has one line, or never failed, that goes without saying"
    assert f"{PAPER}: applied to 3 jobs, passed 3, failed 0, left open 0" in said


def test_json_holds_the_same(coverage: Coverage) -> None:
    data = json.loads(as_json(coverage, 2))
    assert (4, 2, [KEPT, HEIGHT, PAPER, ANY, CARRIED]) == (
        data["jobs"],
        data["unusable"],
        [rule["rule"] for rule in data["rules"]],
    )
    assert [{"edition": "1", "from": None, "jobs": 2}, {"edition": "2", "from": None, "jobs": 2}] == data["rules"][1][
        "used"
    ]


def test_the_command_counts_a_bad_job_and_goes_on(tmp_path: Path) -> None:
    (tmp_path / "a.json").write_text("{", encoding="utf-8")
    (tmp_path / "b.json").write_text((JOBS / "01-clean.json").read_text(encoding="utf-8"), encoding="utf-8")
    run = changeout("rules", "coverage", str(tmp_path), "--on", "2026-11-25", "--format", "json")
    assert 2 == run.returncode
    assert "a.json:1:2" in run.stderr
    assert (1, 1) == (json.loads(run.stdout)["jobs"], json.loads(run.stdout)["unusable"])
    assert 0 == changeout("rules", "coverage", str(JOBS / "01-clean.json"), "--on", "2026-11-25").returncode
