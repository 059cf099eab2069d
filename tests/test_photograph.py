"""`changeout photograph`: which picture shows what is asked, and each is bound by the SHA-256 of its file."""

from __future__ import annotations

import hashlib
import json
import os
import sys
from pathlib import Path
from typing import Any

import pytest

from checker.reading.fact_shapes import pattern
from checker.reading.job_schema import job_vocabulary
from tests.support.commands import Run, changeout, on_day
from tests.support.photographs import taken

PLATE = taken(["LARKSPUR (invented)", "MODEL LK-36", "SERIAL 0031"])
GAUGE = taken(["330 micron", "15 min"], day="2026:10:13 16:20:00")
DAYS = {"work_started": "2026-10-12", "work_finished": "2026-10-13"}
Photographs = list[dict[str, Any]]


def sha256(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A folder with a job, a photograph in it, and one in a folder elsewhere."""
    folder = tmp_path / "job"
    folder.mkdir()
    (folder / "plate.jpg").write_bytes(PLATE)
    (tmp_path / "phone").mkdir()
    (tmp_path / "phone" / "IMG_1.JPG").write_bytes(GAUGE)
    write(folder, {})
    return folder


def write(home: Path, more: dict[str, Any]) -> None:
    scope = {"system": "split_air_conditioner", "outdoor_unit": True, "indoor_coil": True}
    job = {"job_id": "p-1", "schema_version": 1, "dates": DAYS, "scope": scope, "evacuation": {"done": True}, **more}
    (home / "job.json").write_text(json.dumps(job))


def bind(home: Path, *words: str, stdin: str = "") -> Run:
    return changeout(*on_day("photograph", "job.json", *words, "--no-config"), stdin=stdin, cwd=home)


def bound(home: Path) -> Photographs:
    found: Photographs = json.loads((home / "job.json").read_text())["photographs"]
    return found


def test_what_it_shows_is_asked_and_kept_with_its_day_and_its_digests(home: Path) -> None:
    told = bind(home, "plate.jpg", stdin="7\n")
    (one,) = bound(home)
    assert 0 == told.returncode
    assert "7  Outdoor unit's nameplate" in told.stdout
    assert {
        "key": "plate",
        "file": "plate.jpg",
        "shows": "outdoor_unit.nameplate",
        "taken": "2026-10-12",
    }.items() <= one.items()
    assert sha256(PLATE) == one["sha256"]
    assert one["handed_over"] not in ("", one["sha256"])
    assert PLATE == (home / "plate.jpg").read_bytes()


def test_a_bound_photograph_counts_and_the_ones_still_wanted_are_told(home: Path) -> None:
    told = " ".join(bind(home, "plate.jpg", "--shows", "outdoor unit's nameplate").stdout.split())
    assert "[outdoor-plate-photographed]" not in told
    assert "Still to take: Micron gauge on the system at the end of the decay test. [vacuum-photographed]" in told
    assert "[indoor-plate-photographed]" in told


def test_one_from_elsewhere_is_copied_beside_the_job_under_a_free_name(home: Path) -> None:
    (home / "photographs").mkdir()
    (home / "photographs" / "IMG_1.JPG").write_bytes(PLATE)
    bind(home, "../phone/IMG_1.JPG", "--shows", "micron")
    (one,) = bound(home)
    assert ("photographs/IMG_1-2.JPG", "2026-10-13") == (one["file"], one["taken"])
    assert GAUGE == (home / one["file"]).read_bytes() == (home / "../phone/IMG_1.JPG").read_bytes()
    assert PLATE == (home / "photographs" / "IMG_1.JPG").read_bytes()


def test_one_that_the_job_only_speaks_of_gets_its_file(home: Path) -> None:
    write(home, {"photographs": [{"key": "vacuum gauge", "shows": "evacuation.decay_readings"}]})
    bind(home, "../phone/IMG_1.JPG", "--shows", "micron gauge at the end")
    (one,) = bound(home)
    assert ("vacuum gauge", sha256(GAUGE)) == (one["key"], one["sha256"])


def test_without_a_file_those_that_the_job_names_are_bound_and_nothing_is_asked(home: Path) -> None:
    named = [{"key": "a", "file": "plate.jpg", "shows": "removed"}, {"key": "b", "file": "gone.jpg", "shows": "charge"}]
    write(home, {"photographs": named})
    told = bind(home)
    assert 2 == told.returncode
    assert "gone.jpg: not taken. There is no such file." in told.stdout
    first, second = bound(home)
    assert (sha256(PLATE), named[1]) == (first["sha256"], second)


def test_the_same_file_is_bound_once_and_a_changed_one_anew(home: Path) -> None:
    bind(home, "plate.jpg", "--shows", "removed")
    assert "in the job already, as 'plate'" in bind(home, "plate.jpg", "--shows", "removed").stdout
    (home / "plate.jpg").write_bytes(GAUGE)
    told = bind(home, "plate.jpg")
    (one,) = bound(home)
    assert (0, "removed", sha256(GAUGE), "2026-10-13") == (told.returncode, one["shows"], one["sha256"], one["taken"])


@pytest.mark.parametrize(
    ("words", "shows"),
    [
        ("circuits.0.nameplate", "circuits.0.nameplate"),
        ("charge", "charge"),
        ("Old unit's nameplate", "removed"),
        ("float switch", "condensate"),
        ("final vacuum", "evacuation.level"),
    ],
)
def test_what_it_shows_is_said_in_words_or_by_a_path(home: Path, words: str, shows: str) -> None:
    assert 0 == bind(home, "plate.jpg", "--shows", words).returncode
    assert shows == bound(home)[0]["shows"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("nameplate", "'nameplate' may mean: Old unit's nameplate (Outdoor unit); Outdoor unit's nameplate"),
        ("the dog", "'the dog' is not something a job records."),
        ("", "'' is not something a job records."),
    ],
)
def test_words_that_mean_nothing_or_several_things_are_told_and_nothing_is_written(
    home: Path, words: str, said: str
) -> None:
    before = (home / "job.json").read_bytes()
    told = bind(home, "plate.jpg", "--shows", words)
    assert (2, before) == (told.returncode, (home / "job.json").read_bytes())
    assert said in " ".join(told.stderr.split())


def test_something_else_is_asked_for_by_a_word(home: Path) -> None:
    bind(home, "plate.jpg", stdin="19\nfinal vacuum\n")
    assert "evacuation.level" == bound(home)[0]["shows"]


def test_ctrl_c_or_the_end_of_input_writes_nothing(home: Path) -> None:
    before = (home / "job.json").read_bytes()
    told = bind(home, "../phone/IMG_1.JPG")
    assert (130, before, False) == (told.returncode, (home / "job.json").read_bytes(), (home / "photographs").exists())


HOSTILE = {
    "notes.jpg": (b"no picture", "The file is not a picture"),
    "half.jpg": (PLATE[: len(PLATE) // 2], "The picture is damaged or cut off."),
    "plate.png": (PLATE, "It is a JPEG by its first bytes; rename it to plate.jpg."),
    "plate": (PLATE, "It is a JPEG by its first bytes; rename it to plate.jpg."),
    "phone.heic": (b"\0\0\0\x18ftypheic" + bytes(40), "It is a HEIC or AVIF picture"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_one_that_cannot_be_used_is_told_and_the_others_are_bound(home: Path, name: str) -> None:
    content, why = HOSTILE[name]
    (home / name).write_bytes(content)
    told = bind(home, name, "plate.jpg", "--shows", "removed")
    assert (2, ["plate"]) == (told.returncode, [one["key"] for one in bound(home)])
    assert f"{name}: not taken. {why}" in " ".join(told.stdout.split())
    assert content == (home / name).read_bytes()


@pytest.mark.parametrize("name", [".", "job.json", "pipe"])
def test_a_folder_a_pipe_or_the_job_itself_is_no_photograph(home: Path, name: str) -> None:
    os.mkfifo(home / "pipe")
    assert f"{Path(name).name}: not taken." in bind(home, name, "--shows", "removed").stdout
    assert "photographs" not in json.loads((home / "job.json").read_text())


@pytest.mark.skipif(sys.platform != "linux", reason="names of files are text elsewhere")
def test_names_that_steer_a_terminal_or_are_no_text(home: Path) -> None:
    names = ("a\x1b[2Jb.jpg", "a\udcff.jpg", "x.jpg")
    for name in names:
        (home / name).write_bytes(PLATE + name.encode("utf-8", "surrogateescape"))
    told = bind(home, *names, "--shows", "removed")
    assert "\x1b[2J" not in told.stdout
    assert "Its name has characters a job can't hold; rename it." in " ".join(told.stdout.split())
    assert 2 == len(bound(home))


@pytest.mark.parametrize(
    ("day", "side"),
    [("2026-10-11", "before the first"), ("2026-10-12", ""), ("2026-10-13", ""), ("2026-10-14", "after the last")],
)
def test_a_day_outside_of_the_job_is_told_with_every_check(home: Path, day: str, side: str) -> None:
    (home / "plate.jpg").write_bytes(taken(["A", "B", "C"], day=f"{day.replace('-', ':')} 09:00:00"))
    bind(home, "plate.jpg", "--shows", "removed")
    report = json.loads(changeout(*on_day("check", "job.json", "--format", "json"), cwd=home).stdout)["jobs"][0]
    said = [note for note in report["notes"] if "photograph plate was taken" in note]
    assert ([f"Look again: the photograph plate was taken on {day}, {side} day of this job."] if side else []) == said


def test_what_may_be_photographed_is_something_that_a_job_records() -> None:
    vocabulary = job_vocabulary()
    listed = [one["shows"] for one in vocabulary.commands["photographed"]]
    assert [] == [one for one in listed if pattern(one) not in vocabulary.places]
    stations = [vocabulary.station(one).place for one in listed]
    assert sorted(stations) == stations
