"""Sheets as offices keep them: their own headings, their own way of writing values, columns that no job records.

The sheets are invented (common practice, no source); what each cell says was written down by hand.
"""

from __future__ import annotations

import datetime
import json
from typing import Any

import pytest

from checker.reading import units
from checker.reading.fact_shapes import pattern
from checker.reading.files import read_text
from checker.reading.job import Job, load
from checker.reading.vocabulary import Vocabulary
from tests.support.commands import changeout
from tests.support.import_sheets import VOCABULARY, imported

# Each sheet with what its first row says, by path.
SHEETS: dict[str, tuple[str, dict[str, Any]]] = {
    "schedule": (
        "Job #,Customer,Address,System,Install Date,Contract Price\n"
        "26-101,J. Doe,4 Mill Rd,split heat pump,9/14/2026,\"$9,850\"\n",
        {"job_id": "26-101", "site.address": "4 Mill Rd", "scope.system": "split_heat_pump",
         "dates.equipment_installed": "2026-09-14"},
    ),
    "permits": (
        "Permit No.,Job No,AHJ,Applied,Issued,Permit Pulled\n"
        "AC-26-1,26-102,xx-alder,8-26-26,Aug 28 2026,y\n",
        {"permit.number": "AC-26-1", "job_id": "26-102", "site.jurisdiction": "xx-alder",
         "dates.permit_applied": "2026-08-26", "dates.permit_issued": "2026-08-28", "permit.obtained": True},
    ),
    "nameplates": (
        "WO,Condenser Model,Condenser Serial,Refrigerant,MCA,MOCP,RLA\n"
        "W-7,QX24,000123,R454B,19.6,30,14.1 A\n",
        {"outdoor_unit.model": "QX24", "outdoor_unit.serial": "000123", "outdoor_unit.nameplate.refrigerant": "R-454B",
         "circuits.nameplate.minimum_circuit_ampacity": "19.6 A", "circuits.nameplate.maximum_breaker": "30 A"},
    ),
    "electrical": (
        "Ticket,Breaker Size,Wire Size,Max Fuse,State\n"
        "T1,40 A,#10,30,Ohio\n",
        {"circuits.devices.rating": "40 A", "circuits.segments.size": "10", "circuits.nameplate.maximum_fuse": "30 A",
         "site.state": "OH"},
    ),
    "start-up": (
        "Job,Suction Pressure,Liquid Pressure,Liquid Line Temp,Outside Temp,Static,Notes\n"
        "S1,118 psi,262#,84F,78,.48,ran fine\n",
        {"charge.suction_pressure": "118 psig", "charge.liquid_pressure": "262 psig",
         "charge.liquid_temperature": "84 °F"},
    ),
    "vacuum": (
        "Job ID,Microns,Nitrogen Pressure,Hold Time,Line Set Length\n"
        "V1,330,320 psig,60 min,41 ft\n",
        {"evacuation.level": "330 micron", "pressure_test.pressure": "320 psig", "line_set.length": "41 ft"},
    ),
    "sizes": (
        "Order Number,Tons,AHRI #,Cooling Load,Warranty,Lead Source\n"
        "O1,3,M-44,30100,10 yr,web\n",
        {"ratings.cooling_capacity": "3 ton", "ratings.cooling_load": "30100 Btu/h"},
    ),
    "old unit": (
        "Job Number,Old Model,Old Serial,Old Refrigerant,Pounds Recovered,Salesperson\n"
        "R1,ZZ30,77,R22,6.5,K\n",
        {"removed.model": "ZZ30", "removed.serial": "77", "removed.refrigerant": "R-22", "recovery.amount": "6.5 lb"},
    ),
    "drain": (
        "Work Order,Indoor Location,Float Switch,Coil Model,Phone,Amount Due\n"
        "D1,attic,yes,CM3,555-0100,100\n",
        {"indoor_unit.location": "attic", "condensate.water_level_device.fitted": True, "indoor_unit.model": "CM3"},
    ),
    "semicolons": (
        "Job;Heat Kit kW;Installer;Completed;Balance\n"
        "K1;10;Pat;2026-10-13;0\n",
        {"heating.heat_kit.power": "10 kW", "crew.technician": "Pat", "dates.work_finished": "2026-10-13"},
    ),
}  # fmt: skip


def recorded(job: Job) -> dict[str, Any]:
    """What a job records by path without list positions, amounts in the base unit."""
    return {pattern(path): reading.value for path, reading in job.readings.items()}


def evaluate(path: str, value: Any) -> Any:
    leaf = VOCABULARY.leaves[path]
    if leaf.form == "date":
        return datetime.date.fromisoformat(value).toordinal()
    return pytest.approx(units.read_amount(value, leaf.kind, leaf.unit)[0]) if leaf.form == "quantity" else value


@pytest.mark.parametrize("name", SHEETS)
def test_an_office_sheet_is_read_as_it_is(name: str) -> None:
    written, facts = SHEETS[name]
    read = imported(written.encode())
    assert [] == list(map(str, read.problems))
    (row,) = read.jobs
    found = recorded(load(read_text(json.dumps(row.data).encode(), "job.json"), VOCABULARY))
    assert {path: evaluate(path, value) for path, value in facts.items()} == {path: found[path] for path in facts}


def test_what_no_job_records_is_passed_over_and_told() -> None:
    written, _ = SHEETS["schedule"]
    assert ("B (Customer)", "F (Contract Price)") == imported(written.encode()).passed_over


def test_the_word_of_it_goes_to_standard_error(tmp_path: Any) -> None:
    (tmp_path / "s.csv").write_text(SHEETS["schedule"][0])
    run = changeout("jobs", "import", str(tmp_path / "s.csv"), "--output", str(tmp_path / "jobs.jsonl"))
    assert 0 == run.returncode, run.stderr
    assert "Left out, because no job records them: column B (Customer), F (Contract Price)." in run.stderr


def headings(vocabulary: Vocabulary) -> list[tuple[str, str]]:
    return [(path, word) for path, words in vocabulary.commands["headings"].items() for word in words]


def test_every_heading_of_an_office_is_one_fact() -> None:
    told = headings(VOCABULARY)
    assert {path for path, _ in told} <= {pattern(path) for path in VOCABULARY.leaves}
    words = [word.casefold() for _, word in told]
    assert len(words) == len(set(words))
    titles = {leaf.title.casefold(): leaf.path for leaf in VOCABULARY.leaves.values()}
    assert [] == [word for path, word in told if titles.get(word.casefold(), path) != path]
