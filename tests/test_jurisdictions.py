"""Places: which edition holds on which day, which code a county is judged by, and what a state or a group adds.

Expected editions are the ordinances of the invented places, written out here by hand; none is read from a ruleset.
"""

from __future__ import annotations

import copy
import datetime
import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from checker.cli import main
from checker.engine.checker import Checker
from checker.findings.finding import Finding
from checker.findings.report import Report
from checker.reading.files import read_text
from checker.reading.job import load
from checker.reading.job_schema import job_vocabulary
from checker.rulesets.library import SHIPPED, open_library
from checker.rulesets.limits import day_number
from tests.support.rulesets import ON, Judge

CLEAN = json.loads((Path(__file__).parent.parent / "examples" / "jobs" / "01-clean.json").read_text())
OVERSIZED = json.loads((Path(__file__).parent.parent / "examples" / "jobs" / "02-oversized-breaker.json").read_text())
DAY = datetime.timedelta(days=1)

# Place, code, the day it holds from, the edition. Alder County: ordinances 2015-08, 2018-41, 2023-12, 2026-07 and 2013-22,
# 2016-19, 2018-41, 2023-30. Larch: board rules 15-3, 19-2, 23-6 and 14-1, 16-4, 20-1, 24-5. Sorrel: ordinances 611 to 719.
ADOPTED = [
    ("xx-alder", "nec", "2015-07-01", "2014"),
    ("xx-alder", "nec", "2019-01-01", "2017"),
    ("xx-alder", "nec", "2023-07-01", "2020"),
    ("xx-alder", "nec", "2026-07-01", "2023"),
    ("xx-alder", "irc-mechanical", "2014-01-01", "2012"),
    ("xx-alder", "irc-mechanical", "2016-07-01", "2015"),
    ("xx-alder", "irc-mechanical", "2019-01-01", "2018"),
    ("xx-alder", "irc-mechanical", "2024-01-01", "2021"),
    ("xx-larch", "nec", "2016-01-01", "2014"),
    ("xx-larch", "nec", "2019-07-01", "2017"),
    ("xx-larch", "nec", "2024-01-01", "2020"),
    ("xx-larch", "irc-mechanical", "2014-07-01", "2012"),
    ("xx-larch", "irc-mechanical", "2017-01-01", "2015"),
    ("xx-larch", "irc-mechanical", "2020-07-01", "2018"),
    ("xx-larch", "irc-mechanical", "2025-01-01", "2021"),
    ("xx-sorrel", "nec", "2018-01-01", "2014"),
    ("xx-sorrel", "nec", "2021-07-01", "2017"),
    ("xx-sorrel", "nec", "2025-07-01", "2020"),
    ("xx-sorrel", "umc-mechanical", "2018-01-01", "2015"),
    ("xx-sorrel", "umc-mechanical", "2021-07-01", "2018"),
    ("xx-sorrel", "umc-mechanical", "2025-07-01", "2021"),
    ("xx-sorrel", "umc-mechanical", "2027-01-01", "2024"),
]

# A rule of each code that holds in every edition and gives one finding on the clean job: its citation names the edition.
SIGNPOST = {"nec": "disconnect-fitted-in-sight", "irc-mechanical": "pressure-test-gas-inert",
            "umc-mechanical": "umc-test-gas-inert"}  # fmt: skip
COUNTS = {"xx-alder": "permit_applied", "xx-larch": "permit_applied", "xx-sorrel": "permit_issued"}


def clean(place: str, **sections: dict[str, Any]) -> dict[str, Any]:
    """The clean example moved to a place, some sections of it changed, others laid over."""
    job: dict[str, Any] = copy.deepcopy(CLEAN)
    job["site"] |= {"jurisdiction": place}
    job["site"].pop("elevation")
    for section, facts in sections.items():
        job[section] = job.get(section, {}) | facts
    return job


def found(report: Report, rule: str) -> Finding:
    return next(finding for finding in report.findings if finding.rule == rule)


