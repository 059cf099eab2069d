"""Whole jobs under `jobs`, each with what must be said of it, worked out by hand before any of it was judged.

`NAME.json` is the job, `NAME.yaml` its expectations; `jobs/README.md` tells how both are written and lists the stories.
"""

from __future__ import annotations

import datetime
import functools
import json
from typing import Any, NamedTuple

import pytest

from checker.engine.checker import Checker
from checker.findings.finding import Finding
from checker.findings.report import Report
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.problems.document import Document
from checker.reading.files import read_file, read_text
from checker.reading.job import load
from tests.support.jobs import JOBS, NAMES, whole_job
from tests.support.rulesets import ON

DOES_NOT_APPLY = "does_not_apply"
OUTCOMES = (PASS, FAIL, VERIFY, DOES_NOT_APPLY)

# What a line of expectations may say: a rule and its outcome, or why no rule looks at a check.
OF_A_RULE = {"check", "rule", "item", "outcome", "because", "remedy", "by_hand", "differs", "to_mend"}
OF_NO_RULE = {"check", "by_hand", "no_rule"}


class Expected(NamedTuple):
    """One line: on job `job` the rule says `outcome`, of one item of a list or, with no item, of every item it judges."""

    job: str
    rule: str
    item: str
    outcome: str
    remedy: tuple[str, ...]
    to_mend: str


def _document(name: str) -> Document:
    return read_text(json.dumps(whole_job(JOBS / f"{name}.json")).encode(), f"{name}.json")


def _lines(name: str) -> list[dict[str, Any]]:
    lines: list[dict[str, Any]] = read_file(JOBS / f"{name}.yaml", f"{name}.yaml").data["expect"]
    return lines


def _expected(name: str) -> list[Expected]:
    return [
        Expected(
            name,
            line["rule"],
            line.get("item", ""),
            line["outcome"],
            tuple(line.get("remedy", ())),
            line.get("to_mend", ""),
        )
        for line in _lines(name)
        if "rule" in line
    ]


@functools.cache
def _report(checker: Checker, name: str) -> Report:
    return checker.check(_document(name), ON)


def _found(report: Report, expected: Expected) -> list[Finding]:
    findings = [finding for finding in report.findings if finding.rule == expected.rule]
    return [finding for finding in findings if expected.item in ("", finding.item)]


def _wrong(expected: Expected, shipped: Checker) -> list[str]:
    """What of a line of expectations does not hold."""
    findings = _found(_report(shipped, expected.job), expected)
    said = {finding.outcome for finding in findings} or {DOES_NOT_APPLY}
    named = " ".join(filter(None, (expected.rule, expected.item)))
    if said != {expected.outcome}:
        told = [(finding.item, finding.outcome, finding.message) for finding in findings]
        return [f"{named}: {expected.outcome} is expected; {told}"]
    remedies = [f"{finding.remedy} {finding.bring}" for finding in findings]
    return [
        f"{named}: no remedy says '{words}'" for words in expected.remedy if not any(words in one for one in remedies)
    ]


@pytest.mark.parametrize("name", NAMES)
def test_a_whole_job_gets_the_outcomes_worked_out_by_hand(name: str, shipped: Checker) -> None:
    """A line that is still to be mended does not hold yet; once it does, its mark is to be taken away."""
    lines = _expected(name)
    assert [] == [wrong for one in lines if not one.to_mend for wrong in _wrong(one, shipped)]
    assert [] == [one.rule for one in lines if one.to_mend and not _wrong(one, shipped)], "take 'to_mend' away"


@pytest.mark.parametrize("name", NAMES)
def test_a_whole_job_can_be_judged_and_is_inside_what_the_rules_are_written_for(name: str, shipped: Checker) -> None:
    job = load(_document(name), shipped.vocabulary)
    report = _report(shipped, name)
    assert (job.text("title"), report.not_judged) == (report.title, ())
    assert report.findings


@pytest.mark.parametrize("name", NAMES)
def test_each_line_of_expectations_names_a_rule_that_exists_and_its_reason(name: str, shipped: Checker) -> None:
    rules = {rule for ruleset in shipped.library.rulesets.values() for rule in ruleset.rules}
    readings = load(_document(name), shipped.vocabulary).readings
    keys = {reading.written for path, reading in readings.items() if path.endswith(".key")}
    for line in _lines(name):
        reason = "because" if "rule" in line else "no_rule"
        assert line[reason], line
        assert set(line) <= (OF_A_RULE if "rule" in line else OF_NO_RULE), line
        assert ("by_hand" in line) == bool({"differs", "no_rule"} & set(line)), line
        assert line.get("rule") in rules | {None}, line
        assert line.get("outcome") in {*OUTCOMES, None}, line
        assert set(filter(None, line.get("item", "").split("/"))) <= keys, line


@pytest.mark.parametrize("name", NAMES)
def test_a_whole_job_fails_nothing_that_its_story_does_not_tell(name: str, shipped: Checker) -> None:
    told = {expected.rule for expected in _expected(name) if expected.outcome == FAIL or expected.to_mend}
    assert {finding.rule for finding in _report(shipped, name).with_outcome(FAIL)} - told == set()


def test_every_job_has_expectations_and_a_line_in_the_readme() -> None:
    table = (JOBS / "README.md").read_text(encoding="utf-8")
    assert NAMES == sorted(path.stem for path in JOBS.glob("*.yaml"))
    assert [name for name in NAMES if f"| {name} |" not in table] == []


def test_the_day_of_judging_lies_after_the_work_of_every_job(shipped: Checker) -> None:
    for name in NAMES:
        for path in ("work_started", "work_finished", "inspection"):
            day = _document(name).data.get("dates", {}).get(path)
            assert not isinstance(day, str) or datetime.date.fromisoformat(day) <= ON, (name, path)
