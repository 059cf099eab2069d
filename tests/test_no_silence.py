"""No silence: what is not recorded never passes, never fails, and is named; what is recorded is not talked away."""

from __future__ import annotations

from typing import Any

import pytest

from checker.findings.finding import Finding
from checker.findings.report import Report
from tests.support.rulesets import Judge

PLATE = {"maximum_breaker": "30 A", "maximum_fuse": "30 A", "minimum_circuit_ampacity": "18 A"}


def circuit(**facts: Any) -> dict[str, Any]:
    return {"circuits": [{"key": "condenser", "serves": "outdoor_unit", **facts}]}


def finding(report: Report, rule: str) -> Finding:
    (found,) = (f for f in report.findings if f.rule == rule)
    return found


OLD_BREAKER = {"devices": [{"key": "panel", "kind": "breaker", "rating": "40 A"}]}
IN_THE_PANEL = {"devices": [{**OLD_BREAKER["devices"][0], "place": "panel"}]}


def test_a_40_a_breaker_on_a_30_a_nameplate_fails_whatever_else_is_missing(judge: Judge) -> None:
    found = finding(judge(circuit(nameplate=PLATE, **OLD_BREAKER)), "overcurrent-within-nameplate")
    assert "fail" == found.outcome
    assert "40 A" in found.message
    assert "30 A" in found.message


def test_a_40_a_breaker_without_a_nameplate_asks_for_the_nameplate(judge: Judge) -> None:
    found = finding(judge(circuit(**IN_THE_PANEL)), "overcurrent-within-nameplate")
    assert ("verify_locally", "not_recorded") == (found.outcome, found.reason)
    assert {"circuits.0.nameplate.maximum_breaker"} == {need.fact for need in found.needs}


def test_no_circuits_at_all_names_the_list(judge: Judge) -> None:
    found = finding(judge({"scope": {"system": "split_air_conditioner"}}), "overcurrent-within-nameplate")
    assert ("verify_locally", "not_recorded") == (found.outcome, found.reason)
    assert {"circuits"} == {need.fact for need in found.needs}


def test_a_heat_kits_second_circuit_that_is_missing_is_named(judge: Judge) -> None:
    supplies = [{"key": "kit circuit 1", "unit": "heat_kit"}, {"key": "kit circuit 2", "unit": "heat_kit"}]
    circuits = [{"key": "kit 1", "serves": "heat_kit", "supply": "kit circuit 1"}]
    report = judge({"supplies": supplies, "circuits": circuits})
    by_item = {f.item: f for f in report.findings if f.rule == "every-supply-has-one-circuit"}
    assert "pass" == by_item["kit circuit 1"].outcome
    assert "fail" == by_item["kit circuit 2"].outcome
    assert "kit circuit 2" in by_item["kit circuit 2"].message + by_item["kit circuit 2"].item


def decay(last_minute: int) -> dict[str, Any]:
    readings = [{"elapsed": minute, "vacuum": 300 + 5 * minute} for minute in range(last_minute + 1)]
    return {
        "instructions": {"evacuation_level": "500 micron", "decay_hold_time": "10 min", "decay_highest": "500 micron"},
        "evacuation": {
            "done": True,
            "level": "300 micron",
            "gauge_isolated_from_pump": True,
            "decay_readings": readings,
        },
    }


@pytest.mark.parametrize(("minutes", "outcome"), [(2, "verify_locally"), (10, "pass")])
def test_decay_readings_that_stop_early_are_no_pass(judge: Judge, minutes: int, outcome: str) -> None:
    found = [f for f in judge(decay(minutes)).findings if f.rule.startswith("evacuation") and "decay" in f.rule]
    assert [outcome] == [f.outcome for f in found]
    if outcome == "verify_locally":
        assert "stop short" in " ".join(need.detail for need in found[0].needs)


def test_an_empty_job_passes_nothing_and_fails_nothing(judge: Judge) -> None:
    report = judge({})
    assert [] == report.with_outcome("fail")
    assert [] == [f.rule for f in report.with_outcome("pass")]
    assert 1 == report.exit_code(strict=False), "questions of life safety are open"
    assert report.before_running


def test_life_safety_is_asked_on_every_replacement(judge: Judge) -> None:
    asked = {f.rule for f in judge({"scope": {"system": "split_air_conditioner", "outdoor_unit": True}}).before_running}
    assert 5 <= len(asked), asked


def test_a_real_address_is_told_what_each_edition_says_and_who_told_us(judge: Judge) -> None:
    nowhere = judge({"site": {"jurisdiction": "us-zz-nowhere"}})
    assert 1 == sum("every shipped edition" in note for note in nowhere.notes)
    adopted = [{"key": "nec", "code": "nec", "edition": "2020", "told_by": "the building office"}]
    told = judge({"site": {"jurisdiction": "us-zz-nowhere", "adopted": adopted}})
    assert any("2020 NEC, as told by the building office" in note for note in told.notes)
    assert not [a for f in told.findings if f.ruleset == "nec" for a in f.alternatives]


SMALL_WIRE = {
    "key": "cable",
    "size": "14",
    "material": "copper",
    "insulation": "rated_90c",
    "wiring_method": "nm_cable",
}


def test_a_known_failure_stands_though_another_circuits_list_is_missing(judge: Judge) -> None:
    plate = {"minimum_circuit_ampacity": "18 A"}
    first = {"key": "condenser", "serves": "outdoor_unit", "nameplate": plate, "segments": [SMALL_WIRE]}
    second = {"key": "furnace", "serves": "furnace", "nameplate": plate}
    report = judge({"circuits": [first, second]})
    found = {f.item: f for f in report.findings if f.rule == "conductor-carries-minimum-ampacity"}
    assert "fail" == found["condenser/cable"].outcome
    assert {"circuits.1.segments"} == {need.fact for need in found["furnace"].needs}


def test_what_no_rule_reads_is_named(judge: Judge) -> None:
    report = judge({"removed": {"device_kind": "fuse"}, "scope": {"outdoor_unit": True}})
    assert "Old breaker or fuses" in {one.title for one in report.unread}


def test_a_failing_edition_says_what_fails(judge: Judge) -> None:
    disconnect = {"fitted": True, "live_parts_exposed_when_open": True, "locked_or_tool": False, "lockable": False}
    found = finding(judge(circuit(disconnect=disconnect)), "disconnect-guarded")
    assert ("verify_locally", "not_adopted") == (found.outcome, found.reason)
    assert found.message
    assert found.remedy
    assert {"nec 2014", "nec 2017", "nec 2020"} <= {name for a in found.alternatives for name in a.label.split(", ")}


def test_editions_that_agree_are_all_cited(judge: Judge) -> None:
    found = finding(judge(circuit(nameplate=PLATE, **OLD_BREAKER)), "overcurrent-within-nameplate")
    assert ["2014 to 2026"] == [citation.edition for citation in found.citations]


def test_an_ordinance_outweighs_what_somebody_told(judge: Judge) -> None:
    adopted = [{"key": "nec", "code": "nec", "edition": "2014", "told_by": "a neighbour"}]
    site = {"jurisdiction": "xx-alder", "adopted": adopted}
    report = judge({"site": site, "dates": {"permit_applied": "2026-09-01"}, **circuit(nameplate=PLATE, **OLD_BREAKER)})
    assert {"2023"} == {c.edition for c in finding(report, "overcurrent-within-nameplate").citations}
    assert any("the ruleset of the place adopts by date" in note for note in report.notes)
