"""A baseline: only what is new fails; layout and names do not matter; another job's failure is never swallowed."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from checker.batch import baseline
from checker.engine.checker import Checker
from checker.findings.finding import finding_id
from checker.problems.problem import ProblemsFound
from checker.reading.files import read_text
from tests.support.commands import changeout, on_day
from tests.support.many_jobs import JOBS, item, small, told
from tests.support.rulesets import ON

pytestmark = pytest.mark.long


def made(checker: Checker, file: Path, *jobs: dict[str, Any]) -> Path:
    """The baseline of some jobs."""
    _, _, lines = told(checker, "jsonl", [item(job, f"{n}.json") for n, job in enumerate(jobs)], entries=True)
    file.write_text(baseline.head() + lines)
    return file


def written(folder: Path, name: str, job: dict[str, Any], indent: int | None = None) -> None:
    (folder / name).write_text(json.dumps(job, indent=indent, sort_keys=indent is not None))


def with_smaller_limit(job: dict[str, Any]) -> dict[str, Any]:
    changed = json.loads(json.dumps(job))
    changed["circuits"][0]["nameplate"]["maximum_breaker"] = 20
    return changed


def test_what_stands_in_the_baseline_does_not_fail_and_what_is_new_does(tmp_path: Path) -> None:
    written(tmp_path, "a.json", small("a"))
    first = changeout(*on_day("check", "a.json", "--write-baseline", "base.jsonl"), cwd=tmp_path)
    assert 1 == first.returncode, "making one changes no outcome"
    known = changeout(*on_day("check", "a.json", "--baseline", "base.jsonl"), cwd=tmp_path)
    assert 0 == known.returncode, known.stderr
    assert "are in the baseline and do not count for the exit code." in " ".join(known.stdout.split())
    assert "Breaker too big: 50 A, nameplate max 35 A" in known.stdout, "it is told all the same"
    written(tmp_path, "a.json", with_smaller_limit(small("a")))
    assert 1 == changeout(*on_day("check", "a.json", "--baseline", "base.jsonl"), cwd=tmp_path).returncode


def test_a_baseline_survives_another_layout_and_another_name(tmp_path: Path) -> None:
    written(tmp_path, "a.json", small("a"))
    changeout(*on_day("check", "a.json", "--write-baseline", "base.jsonl"), cwd=tmp_path)
    written(tmp_path, "renamed.json", small("a"), indent=7)
    (tmp_path / "lines.jsonl").write_text("\n\n" + json.dumps(small("a")) + "\n")
    for name in ("renamed.json", "lines.jsonl"):
        assert 0 == changeout(*on_day("check", name, "--baseline", "base.jsonl"), cwd=tmp_path).returncode


@pytest.mark.parametrize(
    "other", [small("b"), with_smaller_limit(small("a"))], ids=["the same facts on another job", "other facts"]
)
def test_another_failure_is_new(shipped: Checker, tmp_path: Path, other: dict[str, Any]) -> None:
    base = made(shipped, tmp_path / "base.jsonl", small("a"))
    _, same, _ = told(shipped, "jsonl", [item(small("a"))], base)
    _, new, _ = told(shipped, "jsonl", [item(other)], base)
    assert (0, 1) == (same.code, new.code)


def test_a_second_job_of_the_same_name_is_not_swallowed(tmp_path: Path) -> None:
    """Two houses under one job_id, with the same failure: the baseline was made for one of them."""
    written(tmp_path, "a.json", small("a"))
    changeout(*on_day("check", "a.json", "--write-baseline", "base.jsonl"), cwd=tmp_path)
    written(tmp_path, "b.json", small("a", title="another house"))
    run = changeout(*on_day("check", "a.json", "b.json", "--baseline", "base.jsonl"), cwd=tmp_path)
    assert 2 == run.returncode
    assert "b.json\n  Another job of this run is called 'a' too." in run.stderr


def test_an_open_question_of_life_safety_is_new_when_it_comes(shipped: Checker, tmp_path: Path) -> None:
    base = made(shipped, tmp_path / "base.jsonl", small("a"))
    text, totals, _ = told(shipped, "jsonl", [item(small("a"))], base)
    assert 0 == totals.code
    rules, job = map(json.loads, text.splitlines())
    (told_of,) = rules["rules"].values()
    opened = next(
        f for f in job["findings"] if f["outcome"] == "verify_locally" and told_of[f["rule"]].get("life_safety")
    )
    lines = base.read_text().splitlines(keepends=True)
    base.write_text("".join(line for line in lines if opened["finding_id"] not in line))
    assert 1 == told(shipped, "jsonl", [item(small("a"))], base)[1].code


def test_a_question_that_becomes_a_failure_is_new(shipped: Checker, tmp_path: Path) -> None:
    base = made(shipped, tmp_path / "base.jsonl", small("a"))
    lines = base.read_text().splitlines(keepends=True)
    opened = "".join(line.replace('"outcome":"fail"', '"outcome":"verify_locally"') for line in lines)
    base.write_text(opened)
    assert 1 == told(shipped, "jsonl", [item(small("a"))], base)[1].code


def test_what_the_authority_accepted_is_not_in_a_baseline(shipped: Checker) -> None:
    path = JOBS / "08-accepted.json"
    report = shipped.check(read_text(path.read_bytes(), path.name), ON)
    accepted = {finding.finding_id for finding in report.findings if finding.accepted}
    kept = {json.loads(line)["finding_id"] for line in baseline.lines(report).splitlines()}
    assert accepted
    assert not accepted & kept
    assert {finding.finding_id for finding in report.to_verify} <= kept


def test_a_rule_that_was_renamed_is_known_under_its_former_name(shipped: Checker) -> None:
    report = shipped.check(read_text(json.dumps(small("a")).encode(), "a.json"), ON)
    fail = report.to_fix[0]._replace(formerly=("an-older-name",))
    former = (finding_id("a", "an-older-name", fail.item), fail.evidence_digest, "fail")
    one = report._replace(findings=(fail,))
    assert {fail.finding_id} == baseline.known(one, frozenset([former]))
    assert not baseline.known(one._replace(job_id="b"), frozenset([former]))


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("", ":1:1"),
        ("{}\n", ":1:1"),
        ("not a baseline\n", ":1:1"),
        (baseline.head() + '{"finding_id": "a"}\n', ":2:1"),
        (baseline.head() + "[\n", ":2:1"),
        (None, ""),
    ],
)
def test_what_is_no_baseline_is_refused(tmp_path: Path, text: str | None, place: str) -> None:
    file = tmp_path / "base.jsonl"
    if text is not None:
        file.write_text(text)
    with pytest.raises(ProblemsFound) as found:
        baseline.read(file)
    assert str(found.value).startswith(f"{file}{place}\n")


def test_forms_say_what_is_known(shipped: Checker, tmp_path: Path) -> None:
    base = made(shipped, tmp_path / "base.jsonl", small("a"))
    jobs = [item(small("a"), "a.json"), item(small("b"), "b.json")]
    results = json.loads(told(shipped, "sarif", jobs, base)[0])["runs"][0]["results"]
    states = {(r["properties"]["job_id"], r["baselineState"]) for r in results if r["kind"] == "fail"}
    assert {("a", "unchanged"), ("b", "new")} == states
    junit = told(shipped, "junit", jobs, base)[0].split('<testsuite name="b"')
    assert ["<failure " in part for part in junit] == [False, True]
    assert "It is in the baseline." in junit[0]
    assert "### b" in told(shipped, "markdown", jobs, base)[0]
    assert "### a" not in told(shipped, "markdown", jobs, base)[0]