def editions_of(checker: Checker, facts: dict[str, Any], code: str) -> set[str]:
    """The editions of a code that a job is judged under: those that the rule which names its own is cited by."""
    job = load(read_text(json.dumps(facts).encode(), "job.json"), checker.vocabulary)
    told = [finding for _, findings in checker.explained(job, SIGNPOST[code], ON) for finding in findings]
    return {citation.edition for finding in told for citation in finding.citations if citation.edition}


def before(place: str, code: str, day: str) -> str | None:
    """The edition that held the day before, by the table above."""
    earlier = [edition for where, which, start, edition in ADOPTED if (where, which) == (place, code) and start < day]
    return earlier[-1] if earlier else None


@pytest.mark.parametrize(("place", "code", "day", "edition"), ADOPTED)
def test_an_edition_holds_from_its_day_on_and_not_the_day_before(
    place: str, code: str, day: str, edition: str, shipped: Checker
) -> None:
    eve = (datetime.date.fromisoformat(day) - DAY).isoformat()
    chain = shipped.chain(place)
    assert edition == chain.edition_on(code, day_number(day))
    assert before(place, code, day) == chain.edition_on(code, day_number(eve))
    assert {edition} == editions_of(shipped, clean(place, dates={COUNTS[place]: day}), code)
    if held := before(place, code, day):
        assert {held} == editions_of(shipped, clean(place, dates={COUNTS[place]: eve}), code)


@pytest.mark.parametrize("place", COUNTS)
@pytest.mark.parametrize("code", ["nec", "irc-mechanical", "umc-mechanical"])
def test_no_later_adoption_brings_an_older_edition_back(place: str, code: str, shipped: Checker) -> None:
    editions = [adoption.edition for adoption in shipped.chain(place).adoptions(code)]
    assert editions == sorted(editions)


def test_only_the_date_that_the_ordinance_names_counts(shipped: Checker) -> None:
    late = {"permit_applied": "2024-12-02", "permit_issued": "2025-07-01", "work_started": "2025-07-08"}
    assert {"2021"} == editions_of(shipped, clean("xx-sorrel", dates=late), "umc-mechanical")
    assert {"2021"} == editions_of(shipped, clean("xx-alder", dates=late), "irc-mechanical")
    assert {"2020"} == editions_of(shipped, clean("xx-alder", dates=late), "nec")


# 40 ft of wire to the disconnect: within the 50 ft of the code, past the 25 ft of ordinance 2026-07.
def far(**dates: str) -> dict[str, Any]:
    job = clean("xx-alder", dates=dates)
    condenser = next(circuit for circuit in job["circuits"] if circuit["serves"] == "outdoor_unit")
    condenser["disconnect"]["distance"] = "40 ft"
    return job


@pytest.mark.parametrize(("applied", "outcome"), [("2026-06-30", "pass"), ("2026-07-01", "fail")])
def test_the_countys_shorter_distance_holds_from_its_ordinance_on(applied: str, outcome: str, judge: Judge) -> None:
    assert outcome == found(judge(far(permit_applied=applied)), "disconnect-fitted-in-sight").outcome


def test_an_unknown_date_is_said_where_it_makes_a_difference_and_only_there(judge: Judge) -> None:
    job = far()
    del job["dates"]["permit_applied"]
    asked = found(judge(job), "disconnect-fitted-in-sight")
    assert ("verify_locally", "date_unknown") == (asked.outcome, asked.reason)
    near = clean("xx-alder")
    del near["dates"]["permit_applied"]
    report = judge(near)
    assert "pass" == found(report, "disconnect-fitted-in-sight").outcome
    assert "pass" == found(report, "county-replacement-card-hung").outcome


def test_a_date_between_two_days_counts_as_every_edition_of_that_time(judge: Judge) -> None:
    straddling, settled = ["2026-06-20", "2026-07-10"], ["2026-07-02", "2026-07-10"]
    jobs = [far(), far()]
    for job, days in zip(jobs, (straddling, settled), strict=True):
        job["dates"]["permit_applied"] = {"between": days}
    outcomes = [found(judge(job), "disconnect-fitted-in-sight").outcome for job in jobs]
    assert ["verify_locally", "fail"] == outcomes


