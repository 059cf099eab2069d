"""What a sheet prints as a limit comes from a ruleset, a plate, a manual or a fact marked as a limit, not from the crew."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from checker.engine.checker import Checker
from checker.fieldwork.open_requirements import measurements, wanted
from checker.fieldwork.sheet import with_room
from checker.reading.files import read_file, read_text
from checker.reading.job import Job, load
from tests.support.rulesets import ON

JOBS = sorted((Path(__file__).parent.parent / "examples" / "jobs").glob("*.json"))
STATED = ("plate", "manual", "rating", "order", "limit")


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_no_reading_of_the_crew_is_printed_as_a_limit(path: Path, shipped: Checker) -> None:
    """Every amount that the crew read or counted is written with a mark, which no limit shows."""
    job = load(read_file(path), shipped.vocabulary)
    marked = {
        place: replace(reading, written=f"{reading.written} (the crew's)") if _own(job, place) else reading
        for place, reading in job.readings.items()
    }
    job = job._replace(readings=marked)
    found = wanted(shipped.looked_at(job, ON), job)
    assert any(one.limits for one in found)
    for one in found:
        assert not any("the crew's" in limit for limit in one.limits), (one.path, one.limits)


def _own(job: Job, place: str) -> bool:
    """Whether a fact is an amount that the crew read or counted."""
    leaf = job.vocabulary.leaf(place)
    stated = leaf and any(job.vocabulary.holds(leaf.path, sort) for sort in STATED)
    return bool(leaf and leaf.form in ("quantity", "count") and not stated)


@pytest.mark.long
@pytest.mark.parametrize("missing", range(3))
def test_a_measurement_to_come_names_the_reading_that_it_is_held_against(missing: int, shipped: Checker) -> None:
    """A third of the crew's readings is taken out; those that are left stand beside their names, never as bare limits."""
    named = 0
    for path in JOBS:
        job = load(read_file(path), shipped.vocabulary)
        own = [place for place in job.readings if _own(job, place)]
        readings = {
            place: replace(reading, written=f"{reading.written} [the crew's]") if place in own else reading
            for place, reading in job.readings.items()
            if place not in own[missing::3]
        }
        less = job._replace(readings=readings)
        for one in measurements(shipped.looked_at(less, ON), less):
            amounts = one.text.count("[the crew's]")
            assert one.text.count("[the crew's])") == amounts, one.text
            named += amounts
    assert named or missing


def test_airflow_and_control_wires_have_no_limit_of_the_crews(shipped: Checker) -> None:
    job = json.loads(JOBS[0].read_text())
    data, _ = with_room(job, shipped.vocabulary)
    loaded = load(read_text(json.dumps(data).encode(), "j"), shipped.vocabulary)
    found = {one.path: one.limits for one in wanted(shipped.looked_at(loaded, ON), loaded)}
    assert found["controls.wires_present"] == found["controls.wires_needed"] == ()
    readings = [
        str(int(one["flow"]["value"])) if isinstance(one["flow"], dict) else one["flow"]
        for one in job["airflow"]["readings"]
    ]
    assert not any(reading in limit for limit in found["airflow.total"] for reading in readings)
