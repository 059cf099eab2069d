"""How facts are known: what a job file says, what an interview and an imported sheet write, and what is refused.

What each way means is this project's own; there is no outside source for it.
"""

from __future__ import annotations

import json
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.importing.rows import read_jobs
from checker.importing.sheet import read_sheet
from checker.problems.problem import ProblemsFound
from checker.reading import known_by
from checker.reading.files import read_text
from checker.reading.job import Job, load
from checker.reading.job_schema import job_vocabulary
from checker.reporting import page
from tests.support.interviews import about, asked
from tests.support.rulesets import ON


def a_job(**facts: Any) -> Job:
    told = {"job_id": "told", "schema_version": 1, **facts}
    return load(read_text(json.dumps(told).encode(), "job.json"), job_vocabulary())


def way(job: Job, path: str) -> str:
    found = job.how_known().of(path)
    return found.name if found else ""


PLATE = {"refrigerant": "R-454B", "factory_charge": "6 lb"}
UNIT = {"outdoor_unit": {"nameplate": PLATE, "serial": "A1"}}


def test_nothing_is_said_of_a_fact_that_no_way_names() -> None:
    assert way(a_job(**UNIT), "outdoor_unit.serial") == ""


def test_the_nearest_path_around_a_fact_counts() -> None:
    how = {"nameplate": ["outdoor_unit.nameplate"], "stated": ["outdoor_unit"]}
    job = a_job(**UNIT, known_by=how)
    assert way(job, "outdoor_unit.nameplate.refrigerant") == "nameplate"
    assert way(job, "outdoor_unit.serial") == "stated"
    assert job.notes == ()


def test_a_reading_with_its_instrument_is_measured_without_being_named() -> None:
    gauge = [{"key": "g1", "kind": "refrigerant_pressure"}]
    told = {"liquid_pressure": {"value": 310, "unit": "psig", "instrument": "g1"}, "suction_pressure": "118 psig"}
    job = a_job(instruments=gauge, charge=told)
    assert way(job, "charge.liquid_pressure") == "measured"
    assert way(job, "charge.suction_pressure") == ""


def test_what_is_named_and_not_recorded_is_told_in_a_note() -> None:
    (note,) = a_job(known_by={"stated": ["condensate.pump"]}).notes
    assert "condensate.pump" in note


@pytest.mark.parametrize(
    ("how", "says"),
    [
        ({"measured": ["outdoor_unit.nameplat"]}, "outdoor_unit.nameplat' is not a fact"),
        ({"measured": ["outdoor_unit.serial"], "stated": ["outdoor_unit.serial"]}, "Keep one of the two"),
        ({"guessed": ["outdoor_unit.serial"]}, "'guessed' is not a way of knowing"),
        ({"stated": "outdoor_unit.serial"}, "known_by.stated"),
        (["outdoor_unit.serial"], "known_by"),
    ],
)
def test_what_cannot_be_is_refused_with_its_place(how: Any, says: str) -> None:
    with pytest.raises(ProblemsFound) as refused:
        a_job(**UNIT, known_by=how)
    assert says in " ".join(f"{one.what} {one.hint}" for one in refused.value.problems)


def test_the_schema_takes_the_ways_that_the_commands_name() -> None:
    vocabulary = job_vocabulary()
    section = vocabulary.schema["properties"][vocabulary.at(known_by.ROLE)]
    assert section["propertyNames"]["enum"] == list(known_by.ways(vocabulary))


# --- what is written ---


def test_a_tick_list_says_that_it_was_only_stated(shipped: Checker) -> None:
    talk = about(shipped, {})
    while not asked(talk).lines:
        talk.skip()
    ticked = asked(talk).paths
    talk.answer("2")
    assert set(talk.now.job.data["known_by"]["stated"]) == {path for path in ticked if path in talk.now.job.readings}


def test_what_a_question_asks_of_the_nameplate_is_known_from_there(shipped: Checker) -> None:
    talk = about(shipped, {})
    talk.change("outdoor_unit.nameplate.refrigerant")
    talk.answer("R-454B")
    talk.change("charge.suction_pressure")
    talk.answer("118")
    how = {"measured": ["charge.suction_pressure"], "nameplate": ["outdoor_unit.nameplate.refrigerant"]}
    assert how == talk.now.job.data["known_by"]


def test_an_answer_changed_to_not_known_is_no_longer_said_to_be_known(shipped: Checker) -> None:
    talk = about(shipped, {"dates": {"permit_applied": "2026-10-05"}, "known_by": {"stated": ["dates.permit_applied"]}})
    talk.change("dates.permit_applied")
    talk.answer("unknown: the office lost it")
    assert "known_by" not in talk.now.job.data


def test_what_an_office_fills_in_is_stated() -> None:
    sheet = read_sheet(b"job_id,outdoor_unit.serial,charge.suction_pressure\n7,A1,118 psig\n", "jobs.csv")
    (row,) = read_jobs(sheet, job_vocabulary()).jobs
    assert {"stated": ["outdoor_unit", "charge"]} == row.data["known_by"]


def test_a_page_tells_of_a_measured_reading_in_a_job_that_lists_no_instruments(shipped: Checker) -> None:
    told = {"refrigerant": "R-410A", "method": "subcooling"}
    reading = {"liquid_pressure": "312 psig", "liquid_temperature": "91.5 °F"}
    asks = {"subcooling_target": "9 °F", "subcooling_tolerance": "2 °F"}
    job = a_job(
        dates={"permit_applied": "2026-10-05"},
        charge=told | reading,
        instructions=asks,
        known_by={"measured": ["charge"]},
    )
    assert "Subcooling at the manufacturer" in page.render(shipped.check_job(job, ON), job, None)
