"""A contractor's profile: what is the same in many jobs comes into each, and what a job says itself stays."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.problems.problem import ProblemsFound
from checker.reading.files import read_text
from checker.reading.inherited.inheritance import Inherited, load_job
from checker.reading.inherited.profile import Profile, open_profile
from checker.reading.job import Job
from checker.reading.job_schema import job_vocabulary
from tests.support.rulesets import ON

VOCABULARY = job_vocabulary()
GAUGE = {"key": "vacuum gauge", "kind": "vacuum", "accuracy_of_reading": "5 %", "calibrated": "2026-02-10"}


@pytest.fixture
def profile(tmp_path: Path) -> Callable[[dict[str, Any]], Profile]:
    def write(facts: dict[str, Any]) -> Profile:
        (tmp_path / "profile.json").write_text(json.dumps({"schema_version": 1, **facts}), encoding="utf-8")
        return open_profile(tmp_path / "profile.json", VOCABULARY)

    return write


def job(facts: dict[str, Any], profile: Profile | None = None) -> Job:
    text = json.dumps({"job_id": "test", "schema_version": 1, **facts}).encode()
    return load_job(read_text(text, "job.json"), VOCABULARY, Inherited((), profile))


def test_a_reading_may_name_an_instrument_of_the_profile_and_has_its_accuracy(
    profile: Callable[[dict[str, Any]], Profile], shipped: Checker
) -> None:
    facts = {
        "scope": {"line_set": True},
        "instructions": {"evacuation_level": "500 micron"},
        "evacuation": {"level": {"value": 200, "unit": "micron", "instrument": "vacuum gauge"}},
    }
    with pytest.raises(ProblemsFound, match="'vacuum gauge' is not among the job's instruments"):
        job(facts)
    loaded = job(facts, profile=profile({"instruments": [GAUGE]}))
    *_, working = next(f for f in shipped.check_job(loaded, ON).findings if f.rule == "evacuation-level").workings
    # 5 % of 200 micron as a half-width a, standard a/√3, expanded 2a/√3 = 11.5 micron (GUM 4.3.7, k = 2).
    assert 11.547 == pytest.approx(working.spread, abs=0.01)


def test_lists_come_together_by_key_and_what_the_job_says_stays(
    profile: Callable[[dict[str, Any]], Profile],
) -> None:
    own = [
        {"key": "manifold", "kind": "refrigerant_pressure"},
        {"key": "vacuum gauge", "maker_and_model": "Tarnholt VG-10"},
    ]
    facts = {"instruments": own, "crew": {"technician": "Pell Aldersey"}}
    crew = {"technician": "Odile Marchbank", "contractor_licence": "LCH-HV-2210"}
    loaded = job(facts, profile=profile({"instruments": [GAUGE, {**GAUGE, "key": "old gauge"}], "crew": crew}))
    assert ("manifold", "vacuum gauge", "old gauge") == loaded.lists["instruments"]
    assert {"Tarnholt VG-10", "2026-02-10"} <= {
        reading.written for path, reading in loaded.readings.items() if path.startswith("instruments.1.")
    }
    technician = loaded.readings["crew.technician"]
    assert ("Pell Aldersey", "") == (technician.written, technician.origin)
    assert "from the profile" == loaded.readings["crew.contractor_licence"].origin
    said = "contractor license, instruments (vacuum gauge, old gauge)"
    assert (f"Inherited from the profile: {said}.",) == loaded.notes


def test_an_edition_told_in_the_job_keeps_out_the_profiles_of_that_code(
    profile: Callable[[dict[str, Any]], Profile],
) -> None:
    def told(code: str, edition: str) -> dict[str, str]:
        return {"key": f"{code} {edition}", "code": code, "edition": edition, "told_by": "the office"}

    shared = profile({"site": {"adopted": [told("nec", "2020"), told("irc-mechanical", "2018")]}})
    loaded = job({"site": {"adopted": [told("nec", "2023")]}}, profile=shared)
    assert ("nec 2023", "irc-mechanical 2018") == loaded.lists["site.adopted"]


def test_what_the_job_notes_as_not_known_the_profile_may_know(
    profile: Callable[[dict[str, Any]], Profile],
) -> None:
    shared = profile({"crew": {"recovery_certification": "universal"}})
    loaded = job({"crew": {"recovery_certification": {"not_known": "card at home"}}}, shared)
    assert "universal" == loaded.value("crew.recovery_certification")
    said = "noted as not known (card at home); used is universal from the profile."
    assert f"EPA 608 card: {said}" in loaded.notes


def test_a_local_fact_of_the_work_is_refused_and_one_of_the_crew_is_taken(tmp_path: Path) -> None:
    fact = {"form": "flag", "title": "Asked", "description": "As told.", "ask": "Asked?"}
    facts = {"sticker_put_on": {**fact, "known": "before_leaving"}, "county_course": {**fact, "known": "after"}}
    vocabulary = VOCABULARY.with_local({"xx-county": facts})
    path = tmp_path / "profile.json"

    def opened(**local: bool) -> Profile:
        path.write_text(json.dumps({"schema_version": 1, "local": {"xx-county": local}}), encoding="utf-8")
        return open_profile(path, vocabulary)

    assert opened(county_course=True).facts.value("local.xx-county.county_course") is True
    with pytest.raises(ProblemsFound, match="sticker_put_on' is about the work on one job"):
        opened(county_course=True, sticker_put_on=True)
