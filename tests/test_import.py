"""Jobs out of spreadsheets: what goes in comes out, what is wrong is told by row and column, nothing is half written.

The command itself, workbooks and nonsense have files of their own beside this one.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.importing.sheet import separator_of
from checker.ir.kleene import NONE
from checker.problems.problem import ProblemsFound
from checker.reading.files import read_file, read_text
from checker.reading.job import Job, load
from checker.reading.vocabulary import Vocabulary
from tests.support.import_sheets import VOCABULARY, facts, imported, in_csv, in_xlsx, told

ROOT = Path(__file__).parent.parent
JOBS = sorted((ROOT / "examples" / "jobs").glob("*.json"))


# --- there and back ---------------------------------------------------------------------------------------------------


def as_cell(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return f"{value:.10g}"
    if isinstance(value, dict) and "value" in value:
        return f"{value['value']!r} {value.get('unit', '')}".strip()
    if isinstance(value, dict):
        ((word, why),) = value.items()
        return f"{word.replace('_', ' ')}: {why}"
    return str(value)


def columns(vocabulary: Vocabulary, data: Any, path: str, heading: str) -> Iterator[tuple[str, str]]:
    """Every recorded fact of a job as heading and cell; items by key where they have one."""
    for name, value in data.items():
        here, above = f"{path}.{name}".lstrip("."), f"{heading}.{name}".lstrip(".")
        if here in vocabulary.leaves and not (name == "key" and heading.endswith("]")):
            yield above, as_cell(value)
        elif here in vocabulary.lists:
            for index, item in enumerate(value):
                keyed = vocabulary.lists[here].keyed
                yield from columns(vocabulary, item, here, f"{above}[{item['key']}]" if keyed else f"{above}.{index}")
        elif isinstance(value, dict):
            yield from columns(vocabulary, value, here, above)


def same_readings(job: Job, back: Job) -> None:
    """All that a sheet can carry: readings but for the instrument they were read on, and what is not known."""
    without = {path: asdict(reading) | {"instrument": ""} for path, reading in job.readings.items()}
    assert without == {path: asdict(reading) for path, reading in back.readings.items()}
    assert job.not_known == back.not_known
    assert {path: keys for path, keys in job.lists.items() if keys} == back.lists


@pytest.mark.long
@pytest.mark.parametrize("form", ["csv", "xlsx"])
@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_a_job_written_out_as_a_row_comes_back_with_the_same_readings(path: Path, form: str, shipped: Checker) -> None:
    job = load(read_file(path), shipped.vocabulary)
    cells = sorted(columns(shipped.vocabulary, job.data, "", ""), key=lambda pair: pair[0] != "job_id")
    rows = [[heading for heading, _ in cells], [cell for _, cell in cells]]
    read = imported(in_csv(rows) if form == "csv" else in_xlsx(rows), shipped.vocabulary)
    assert [] == list(map(str, read.problems))
    assert len(cells) >= 25
    same_readings(job, load(read_text(json.dumps(read.jobs[0].data).encode(), "back.json"), shipped.vocabulary))


def test_the_example_sheet_makes_three_jobs_that_can_be_loaded() -> None:
    read = imported((ROOT / "examples" / "jobs.csv").read_bytes())
    assert ([], 3) == (list(read.problems), len(read.jobs))
    second = load(read_text(json.dumps(read.jobs[1].data).encode(), "j.json"), VOCABULARY)
    assert "fuse_or_hacr_breaker" == second.value("circuits.0.nameplate.device_words")
    assert 60 == second.value("circuits.0.devices.0.rating")
    assert {"gas_and_venting.common_vent": "the vent runs behind the wall"}.items() <= second.not_known.items()
    third = load(read_text(json.dumps(read.jobs[2].data).encode(), "j.json"), VOCABULARY)
    assert NONE == third.value("circuits.0.nameplate.maximum_fuse")


# --- headings and cells -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cell", "written"),
    [("0.1", "0.1 A"), ("0.10", "0.10 A"), ("30", "30 A"), ("30.000 amps", "30.000 amps"), ("1e1", "1e1 A")],
)
def test_a_number_keeps_its_text(cell: str, written: str) -> None:
    data = facts(f"job_id,Outdoor fan FLA\n1,{cell}\n")
    assert written == data["outdoor_unit"]["nameplate"]["fan_current"]


def test_a_unit_comes_from_the_cell_or_the_heading_or_the_row_of_units_or_the_fact() -> None:
    read = imported(
        "job_id,evacuation.coldest_temperature (°C),site.elevation,removed.charge,evacuation.level\n"
        "units,,m,,\n"
        "1,20,300,,500\n"
        "2,68 °F,984 ft,,0.5 torr\n"
    )
    one, two = (job.data for job in read.jobs)
    assert ("20 °C", "300 m", "500 micron") == (
        one["evacuation"]["coldest_temperature"], one["site"]["elevation"], one["evacuation"]["level"]
    )  # fmt: skip
    assert ("68 °F", "984 ft", "0.5 torr") == (
        two["evacuation"]["coldest_temperature"], two["site"]["elevation"], two["evacuation"]["level"]
    )  # fmt: skip
    assert "removed" not in one, "an empty cell is not recorded"


def test_a_fact_without_a_unit_is_a_number_alone() -> None:
    assert {"seer2": "14.30"} == facts("job_id,ratings.seer2\n1,14.30\n")["ratings"]


def test_items_by_position_get_a_key_of_their_own() -> None:
    data = facts("job_id,circuits.1.serves,Max breaker,supplies.0.unit\n1,furnace,25,furnace\n")
    assert [
        {"key": "circuit 1", "nameplate": {"maximum_breaker": "25 A"}},
        {"key": "circuit 2", "serves": "furnace"},
    ] == data["circuits"]
    assert [{"key": "supply 1", "unit": "furnace"}] == data["supplies"]


def test_items_get_the_key_of_their_column_and_one_that_is_empty_is_not_there() -> None:
    data = facts(
        "job_id,circuits.0.key,circuits.0.serves,circuits.1.key,circuits.1.serves\n1,,,condenser,outdoor unit\n"
    )
    assert [{"key": "condenser", "serves": "outdoor_unit"}] == data["circuits"]


def test_items_by_key_keep_the_order_of_the_columns_whatever_is_filled() -> None:
    data = facts(
        "job_id,circuits[a].serves,circuits[b.c].serves,circuits[a].gfci,circuits[a].devices[x].kind,circuits[a].devices[w].kind\n"
        "1,,furnace,none,,fuse\n"
    )
    assert [
        {"key": "a", "gfci": "none", "devices": [{"key": "w", "kind": "fuse"}]},
        {"key": "b.c", "serves": "furnace"},
    ] == data["circuits"]


def test_words_flags_and_days_are_read_as_people_write_them() -> None:
    data = facts(
        "JOB NUMBER;scope.system;scope.outdoor_unit;scope.furnace;outdoor_unit.nameplate.refrigerant;dates.contract;"
        "dates.permit_applied;outdoor_unit.serial;notes\n"
        "7 Alder Way;Split air conditioner;YES;false;r-410a;2026-05-04;between 2026-05-01 and 2026-05-09;"
        "NOT KNOWN: painted over;none\n"
    )
    assert {
        "job_id": "7 Alder Way", "schema_version": 1, "notes": "none",
        "scope": {"system": "split_air_conditioner", "outdoor_unit": True, "furnace": False},
        "outdoor_unit": {"nameplate": {"refrigerant": "R-410A"}, "serial": {"not_known": "painted over"}},
        "dates": {"contract": "2026-05-04", "permit_applied": {"between": ["2026-05-01", "2026-05-09"]}},
        "known_by": {"stated": ["scope", "outdoor_unit", "dates"]},
    } == data  # fmt: skip


def test_text_that_looks_like_a_formula_stays_text() -> None:
    assert "=1+1" == facts("job_id,notes\n1,=1+1\n")["notes"]
    assert "@home" == facts("job_id,notes\n@1,@home\n")["notes"]


def test_a_title_that_several_facts_share_lists_their_paths() -> None:
    leaf = {"$ref": "#/$defs/text", "title": "Colour"}
    lamps = Vocabulary(
        {
            "$defs": {"text": {"type": "string"}},
            "properties": {
                "schema_version": {"const": 1},
                "job_id": {"$ref": "#/$defs/text", "title": "Job number"},
                "lamp": {"type": "object", "additionalProperties": False, "properties": {"colour": leaf}},
                "post": {"type": "object", "additionalProperties": False, "properties": {"colour": leaf}},
            },
        }
    )
    with pytest.raises(ProblemsFound) as found:
        imported("job_id,colour\n1,red\n", lamps)
    assert (
        "jobs.csv, row 1, column B (colour)\n"
        "  Several facts are called 'colour'.\n"
        "  Write the path of the one you mean: lamp.colour, post.colour."
    ) == str(found.value)


@pytest.mark.parametrize(
    "content",
    [
        "job_id,notes\r\n1,Fjörd\r\n".encode(),
        b"\xef\xbb\xbf" + "job_id;notes\n1;Fjörd\n".encode(),
        "job_id\tnotes\n1\tFjörd\n".encode("utf-16"),
        "\ufeffjob_id,notes\n1,Fjörd".encode("utf-16-be"),
        "sep=;\njob_id;notes\n1;Fjörd\n".encode(),
        "\n\njob_id,notes\r\r1,Fjörd\r".encode(),
        'job_id,notes,"Max breaker; fuse, too",,\n1,Fjörd,,\n'.encode().replace(b'"Max breaker; fuse, too"', b""),
    ],
)
def test_csv_is_read_however_it_was_saved(content: bytes) -> None:
    assert {"job_id": "1", "schema_version": 1, "notes": "Fjörd"} == facts(content)


@pytest.mark.parametrize(
    ("line", "separator"), [("a,b;c,d", ","), ('a;"b,c,d,e";f', ";"), ("a\tb,c\td", "\t"), ("a", ","), ("a;b,c", ",")]
)
def test_the_separator_is_what_stands_most_often_outside_quotes(line: str, separator: str) -> None:
    assert (separator, 0) == separator_of(line)


def test_rows_are_counted_as_a_spreadsheet_counts_them() -> None:
    said = told('sep=,\njob_id,notes,scope.furnace\n\n1,"two\nlines",no\n2,,perhaps\n')
    assert "jobs.xlsx, row 4, column C (scope.furnace)" == said.splitlines()[0]


# --- bounds ----------------------------------------------------------------------------------------------------------------


def test_what_is_too_large_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    cell = "a" * 10_001
    assert (
        "jobs.xlsx, row 2, column B (notes)\n  Notes: the text is longer than 10,000 characters.\n  Shorten it."
    ) == told(f"job_id,notes\n1,{cell}\n")
    assert [] == list(imported(f"job_id,notes\n1,{cell[:-1]}\n").problems)
    assert "A cell is longer than 10,000 characters." in told(f'job_id,notes\n1,"{"a" * 140_000}\n')
    assert "The row has more than 2,000 columns." in told("job_id" + ",notes" * 2000 + "\n1\n")
    assert "larger than 64 MiB" in told(bytes(64 * 2**20 + 1))
    rows = "".join(f"{number}\n" for number in range(100_001))
    assert "jobs.xlsx\n  The sheet holds more than 100,000 jobs.\n  Split it into several." == told("job_id\n" + rows)
    assert "more than 100,000 rows" in told("job_id\n" + rows + "1\n2\n3\n")
