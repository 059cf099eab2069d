"""What a sheet prints as a limit comes from a ruleset, a plate, a manual or a fact marked as a limit, not from the crew."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from checker.check import Checker
from checker.job import load
from checker.source import read_file, read_text
from checker.visit.sheet import with_room
from checker.visit.wanted import wanted
from tests.conftest import ON

JOBS = sorted((Path(__file__).parent.parent / "examples" / "jobs").glob("*.json"))
STATED = ("plate", "manual", "rating", "order", "limit")


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_no_reading_of_the_crew_is_printed_as_a_limit(path: Path, shipped: Checker) -> None:
    """Every amount that the crew read or counted is written with a mark, which no limit shows."""
    job = load(read_file(path), shipped.vocabulary)
    marked = {}
    for place, reading in job.readings.items():
        leaf = job.vocabulary.leaf(place)
        stated = leaf and any(job.vocabulary.holds(leaf.path, sort) for sort in STATED)
        own = leaf and leaf.form in ("quantity", "count") and not stated
        marked[place] = replace(reading, written=f"{reading.written} (the crew's)") if own else reading
    found = wanted(shipped, job._replace(readings=marked), ON)
    assert any(one.limits for one in found)
    for one in found:
        assert not any("the crew's" in limit for limit in one.limits), (one.path, one.limits)


def test_airflow_and_control_wires_have_no_limit_of_the_crews(shipped: Checker) -> None:
    job = json.loads(JOBS[0].read_text())
    data, _ = with_room(job, shipped.vocabulary)
    found = {
        one.path: one.limits
        for one in wanted(shipped, load(read_text(json.dumps(data).encode(), "j"), shipped.vocabulary), ON)
    }
    assert found["controls.wires_present"] == found["controls.wires_needed"] == ()
    readings = [
        str(int(one["flow"]["value"])) if isinstance(one["flow"], dict) else one["flow"]
        for one in job["airflow"]["readings"]
    ]
    assert not any(reading in limit for limit in found["airflow.total"] for reading in readings)
