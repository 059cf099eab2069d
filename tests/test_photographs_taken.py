"""A photograph that is named counts as taken only where its file is there."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from checker.cli import main
from checker.ir.outcomes import PASS, VERIFY
from checker.reading.files import read_file, read_text
from checker.reading.job import load
from checker.reading.job_schema import job_vocabulary
from tests.support.photographs import taken

RULE = "outdoor-plate-photographed"
SHOWS = "photographs.0.shows"
JPEG = taken(["LARKSPUR (invented)", "MODEL LK-36", "SERIAL 0031"])
SHA256 = hashlib.sha256(JPEG).hexdigest()
Job = dict[str, object]


def job(file: str) -> Job:
    return {
        "job_id": "p-1",
        "schema_version": 1,
        "scope": {"system": "split_air_conditioner", "outdoor_unit": True},
        "photographs": [{"key": "plate", "file": file, "shows": "outdoor_unit.nameplate"}],
    }


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    Path("plate.jpg").write_bytes(JPEG)
    Path("half.jpg").write_bytes(JPEG[: len(JPEG) // 2])
    Path("notes.jpg").write_text("no picture")
    return tmp_path


def found(*words: str, given: str | None = None) -> dict[str, Any]:
    said = json.loads(CliRunner().invoke(main, ["check", *words, "--format", "json"], input=given).stdout)["jobs"][0]
    return said | {"finding": next(one for one in said["findings"] if one["rule"] == RULE)}


@pytest.mark.parametrize(
    ("file", "outcome", "why"),
    [
        ("plate.jpg", PASS, ""),
        ("lost.jpg", VERIFY, "there is no such file in the folder of the job file"),
        ("notes.jpg", VERIFY, "the file is not a picture (JPEG, PNG or WebP)"),
        ("half.jpg", VERIFY, "the picture is damaged or cut off"),
        ("../plate.jpg", VERIFY, "its name points outside the folder of the job file"),
    ],
)
@pytest.mark.parametrize("write", [lambda text: ("job.json", text), lambda text: ("jobs.jsonl", text + "\n")])
def test_a_picture_counts_where_its_file_is_there(
    here: Path, file: str, outcome: str, why: str, write: Callable[[str], tuple[str, str]]
) -> None:
    name, text = write(json.dumps(job(file)))
    Path(name).write_text(text)
    said = found(name)
    finding = said["finding"]
    assert outcome == finding["outcome"]
    assert bool(why) == any(f"The photograph {file} does not count as taken: {why}." == note for note in said["notes"])
    noted = said.get("to_record", {}).get(SHOWS, {}).get("detail", "")
    assert (f"noted as not known: {file}: {why}" if why else "") == noted


def test_of_a_job_without_a_folder_it_is_said_that_nobody_looked(here: Path) -> None:
    said = found("-", given=json.dumps(job("lost.jpg")))
    assert "The photographs were not looked for: the job has no folder." in said["notes"]


def test_a_picture_without_a_file_is_the_crews_word() -> None:
    vocabulary = job_vocabulary()
    noted = job("")
    noted["photographs"] = [{"key": "plate", "shows": "outdoor_unit.nameplate"}]
    loaded = load(read_text(json.dumps(noted).encode(), "job"), vocabulary)
    assert (SHOWS in loaded.readings, ()) == (True, loaded.notes)


def test_a_job_read_from_a_file_knows_its_folder(here: Path) -> None:
    Path("job.json").write_text(json.dumps(job("lost.jpg")))
    assert SHOWS not in load(read_file(Path("job.json")), job_vocabulary()).readings


@pytest.mark.parametrize(
    ("digests", "outcome"),
    [
        ({"sha256": SHA256}, PASS),
        ({"handed_over": SHA256}, PASS),
        ({"sha256": "0" * 64, "handed_over": SHA256}, PASS),
        ({"sha256": "0" * 64}, VERIFY),
        ({"handed_over": "plate"}, VERIFY),
    ],
)
def test_a_picture_that_is_not_the_one_recorded_does_not_count(
    here: Path, digests: dict[str, str], outcome: str
) -> None:
    noted = job("plate.jpg")
    noted["photographs"] = [{"key": "plate", "file": "plate.jpg", "shows": "outdoor_unit.nameplate", **digests}]
    Path("job.json").write_text(json.dumps(noted))
    said = found("job.json")
    assert outcome == said["finding"]["outcome"]
    why = "The photograph plate.jpg does not count as taken: the file is not the one that was recorded: its SHA-256 differs."
    assert (outcome == VERIFY) == (why in said["notes"])