# --- a county under the uniform code ---


def rules_of(report: Report, shipped: Checker) -> dict[str, set[str]]:
    """Ruleset → its rules that gave a finding."""
    said = {finding.rule for finding in report.findings}
    return {ruleset.id: said & set(ruleset.rules) for ruleset in shipped.library.rulesets.values()}


def test_each_county_is_judged_by_the_mechanical_code_it_adopted_and_by_no_other(
    shipped: Checker, judge: Judge
) -> None:
    sorrel, alder = (rules_of(judge(clean(place)), shipped) for place in ("xx-sorrel", "xx-alder"))
    assert sorrel["umc-mechanical"]
    assert set() == sorrel["irc-mechanical"]
    assert alder["irc-mechanical"]
    assert set() == alder["umc-mechanical"]
    for everywhere in ("nec", "epa-refrigerant", "federal-efficiency", "commissioning"):
        assert sorrel[everywhere]
        assert alder[everywhere]


def test_a_code_that_a_group_brings_along_and_the_county_did_not_adopt_is_not_used(shipped: Checker) -> None:
    """The group stands on Alder, Alder on the residential code; in Sorrel only what Sorrel's ordinances name holds."""
    chain = shipped.using("irc-mechanical").chain("xx-sorrel")
    assert "irc-mechanical" in chain.by_id
    text = json.dumps(clean("xx-sorrel")).encode()
    report = shipped.using("irc-mechanical").check(read_text(text, "job.json"), ON)
    assert set() == rules_of(report, shipped)["irc-mechanical"]


# 3 psig for 10 min: enough by IRC G2417.4 as the catalogue of the residential ruleset has it; UMC 1313.3 asks 10 psig for
# 15 min (both from memory; a trade summary gives 10 psig and 15 min for places under a uniform code).
GAS = {"test_method": "pressure_gauge", "test_held": True, "test_duration": "10 min", "test_pressure": "3 psig",
       "working_pressure": "0.25 psig"}  # fmt: skip


def test_one_gas_test_is_enough_in_one_county_and_not_in_the_other(judge: Judge) -> None:
    alder, sorrel = (
        judge(clean(place, scope={"gas_piping_altered": True}, gas_and_venting=GAS))
        for place in ("xx-alder", "xx-sorrel")
    )
    assert "pass" == found(alder, "gas-piping-tested-under-pressure").outcome
    assert "fail" == found(sorrel, "umc-gas-piping-tested").outcome
    assert "verify_locally" == found(sorrel, "county-gas-test-witnessed").outcome


KILLS = {
    "umc-shared-vent-checked-after-change": {"gas_and_venting": {"removed_appliance": "furnace", "common_vent": True,
                                                                 "vent_resized_or_verified": False}},
    "umc-gas-outlet-capped-after-removal": {"gas_and_venting": {"gas_outlet_left": True, "gas_outlet_capped": False}},
    "umc-return-air-away-from-combustion": {"ducts": {"return_from_garage": True}},
    "umc-test-gas-inert": {"pressure_test": {"gas": "oxygen"}},
}  # fmt: skip


@pytest.mark.parametrize(("rule", "sections"), KILLS.items())
def test_what_can_kill_heads_the_report_under_the_uniform_code_too(
    rule: str, sections: dict[str, dict[str, Any]], judge: Judge
) -> None:
    report = judge(clean("xx-sorrel", **sections))
    assert "fail" == found(report, rule).outcome
    assert found(report, rule).life_safety
    assert 1 == report.exit_code(strict=False)
    empty = judge({"site": {"jurisdiction": "xx-sorrel"}, "scope": {"outdoor_unit": True}})
    assert rule in {finding.rule for finding in empty.before_running}, "and it is asked where nothing is recorded"


