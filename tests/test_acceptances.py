"""The authority's acceptance of a failure: it stands, lapses, goes missing; it never turns a failure into a pass.

Who may accept what is the rule's own to say; a federal rule no office of the place lets off.
"""

from __future__ import annotations

import datetime
import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from checker.cli import main
from checker.engine.checker import Checker
from checker.findings.acceptances import accepted as accepted_in
from checker.findings.acceptances import with_acceptance
from checker.findings.finding import Finding, finding_id
from checker.findings.report import Report
from checker.ir.outcomes import FAIL
from checker.reading.files import read_text
from checker.reading.job import Job, load
from checker.reading.job_schema import job_vocabulary
from checker.rulesets.library import Library
from tests.support.rulesets import ON, Judge

FACTS: dict[str, Any] = {
    "circuits": [
        {
            "key": "condenser", "serves": "outdoor_unit", "nameplate": {"maximum_breaker": "30 A", "maximum_fuse": "30 A"},
            "devices": [{"key": "panel", "kind": "breaker", "place": "panel", "rating": "40 A"}],
        }
    ]
}  # fmt: skip
RULE = "overcurrent-within-nameplate"
RELEASED = {"scope": {"outdoor_unit": True}, "recovery": {"released": "knowingly"}}


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


@pytest.mark.parametrize(
    "field", ["rule", "finding_id", "evidence_digest", "accepted_by", "reference", "accepted_on", "until"]
)
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
    report = judge(FACTS)
    job = Job("a", "a.json", {}, {}, {}, job_vocabulary(), {})
    assert (list(report.findings), ()) == with_acceptance(list(report.findings), job, ON)


def test_one_that_names_another_rule_than_its_finding_does_not_count(judge: Judge, accepted: dict[str, Any]) -> None:
    report = judged(judge, {**accepted, "rule": "disconnect-working-space"})
    assert not failure(report).accepted
    assert any("names the rule disconnect-working-space" in note for note in report.notes)


def test_a_second_one_that_has_ended_does_not_hide_the_first(judge: Judge, accepted: dict[str, Any]) -> None:
    older = {**accepted, "key": "older letter", "until": "2026-10-31"}
    for both in ([older, accepted], [accepted, older]):
        report = judge({**FACTS, "acceptances": both})
        assert "letter" == getattr(failure(report).acceptance, "key", "")
        assert failure(report).accepted


# --- who may accept it -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("by", "level", "stands"),
    [
        ("local", None, True), ("local", "local", True), ("local", "state", True),
        ("state", None, False), ("state", "local", False), ("state", "state", True),
        ("none", None, False), ("none", "local", False), ("none", "state", False),
    ],
)  # fmt: skip
def test_a_rule_says_whose_acceptance_of_it_counts(
    shipped: Checker, judge: Judge, accepted: dict[str, Any], by: str, level: str | None, stands: bool
) -> None:
    found = failure(judge(FACTS))._replace(acceptable_by=by)
    given = {**accepted, **({"office_level": level} if level else {})}
    (judged,), told = with_acceptance([found], _job(shipped, given), ON)
    assert (FAIL, stands) == (judged.outcome, judged.accepted)
    assert stands == (not told)


def _job(checker: Checker, *acceptances: dict[str, Any]) -> Job:
    document = {"job_id": "test", "schema_version": 1, **FACTS, "acceptances": list(acceptances)}
    return load(read_text(json.dumps(document).encode(), "job.json"), checker.vocabulary)


def letter_for(report: Report, rule: str, **more: str) -> dict[str, str]:
    (found,) = (finding for finding in report.findings if finding.rule == rule)
    assert FAIL == found.outcome
    return {"key": "letter", "rule": rule, "finding_id": found.finding_id, "evidence_digest": found.evidence_digest,
            "accepted_by": "an office", "reference": "letter 7", "accepted_on": "2026-10-01", "until": "2026-12-31",
            **more}  # fmt: skip


def accepts(judge: Judge, facts: dict[str, Any], rule: str, level: str) -> bool:
    report = judge({**facts, "acceptances": [letter_for(judge(facts), rule, office_level=level)]})
    (found,) = (finding for finding in report.findings if finding.rule == rule)
    assert FAIL == found.outcome
    return found.accepted


@pytest.mark.parametrize(("level", "stands"), [("local", False), ("state", True)])
def test_a_state_licence_is_the_states_to_let_off(judge: Judge, level: str, stands: bool) -> None:
    facts = {"site": {"jurisdiction": "xx-alder"}, "crew": {"contractor_licence": {"none": "lapsed"}},
             "dates": {"permit_applied": "2026-09-01"}}  # fmt: skip
    assert stands == accepts(judge, facts, "state-licences-on-the-job", level)


