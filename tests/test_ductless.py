"""Ductless systems: what is made for ducts, furnaces and thermostats asks nothing of them, and each head is looked at.

What a ductless head has and has not is knowledge of the trade; the sections stand in the rulesets and in `jobs/`.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.engine.job_run import OneJob
from checker.findings.report import Report
from checker.ir.outcomes import FAIL, VERIFY
from checker.reading.files import read_text
from checker.reading.job import load
from tests.support.jobs import JOBS, whole_job
from tests.support.rulesets import ON

CLEAN = Path(__file__).parent.parent / "examples" / "jobs" / "01-clean.json"
HEADS = sorted(path.stem for path in JOBS.glob("*head*.json"))
DUCTED = (
    "return air", "return opening", "secondary port", "second port", "ducts?\\b", "filter(?! drier)",
    "thermostat (cable|wire|suits)", "airflow", "static pressure", "new furnace", "gas shutoff", "sediment",
    "heat kit", "temperature rise",
)  # fmt: skip
SECTIONS = (
    "airflow.",
    "ducts.",
    "condensate.",
    "access.",
    "indoor_unit.location",
    "indoor_unit.airflow",
    "indoor_unit.metering_device",
    "heating.",
    "controls.wires",
)


def judged(checker: Checker, job: dict[str, Any]) -> Report:
    return checker.check_job(load(read_text(json.dumps(job).encode(), "a.json"), checker.vocabulary), ON)


@pytest.mark.parametrize("stripped", [False, True], ids=["as recorded", "nothing recorded but the kind of system"])
@pytest.mark.parametrize("name", HEADS)
def test_nothing_made_for_ducts_furnace_or_thermostat_is_told_or_asked(
    name: str, stripped: bool, shipped: Checker
) -> None:
    job = whole_job(JOBS / f"{name}.json")
    if stripped:
        scope = {
            "system": "mini_split",
            "outdoor_unit": True,
            "indoor_coil": True,
            "air_handler": True,
            "furnace": False,
            "ducts": False,
        }
        job = {key: job[key] for key in ("job_id", "schema_version", "title", "dates", "site")}
        job |= {"scope": scope, "heating": {"heat_kit": {"fitted": False}}}
    report = judged(shipped, job)
    assert report.findings
    ducted = {"ducted", None} & {head.get("kind") for head in job.get("heads", [{}])}
    findings = [finding for finding in report.findings if not (ducted and finding.rule.startswith("ducted-head-"))]
    told = [f"{finding.title} {finding.message} {finding.ask}".lower() for finding in findings]
    assert [text for text in told for word in DUCTED if re.search(rf"\b{word}", text)] == []
    asked = {need.fact for finding in report.with_outcome(VERIFY) for need in finding.needs}
    assert sorted(fact for fact in asked if fact.startswith(SECTIONS) and fact != "heating.kind") == []


@pytest.mark.parametrize("name", HEADS)
def test_every_code_of_the_place_speaks_of_a_ductless_system(name: str, shipped: Checker) -> None:
    report = judged(shipped, whole_job(JOBS / f"{name}.json"))
    assert report.not_judged == ()
    judged_by = {finding.ruleset for finding in report.findings}
    code = "umc-mechanical" if "uniform" in name else "irc-mechanical"
    assert {code, "nec", "federal-efficiency", "epa-refrigerant", "commissioning"} <= judged_by


def test_new_ducts_of_a_ducted_head_are_held_to_the_code_and_old_ones_are_left_alone(shipped: Checker) -> None:
    """A new duct of R-4 is under the least of every edition: R-8 in an attic, R-6 elsewhere (IECC R403.3.1, from memory)."""
    job = whole_job(JOBS / "ducted-head-on-long-ducts.json")
    rule = "new-ducts-insulated"
    assert [finding.rule for finding in judged(shipped, job).findings if finding.rule == rule] == []
    job["scope"]["ducts"] = True
    job["ducts"] = {"outside_envelope": True, "new_in_attic": True, "insulation_r": "4 R"}
    (found,) = (finding for finding in judged(shipped, job).findings if finding.rule == rule)
    assert found.outcome == FAIL


def test_a_ductless_job_done_right_and_wholly_recorded_has_nothing_open(shipped: Checker) -> None:
    job = json.loads(CLEAN.read_text())
    head = whole_job(JOBS / "one-wall-head-done-right.json")
    for section in ("airflow", "ducts", "condensate", "access"):
        del job[section]
    kept = ("listed", "coil_refrigerant", "made_for_flammable_refrigerant")
    job["indoor_unit"] = {name: job["indoor_unit"][name] for name in kept} | {"detector_fitted": False}
    job["heads"] = head["heads"]
    job["scope"] |= {"system": "mini_split", "air_handler": True, "thermostat": False}
    job["heating"] = head["heating"]
    job["ratings"] |= {"hspf2": 9.0}
    job["charge"] |= {"method": "weighed_in", "added": "0 oz", "total": "6.4 lb"}
    job["circuits"] = job["circuits"][:1]
    job["supplies"] = job["supplies"][:1]
    job["instructions"] |= {"charge_without_detector": "7 lb", "lines_together_highest": {"none": "one head"}}
    job["line_set"] |= {"joints": "flared"}
    report = judged(shipped, job)
    assert [(finding.rule, finding.message) for finding in report.to_fix] == []
    assert [(finding.rule, [need.fact for need in finding.needs]) for finding in report.with_outcome(VERIFY)] == []


def test_the_heads_of_a_ductless_system_are_asked_for(shipped: Checker) -> None:
    job = whole_job(JOBS / "one-wall-head-done-right.json")
    del job["heads"]
    found = {f.rule: {need.fact for need in f.needs} for f in judged(shipped, job).with_outcome(VERIFY)}
    assert found["ductless-heads-recorded"] == {"heads"}


def test_a_ducted_system_is_asked_nothing_of_heads(shipped: Checker) -> None:
    report = judged(shipped, whole_job(JOBS / "attic-heat-pump-2018.json"))
    asked = {need.fact for finding in report.findings for need in finding.needs}
    assert [fact for fact in asked if fact.startswith("heads")] == []


def test_rules_on_heads_are_no_existing_work_of_a_ducted_job(shipped: Checker) -> None:
    """A ducted job whose indoor side was left alone is told of its own untouched work, and of no heads."""
    job = json.loads(CLEAN.read_text())
    job["scope"] |= {"indoor_coil": False, "air_handler": False}
    loaded = load(read_text(json.dumps(job).encode(), "a.json"), shipped.vocabulary)
    one = OneJob(shipped, loaded, shipped.chain(loaded.place), ON)
    found = {asked.rule for asked in one.judged_by() if one.left_as_found(asked.variants)}
    assert "primary-drain-falls" in found
    assert "equipment-comes-out-without-cutting" in found
    assert [rule for rule in found if "head-" in rule] == []


TOLD = {
    "key",
    "maker",
    "model",
    "serial",
    "room",
    "mounting_height",
    "cable.size",
}  # said with a head, compared with nothing


def test_every_fact_of_a_head_is_read_by_a_rule(shipped: Checker) -> None:
    read = shipped.chain("").facts_named | shipped.chain("xx-sorrel").facts_named
    read |= {part for one in shipped.vocabulary.schema["sums"] if one["whole"] in read for part in one["parts"]}
    facts = {leaf.removeprefix("heads.") for leaf in shipped.vocabulary.leaves if leaf.startswith("heads.")}
    assert {fact for fact in facts if f"heads.{fact}" not in read} == TOLD