def test_there_is_no_permit_in_the_other_county_either(judge: Judge) -> None:
    report = judge(clean("xx-sorrel", permit={"obtained": False}))
    assert "fail" == found(report, "umc-permit-obtained").outcome


@pytest.mark.parametrize(
    ("told", "used", "unused"),
    [
        ({}, "irc-mechanical", "umc-mechanical"),
        ({"irc-mechanical": "2021"}, "irc-mechanical", "umc-mechanical"),
        ({"umc-mechanical": "2021"}, "umc-mechanical", "irc-mechanical"),
    ],
)
def test_where_no_ruleset_covers_a_place_one_mechanical_code_is_used(
    told: dict[str, str], used: str, unused: str, shipped: Checker, judge: Judge
) -> None:
    adopted = [{"key": code, "code": code, "edition": edition} for code, edition in told.items()]
    said = rules_of(judge(clean("us-zz-nowhere", site={"adopted": adopted})), shipped)
    assert said[used]
    assert set() == said[unused]


# --- the state ---


@pytest.mark.parametrize(("applied", "outcome"), [("2024-06-30", "verify_locally"), ("2024-07-01", "pass")])
def test_the_states_refrigerant_act_lets_listed_units_in_before_the_edition_does(
    applied: str, outcome: str, judge: Judge
) -> None:
    """Larch act 2024-18, from 2024-07-01; Alder is under the 2021 edition on both days, the state alone under 2018."""
    for place in ("xx-alder", "xx-larch"):
        report = judge(clean(place, dates={"permit_applied": applied}))
        assert outcome == found(report, "flammable-refrigerant-let-in-by-the-code").outcome


@pytest.mark.parametrize(("applied", "asked"), [("2024-12-31", False), ("2025-01-01", True)])
def test_the_states_alarm_act_asks_for_what_the_edition_exempts(applied: str, asked: bool, judge: Judge) -> None:
    """Larch act 2023-7, from 2025-01-01; the furnace stays, so the 2021 edition would ask for no alarm."""
    job = clean("xx-alder", dates={"permit_applied": applied}, dwelling={"co_alarm_outside_bedrooms": False})
    rule, practice = "co-alarms-where-this-work-calls-for-them", "co-alarms-in-a-house-with-fuel-or-garage"
    failed = {finding.rule for finding in judge(job).with_outcome("fail")}
    assert ({rule} if asked else {practice}) == failed & {rule, practice}


def test_the_states_licence_is_asked_for_in_its_counties_and_not_elsewhere(judge: Judge) -> None:
    nobody = {"contractor_licence": {"none": "never applied"}}
    assert "fail" == found(judge(clean("xx-alder", crew=nobody)), "state-licences-on-the-job").outcome
    assert "state-licences-on-the-job" not in {f.rule for f in judge(clean("xx-sorrel", crew=nobody)).findings}


def explained(rule: str, place: str) -> str:
    run = CliRunner().invoke(main, ["explain", rule, "--place", place, "--on", "2026-11-25"])
    assert 0 == run.exit_code
    return run.output


def test_explain_tells_that_the_state_changed_a_rule_where_and_why() -> None:
    rule = "flammable-refrigerant-let-in-by-the-code"
    said = explained(rule, "xx-alder")
    assert "irc-mechanical rulesets/codes/irc-mechanical/flammable.yaml" in said
    assert "larch-state rulesets/states/larch/amendments.yaml" in said
    assert "refrigerant act" in said
    assert "amended 'require'" in said
    assert "larch-state" not in explained(rule, "")


def test_explain_tells_that_the_state_changed_a_limit() -> None:
    said = explained("co_alarm_trigger", "xx-alder")
    assert "larch-state rulesets/states/larch/amendments.yaml" in said
    assert "amended 'values'" in said


def test_a_rule_of_the_states_own_comes_from_the_state() -> None:
    assert "larch-state rulesets/states/larch/licence.yaml" in explained("state-licences-on-the-job", "xx-alder")


