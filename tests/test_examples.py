"""The examples as reports, kept as snapshots: they guard layout and wording, not truth."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from syrupy.assertion import SnapshotAssertion
from syrupy.extensions.single_file import SingleFileSnapshotExtension, WriteMode

from checker.engine.checker import Checker
from checker.reading.files import read_file
from checker.reporting import json as as_json
from checker.reporting import text as as_text
from tests.support.rulesets import ON

ROOT = Path(__file__).parent.parent
JOBS = sorted((ROOT / "examples" / "jobs").glob("*.json"))
DIGEST = re.compile(r"\b(?:[0-9a-f]{64}|[0-9a-f]{16})\b")
REPORT = Draft202012Validator(json.loads((ROOT / "schemas" / "report.schema.json").read_text()))


def without_digests(report: str) -> str:
    """A report without what changes with each word of a ruleset; tests of releases and acceptances hold the digests."""
    return DIGEST.sub("0", report)


class _Text(SingleFileSnapshotExtension):
    file_extension = "txt"
    _write_mode = WriteMode.TEXT


class _Json(_Text):
    file_extension = "json"


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_text_report(path: Path, shipped: Checker, snapshot: SnapshotAssertion) -> None:
    report = shipped.check(read_file(path, f"examples/jobs/{path.name}"), ON)
    assert without_digests(as_text.render(report, 100)) == snapshot(extension_class=_Text)


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_json_report(path: Path, shipped: Checker, snapshot: SnapshotAssertion) -> None:
    """Each is of the schema; one of them is kept whole."""
    rendered = as_json.render([shipped.check(read_file(path, f"examples/jobs/{path.name}"), ON)])
    assert [] == [error.message for error in REPORT.iter_errors(json.loads(rendered))]
    if path.stem == "02-oversized-breaker":
        assert without_digests(rendered) == snapshot(extension_class=_Json)


# What each example is there to show: the rule, its outcome, and the exit code of the job alone.
STORIES = {
    "01-clean": ("overcurrent-within-nameplate", "pass", 0),
    "02-oversized-breaker": ("overcurrent-within-nameplate", "fail", 1),
    "03-no-overflow-device": ("overflow-protection-where-damage-possible", "fail", 1),
    "04-decay-rises": ("evacuation-decay", "fail", 1),
    "05-only-the-nameplate": ("overcurrent-within-nameplate", "verify_locally", 1),
    "06-heat-kit-two-circuits": ("every-supply-has-one-circuit", "pass", 0),
    "08-accepted": ("disconnect-working-space", "fail", 0),
    "09-measure-again": ("evacuation-level-usual", "verify_locally", 1),
}


@pytest.mark.parametrize(("name", "story"), STORIES.items())
def test_an_example_shows_what_it_is_there_for(name: str, story: tuple[str, str, int], shipped: Checker) -> None:
    rule, outcome, code = story
    (path,) = (path for path in JOBS if path.stem == name)
    report = shipped.check(read_file(path), ON)
    found = [finding for finding in report.findings if finding.rule == rule]
    assert outcome in {finding.outcome for finding in found}
    assert code == report.exit_code(strict=False)


def test_an_accepted_failure_stays_a_failure_and_counts_no_more(shipped: Checker) -> None:
    (path,) = (path for path in JOBS if path.stem == "08-accepted")
    report = shipped.check(read_file(path), ON)
    accepted = [finding for finding in report.findings if finding.accepted]
    assert ["fail"] == [finding.outcome for finding in accepted]
    later = shipped.check(read_file(path), ON.replace(year=ON.year + 2))
    assert 1 == later.exit_code(strict=False), "past its last day it counts again"
    assert any("does not count: its last day was" in note for note in later.notes)


def test_an_edition_adopted_between_two_permits_changes_an_outcome(shipped: Checker) -> None:
    before, after = (shipped.check(read_file(path), ON) for path in JOBS if path.stem.startswith("07"))
    said = [{(f.rule, f.item): f.outcome for f in report.findings} for report in (before, after)]
    assert said[0] != said[1]


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_no_report_claims_what_only_the_authority_can(path: Path, shipped: Checker) -> None:
    report = shipped.check(read_file(path), ON)
    printed = (as_text.render(report, 100) + as_json.render([report])).lower()
    assert [] == [word for word in ("approved", "compliant", "certified") if word in printed]