@pytest.mark.parametrize("level", ["local", "state"])
def test_no_office_of_the_place_lets_a_knowing_release_off(judge: Judge, level: str) -> None:
    """40 CFR 82.154(a): nobody may knowingly vent refrigerant; a county or a state has no say in it."""
    assert not accepts(judge, RELEASED, "no-knowing-release", level)
    report = judge({**RELEASED, "acceptances": [letter_for(judge(RELEASED), "no-knowing-release")]})
    assert any("no office can accept this one" in note for note in report.notes)


def test_every_federal_rule_is_nobodys_to_accept_here(shipped: Checker) -> None:
    place = shipped.chain("xx-alder")
    federal = {rule for ruleset in place.rulesets if ruleset.header.owner_kind == "federal" for rule in ruleset.rules}
    job = load(
        read_text(b'{"job_id": "a", "schema_version": 1, "site": {"jurisdiction": "xx-alder"}}', "a"),
        shipped.vocabulary,
    )
    by = {rule.id: rule.acceptable_by for rule_id in federal for rule, _ in shipped.judged(job, rule_id, ON)}
    assert by
    assert {"none"} == set(by.values())


# --- a rule that had another name ------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def renamed(shipped: Checker) -> Checker:
    """The shipped rulesets with the rule named as if it had once been called otherwise."""
    nec = shipped.library.rulesets["nec"]
    rule = nec.rules[RULE].replaced(formerly=["fuse-within-nameplate", "breaker-within-nameplate"])
    changed = nec._replace(rules={**nec.rules, RULE: rule})
    rulesets = {**shipped.library.rulesets, "nec": changed}
    return Checker(Library(rulesets.values()), shipped.vocabulary)


@pytest.mark.long
@pytest.mark.parametrize("former", ["fuse-within-nameplate", "breaker-within-nameplate"])
def test_one_given_under_a_former_name_of_its_rule_stands_and_says_so(
    shipped: Checker, renamed: Checker, accepted: dict[str, Any], former: str
) -> None:
    old = {**accepted, "rule": former, "finding_id": finding_id("test", former, "condenser")}
    report = renamed.check_job(_job(shipped, old), ON)
    assert (FAIL, True) == (failure(report).outcome, failure(report).accepted)
    assert [f"The acceptance 'letter' was given under the rule's former name, {former}; now {RULE}."] == [
        note for note in report.notes if "acceptance" in note
    ]


def test_a_former_name_nobody_has_written_down_is_no_name(shipped: Checker, accepted: dict[str, Any]) -> None:
    old = {
        **accepted,
        "rule": "fuse-within-nameplate",
        "finding_id": finding_id("test", "fuse-within-nameplate", "condenser"),
    }
    report = shipped.check_job(_job(shipped, old), ON)
    assert not failure(report).accepted
    assert any("names no finding" in note for note in report.notes)


def test_the_finding_is_not_touched_in_looking_acceptances_over(
    shipped: Checker, judge: Judge, accepted: dict[str, Any]
) -> None:
    findings = tuple(judge(FACTS).findings)
    (one,) = accepted_in(findings, _job(shipped, accepted), ON)
    assert ("stands", datetime.date(2026, 12, 31).toordinal()) == (one.standing, one.last_day)


# --- over an archive -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("day", "left", "standing", "code"),
    [
        ("2027-05-30", 31, "stands", 0), ("2027-05-31", 30, "stands", 1), ("2027-06-30", 0, "stands", 1),
        ("2027-07-01", -1, "its last day was 2027-06-30", 1),
    ],
)  # fmt: skip
def test_the_command_lists_what_runs_out(day: str, left: int, standing: str, code: int) -> None:
    """Example 08's acceptance has 2027-06-30 for its last day."""
    words = ["jobs", "acceptances", "examples/jobs", "--expiring-in", "30", "--on", day, "--format", "json"]
    result = CliRunner().invoke(main, words)
    assert code == result.exit_code
    (one,) = json.loads(result.stdout)["acceptances"]
    assert (left, standing, "disconnect-working-space") == (one["days_left"], one["standing"], one["rule"])


def test_the_command_names_the_office_the_letter_and_the_days(tmp_path: Path) -> None:
    result = CliRunner().invoke(main, ["jobs", "acceptances", "examples/jobs", "--on", "2027-06-29"])
    text = " ".join(result.stdout.split())
    assert "Run out within 30 days (1) 1 day left: alder-2026-0420, 'working space'" in text
    assert "W. Garrick, Letter B-2026-0417 of 2026-09-16, through 2027-06-30" in text


def test_a_job_that_cannot_be_read_does_not_hide_the_others(tmp_path: Path) -> None:
    (tmp_path / "a.json").write_text("{")
    (tmp_path / "b.json").write_text(Path("examples/jobs/08-accepted.json").read_text())
    result = CliRunner().invoke(main, ["jobs", "acceptances", str(tmp_path), "--on", "2026-11-25"])
    assert 2 == result.exit_code
    assert "1 could not be used." in result.stdout
    assert "Stand longer (1)" in result.stdout