@pytest.mark.parametrize(("applied", "compared"), [("2018-12-31", True), ("2019-01-01", False)])
def test_what_the_county_withdrew_is_gone_from_its_ordinance_on(applied: str, compared: bool, judge: Judge) -> None:
    """Ordinance 2018-41 section 3, with the 2018 edition, from 2019-01-01."""
    job = clean("xx-alder", dates={"permit_applied": applied}, permit={"equipment_matches": False})
    assert compared is ("permit-names-the-equipment" in {finding.rule for finding in judge(job).findings})


# --- the group ---


def grouped(shipped: Checker, job: dict[str, Any]) -> Report:
    return shipped.using("millrace-group").check(read_text(json.dumps(job).encode(), "job.json"), ON)


@pytest.mark.parametrize(("level", "outcome"), [("300 micron", "pass"), ("310 micron", "fail")])
def test_the_group_asks_for_a_deeper_vacuum_than_its_county(
    level: str, outcome: str, shipped: Checker, judge: Judge
) -> None:
    """The maker of the clean example asks for 400 micron, the group's handbook for 300."""
    job = clean("xx-alder", evacuation={"level": level})
    assert "pass" == found(judge(job), "evacuation-level").outcome
    assert outcome == found(grouped(shipped, job), "evacuation-level").outcome


def test_the_groups_rules_are_used_only_when_asked_for(shipped: Checker, judge: Judge) -> None:
    job = clean("xx-alder")
    assert set() == rules_of(judge(job), shipped)["millrace-group"]
    said = {finding.rule: finding for finding in grouped(shipped, job).findings}
    assert "verify_locally" == said["group-photographs-taken"].outcome
    assert "should" == said["group-photographs-taken"].obligation
    photos = {"plates_photo": True, "vacuum_photo": True, "drain_photo": True, "handover": True}
    job["local"]["millrace-group"] = photos
    assert "pass" == found(grouped(shipped, job), "group-photographs-taken").outcome


def test_the_command_uses_the_group_by_its_name(tmp_path: Path) -> None:
    path = tmp_path / "job.json"
    path.write_text(json.dumps(clean("xx-alder")))
    plain, group = (
        CliRunner().invoke(main, ["check", str(path), "--on", "2026-11-25", "--format", "json", *more])
        for more in ([], ["--ruleset", "millrace-group"])
    )
    assert [0, 1] == [plain.exit_code, group.exit_code]


# --- invented places stay invented ---


def test_no_invented_place_bears_a_real_states_code() -> None:
    """Real states appear only in federal rules: a shipped place is `xx-` and something."""
    covers = {
        line.removeprefix("covers: [").removesuffix("]")
        for path in SHIPPED.rglob("ruleset.yaml")
        for line in path.read_text(encoding="utf-8").splitlines()
        if line.startswith("covers:")
    }
    assert {"xx-alder", "xx-larch", "xx-sorrel"} <= covers
    assert [] == [place for place in covers if not place.startswith("xx-")]


UNDECIDED = """\
id: birch-county
version: 1.0.0
title: Birch County, an invented county that has adopted no edition of anything
owner: Birch County clerk (invented)
owner_kind: local
covers: [xx-birch]
uses: {nec: ">=1.0, <2"}
reviewed_through: 2030-01-01
"""


def test_a_place_that_uses_a_code_and_adopts_no_edition_is_judged_under_every_one(tmp_path: Path) -> None:
    (tmp_path / "ruleset.yaml").write_text(UNDECIDED)
    checker = Checker(open_library([SHIPPED, tmp_path]), job_vocabulary())
    job = copy.deepcopy(OVERSIZED)
    job["site"]["jurisdiction"] = "xx-birch"
    report = checker.check(read_text(json.dumps(job).encode(), "job.json"), ON)
    failed = {finding.rule for finding in report.findings if finding.outcome == "fail"}
    assert "overcurrent-within-nameplate" in failed, "45 A on a 20 A plate fails under every edition"
    assert any("No ruleset of this place adopts an edition of nec" in note for note in report.notes)
