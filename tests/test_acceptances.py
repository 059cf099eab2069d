"""The authority's acceptance of a failure: it stands, lapses, goes missing; it never turns a failure into a pass."""

from __future__ import annotations

import datetime
from typing import Any

import pytest

from checker.acceptances import with_acceptance
from checker.findings import FAIL, Finding
from checker.report.model import Report
from tests.conftest import ON, Judge

FACTS: dict[str, Any] = {
    "circuits": [
        {
            "key": "condenser", "serves": "outdoor_unit", "nameplate": {"maximum_breaker": "30 A", "maximum_fuse": "30 A"},
            "devices": [{"key": "panel", "kind": "breaker", "place": "panel", "rating": "40 A"}],
        }
    ]
}  # fmt: skip
RULE = "overcurrent-within-nameplate"


def failure(report: Report) -> Finding:
    (found,) = (finding for finding in report.findings if finding.rule == RULE)
    return found


@pytest.fixture
def accepted(judge: Judge) -> dict[str, Any]:
    found = failure(judge(FACTS))
    return {
        "key": "letter", "rule": RULE, "finding_id": found.finding_id, "evidence_digest": found.evidence_digest,
        "accepted_by": "the building office", "reference": "letter 7", "accepted_on": "2026-10-01", "until": "2026-12-31",
    }  # fmt: skip


def judged(judge: Judge, acceptance: dict[str, Any], on: datetime.date = ON, facts: dict[str, Any] = FACTS) -> Report:
    return judge({**facts, "acceptances": [acceptance]}, on)


def test_one_that_stands_leaves_the_failure_a_failure(judge: Judge, accepted: dict[str, Any]) -> None:
    found = failure(judged(judge, accepted))
    assert (FAIL, True) == (found.outcome, found.accepted)


@pytest.mark.parametrize(
    ("day", "stands"), [("2026-09-30", False), ("2026-10-01", True), ("2026-12-31", True), ("2027-01-01", False)]
)
def test_its_last_day_is_inclusive_and_it_does_not_look_ahead(
    judge: Judge, accepted: dict[str, Any], day: str, stands: bool
) -> None:
    report = judged(judge, accepted, datetime.date.fromisoformat(day))
    assert stands == failure(report).accepted
    assert stands != any("does not count" in note for note in report.notes)


def test_it_lapses_when_the_evidence_changes(judge: Judge, accepted: dict[str, Any]) -> None:
    device = {**FACTS["circuits"][0]["devices"][0], "rating": "45 A"}
    worse = {"circuits": [{**FACTS["circuits"][0], "devices": [device]}]}
    report = judged(judge, accepted, facts=worse)
    assert not failure(report).accepted
    assert any("has changed since" in note for note in report.notes)


def test_one_for_a_rule_that_passes_is_reported_as_unused(judge: Judge, accepted: dict[str, Any]) -> None:
    device = {**FACTS["circuits"][0]["devices"][0], "rating": "30 A"}
    report = judged(judge, accepted, facts={"circuits": [{**FACTS["circuits"][0], "devices": [device]}]})
    assert "pass" == failure(report).outcome
    assert any("the rule does not fail" in note for note in report.notes)


@pytest.mark.parametrize("field", ["finding_id", "evidence_digest", "accepted_by", "reference", "until"])
def test_an_ill_formed_one_counts_for_nothing_and_says_what_it_lacks(
    judge: Judge, accepted: dict[str, Any], field: str
) -> None:
    report = judged(judge, {name: value for name, value in accepted.items() if name != field})
    assert not failure(report).accepted
    assert any("it lacks" in note for note in report.notes)


def test_one_that_names_no_finding_is_reported(judge: Judge, accepted: dict[str, Any]) -> None:
    report = judged(judge, {**accepted, "finding_id": "0" * 16})
    assert any("names no finding" in note for note in report.notes)


def test_the_names_of_a_finding_survive_layout_and_order(judge: Judge) -> None:
    other = {"key": "furnace", "serves": "furnace"}
    alone, second = judge(FACTS), judge({"circuits": [other, *FACTS["circuits"]]})
    one = failure(alone)
    (two,) = (f for f in second.findings if f.rule == RULE and f.item == "condenser")
    assert (one.finding_id, one.evidence_digest) == (two.finding_id, two.evidence_digest)


def test_without_acceptances_nothing_is_said(judge: Judge) -> None:
    from checker.job import Job

    report = judge(FACTS)
    job = Job("a", "a.json", {}, {}, {}, None, {})  # type: ignore[arg-type]
    assert (list(report.findings), ()) == with_acceptance(list(report.findings), job, ON)
