"""Each amount of each example in another unit than it was read in: it is refused, asked about, or changes a verdict.

A reading of 84 °F noted as 84 °C, 12 ft as 12 in, 310 micron as 310 Pa. What stands below is as common as what was meant,
so that nobody can tell: common practice, no source.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from checker.engine.checker import Checker
from checker.problems.problem import ProblemsFound
from checker.reading.fact_reader import read_leaf
from checker.reading.job_schema import job_vocabulary
from checker.reading.second_look import second_look
from checker.reading.shipped import ROOT
from tests.support.slips import ON, Step, amounts, changed, fact_at, read, seen

EXAMPLES = sorted((ROOT / "examples" / "jobs").glob("*.json"))
FEW = {"01-clean", "06-heat-kit-two-circuits"}
OTHERS = {
    "degF": ["degC"], "degC": ["degF"], "delta_degF": ["delta_degC"], "psig": ["kPag"], "psi": ["inwc"], "inHgv": ["kPag"],
    "micron": ["Paa"], "micron_rise": ["Pa"], "inHga": ["mmHga"], "ft": ["inch"], "inch": ["ft"], "lb": ["oz"], "oz": ["lb"],
    "inwc": ["Pa"], "cfm": ["L_per_s"], "Btu_per_h": ["W"], "kW": ["Btu_per_h"], "minute": ["hour", "second"], "hour": ["minute"],
    "oz_per_ft": ["g_per_m"], "in_per_ft": ["percent_slope"], "ft2": ["m2"], "percent": ["one"],
}  # fmt: skip
MILLI = ("A", "V", "uF")  # a meter that shows thousandths
# Why nobody is told, by fact.
JUST_AS_COMMON = {
    "outdoor_unit.clearance_coil": "14 ft in front of a coil is a large yard",
    "outdoor_unit.pad.height_above_grade": "4 ft above the ground is a stand in a flood zone",
    "circuits.segments.length": "4 ft are a whip",
    "circuits.disconnect.distance": "2 in are a disconnect on the unit",
    "service_receptacle.distance": "12 in are a receptacle beside the unit",
    "indoor_receptacle.distance": "9 in are a receptacle beside the unit",
    "line_set.length": "5 ft are a unit on the other side of the wall",
    "heating.rise_maximum": "a furnace in a cold place",
    "site.floor_area": "a large house",
    "ratings.cooling_capacity": "five tons",
    "removed.cooling_capacity": "five tons",
    "line_set.lift": "9 in are a unit on the same floor",
    "recovery.amount": "a few ounces are what a leaking system has left",
    "airflow.supply_dry_bulb": "55 °C are supply air of a furnace",
    "ducts.new_length": "3 in are a collar",
    "gas_and_venting.shutoff_distance": "2 in are a shutoff at the appliance",
    "access.passage_length": "12 in are no passage",
    "ratings.heating_load": "a large old house",
    "ratings.heating_at_design": "a large furnace",
    "instructions.subcooling_tolerance": "manufacturers print 2 to 5 °F",
    "instructions.subcooling_target": "manufacturers print 5 to 20 °F",
    "instructions.charge_included_length": "some charge for almost no line",
    "instructions.airflow_highest": "a five-ton unit",
    "instruments.accuracy_temperature": "a plain thermometer",
    "evacuation.decay_readings.elapsed": "the first readings after a few seconds",
    "airflow.readings.elapsed": "the first readings after a few seconds",
    "evacuation.decay_readings.vacuum": "a vacuum that fails either way",
}
NOTHING = ("0 ", "0.0 ")  # of any unit is nothing


class Slip(NamedTuple):
    """Where an amount stands, its fact, and what was noted instead."""

    at: tuple[Step, ...]
    fact: str
    noted: str


def slips(data: Any) -> Iterator[Slip]:
    """Every amount of a job in another unit."""
    for at, value in amounts(data):
        leaf = job_vocabulary().leaves[fact_at(at)]
        whole = at[:-1] if at[-1] == "value" else at
        if leaf.form != "quantity":
            continue
        reading = read_leaf(leaf, _at(data, at[:-1]) if at[-1] == "value" else value)
        number = reading.written.split()[0]
        for other in OTHERS.get(reading.unit, ()):
            yield Slip(whole, leaf.path, f"{number} {other}")
        if reading.unit in MILLI:
            yield Slip(whole, leaf.path, f"{float(number) / 1000:g} {reading.unit}")


def _at(data: Any, at: tuple[Step, ...]) -> Any:
    for step in at:
        data = data[step]
    return data


def told(checker: Checker, data: Any, slip: Slip, before: tuple[Any, ...]) -> bool:
    """Whether a slip is refused, asked about, or changes what is said of the job."""
    other = changed(copy.deepcopy(data), slip.at, slip.noted)
    try:
        job = read(other)
    except ProblemsFound:
        return True
    asked = {look.said for look in second_look(job, ON)} - set(before[1])
    return bool(asked) or seen(checker, other) != before


@pytest.mark.parametrize(
    "file",
    [pytest.param(one, marks=() if one.stem in FEW else pytest.mark.long) for one in EXAMPLES],
    ids=lambda one: one.stem,
)
def test_an_amount_in_another_unit_does_not_go_unnoticed(shipped: Checker, file: Path) -> None:
    """Of the two of the quick part one slip in eight."""
    data = json.loads(file.read_text(encoding="utf-8"))
    before = seen(shipped, data)
    tried = list(slips(data))[:: 8 if file.stem in FEW else 1]
    silent = {one.fact: one.noted for one in tried if not told(shipped, data, one, before)}
    assert {fact for fact, noted in silent.items() if not noted.startswith(NOTHING)} <= set(JUST_AS_COMMON)


@pytest.mark.long
@pytest.mark.parametrize("name", sorted(FEW))
def test_no_amount_of_a_whole_job_goes_unnoticed_in_another_unit(shipped: Checker, name: str) -> None:
    data = json.loads((ROOT / "examples" / "jobs" / f"{name}.json").read_text(encoding="utf-8"))
    before = seen(shipped, data)
    silent = {one.fact: one.noted for one in slips(data) if not told(shipped, data, one, before)}
    assert {fact for fact, noted in silent.items() if not noted.startswith(NOTHING)} <= set(JUST_AS_COMMON)
