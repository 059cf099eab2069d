"""The folder that is handed over: complete, listed, and made whole or not at all."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from checker.engine.checker import Checker
from checker.fieldwork import packet as packets
from checker.fieldwork.records import records
from checker.ir.outcomes import VERIFY
from checker.reading.files import read_file, read_text
from checker.reading.job import load
from checker.reading.picture_content import look
from tests.support.browser import PHONE, faults, needs_chromium, opened
from tests.support.commands import changeout, on_day
from tests.support.photographs import taken
from tests.support.rulesets import ON

CLEAN = Path(__file__).parent.parent / "examples" / "jobs" / "01-clean.json"
PNG = taken(["LARKSPUR (invented)", "MODEL LK-36", "SERIAL 0031"], "PNG")


def run(*words: str) -> subprocess.CompletedProcess[str]:
    return changeout(*on_day("packet", *words))


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A job with three photographs: one that is there, one that is missing, and one that lies outside."""
    folder = tmp_path_factory.mktemp("job")
    job = json.loads(CLEAN.read_text())
    job["photographs"] = [
        {"key": "plate", "file": "photographs/plate.png", "shows": "circuits.0.nameplate"},
        {"key": "lost", "file": "photographs/lost.jpg", "shows": "evacuation.level"},
        {"key": "outside", "file": "../secret.txt", "shows": "charge"},
    ]
    (folder / "photographs").mkdir()
    (folder / "photographs" / "plate.png").write_bytes(PNG)
    (folder / "job.json").write_text(json.dumps(job, indent=1))
    (folder / "told.txt").write_text(run(str(folder / "job.json"), "--output", str(folder / "packet")).stdout)
    return folder


def test_each_photograph_over_the_limit_is_named(home: Path, shipped: Checker, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(packets, "MOST_TOGETHER", len(PNG) - 1)
    document = read_file(home / "job.json")
    made = packets.packet(shipped, document, lambda one: load(one, shipped.vocabulary), home, ON)
    assert "photographs/plate.png" not in made.files
    named = [line for line in packets.told(made) if "photograph plate" in line]
    assert 1 == len(named)
    assert "MiB of photographs already" in named[0]
    assert named[0].partition("plate: ")[2].rstrip(".") in made.files["index.html"].decode()


def test_everything_is_in_it(home: Path) -> None:
    files = {path.relative_to(home / "packet").as_posix() for path in (home / "packet").rglob("*") if path.is_file()}
    assert files == {
        "report.html", "sheet.html", "job.json", "report.json", "refrigerant-record.html", "equipment-record.html",
        "index.html", "photographs/plate.png", "packet.sha256",
    }  # fmt: skip


def test_the_list_holds_the_digest_of_every_file(home: Path) -> None:
    listed = dict(line.split("  ", 1)[::-1] for line in (home / "packet" / "packet.sha256").read_text().splitlines())
    for name, digest in listed.items():
        assert digest == hashlib.sha256((home / "packet" / name).read_bytes()).hexdigest()
    assert len(listed) == 8


def test_the_usual_tool_checks_the_list(home: Path) -> None:
    done = subprocess.run(["sha256sum", "-c", "packet.sha256"], cwd=home / "packet", capture_output=True, check=False)
    assert done.returncode == 0


def test_the_job_is_the_same_to_the_byte_and_checks_the_same(home: Path) -> None:
    assert (home / "packet" / "job.json").read_bytes() == (home / "job.json").read_bytes()


def test_what_is_not_in_it_is_said(home: Path) -> None:
    told = " ".join((home / "told.txt").read_text().split())
    assert "photograph lost: there is no such file in the folder of the job file" in told
    assert "photograph outside: its name points outside the folder of the job file" in told


def test_the_records_hold_what_the_job_says_and_blanks_for_the_rest(home: Path) -> None:
    refrigerant = (home / "packet" / "refrigerant-record.html").read_text()
    equipment = (home / "packet" / "equipment-record.html").read_text()
    job = json.loads(CLEAN.read_text())
    assert job["recovery"]["refrigerant"] in refrigerant
    assert "40 CFR 82.156(a)(3)" in refrigerant
    for part in ("outdoor_unit", "indoor_unit"):
        assert job[part]["model"] in equipment
        assert job[part]["serial"] in equipment
    assert "Filled in from the job" in equipment
    assert "are left to fill in by hand" not in refrigerant


def test_a_record_has_blanks_only_where_a_rule_asks_for_it_or_later_for_what_comes_later(shipped: Checker) -> None:
    """What is asked: 40 CFR 82.156(a)(3)(i), and 10 CFR 429.142(a)(1), which holds in Texas and not in Ohio."""
    scope = {"system": "split_air_conditioner", "phase": "single_phase", "outdoor_unit": True, "indoor_coil": True}
    dates = {"equipment_installed": "2026-10-12"}
    found = {}
    for state in ("TX", "OH"):
        facts = {"scope": scope, "dates": dates, "site": {"state": state}, "removed": {"charge": "8 lb"}}
        content = json.dumps({"job_id": "r", "schema_version": 1, **facts}).encode()
        job = load(read_text(content, "job.json"), shipped.vocabulary)
        found[state] = {one.form.name: one for one in records(job, shipped.check_job(job, ON))}
    refrigerant, equipment = found["TX"]["refrigerant-record"], found["TX"]["equipment-record"]
    assert {"Company", "Site address", "Day of recovery", "Recovered refrigerant"} <= {*refrigerant.blanks}
    assert "Where the recovered refrigerant went" not in refrigerant.blanks
    assert {"Outdoor unit serial number", "Seller of the outdoor unit", "Indoor unit model"} <= {*equipment.blanks}
    assert () == found["OH"]["equipment-record"].blanks


def test_every_blank_of_a_record_is_asked_for_by_a_rule_that_is_open(shipped: Checker) -> None:
    scope = {"system": "split_air_conditioner", "phase": "single_phase", "outdoor_unit": True, "indoor_coil": True}
    content = json.dumps({"job_id": "r", "schema_version": 1, "scope": scope}).encode()
    report = shipped.check_job(load(read_text(content, "job.json"), shipped.vocabulary), ON)
    asked = {need.fact for finding in report.with_outcome(VERIFY) for need in finding.needs}
    for told in shipped.vocabulary.commands["records"]:
        assert [] == [path for path in told["facts"] if path not in asked], told["name"]


def test_a_folder_that_is_there_is_not_touched(home: Path) -> None:
    before = sorted((home / "packet").rglob("*"))
    done = run(str(home / "job.json"), "--output", str(home / "packet"))
    assert done.returncode == 2
    assert "That folder exists already." in done.stderr
    assert sorted((home / "packet").rglob("*")) == before


@pytest.mark.long
def test_a_zip_holds_the_same_files_and_is_the_same_to_the_byte(home: Path) -> None:
    folder = home / "packet"
    for name in ("one.zip", "two.zip"):
        run(str(home / "job.json"), "--zip", str(home / name))
    assert (home / "one.zip").read_bytes() == (home / "two.zip").read_bytes()
    with zipfile.ZipFile(home / "one.zip") as packed:
        found = {name.partition("/")[2]: packed.read(name) for name in packed.namelist()}
    assert {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    } == found
    again = run(str(home / "job.json"), "--zip", str(home / "one.zip"))
    assert (2, "something else that is not text" in again.stderr) == (again.returncode, True)


def test_photographs_go_in_without_what_their_files_tell_and_that_is_said(home: Path) -> None:
    handed = (home / "packet" / "photographs" / "plate.png").read_bytes()
    assert b"Fennimore" in PNG
    assert b"Fennimore" not in handed
    assert () == look("png", handed).gives_away
    assert PNG == (home / "photographs" / "plate.png").read_bytes()
    said = "Left out of the files of the photographs: where it was taken (1), names or remarks (1), serial numbers (1)"
    assert said in " ".join((home / "told.txt").read_text().split())
    assert said in (home / "packet" / "index.html").read_text()


def test_a_bound_photograph_still_counts_in_the_packet(tmp_path: Path) -> None:
    (tmp_path / "plate.png").write_bytes(PNG)
    (tmp_path / "job.json").write_text(
        json.dumps({"job_id": "p", "schema_version": 1, "scope": {"outdoor_unit": True}})
    )
    changeout("photograph", "job.json", "plate.png", "--shows", "outdoor_unit.nameplate", cwd=tmp_path)
    run(str(tmp_path / "job.json"), "--output", str(tmp_path / "packet"))
    assert PNG != (tmp_path / "packet" / "plate.png").read_bytes()
    found = json.loads(changeout(*on_day("check", "job.json", "--format", "json"), cwd=tmp_path / "packet").stdout)
    assert [] == [note for note in found["jobs"][0]["notes"] if "photograph" in note]
    (rule,) = (one for one in found["jobs"][0]["findings"] if one["rule"] == "outdoor-plate-photographed")
    assert "pass" == rule["outcome"]


def test_photographs_whose_names_a_packet_cannot_hold_are_told(tmp_path: Path) -> None:
    names = ["report.html", "packet.sha256", "a\nb.png", "a\\b.png", "a\x1b[2J.png"]
    for name in names:
        (tmp_path / name).write_bytes(PNG)
    photographs = [{"key": f"p{at}", "file": name, "shows": "charge"} for at, name in enumerate(names)]
    (tmp_path / "job.json").write_text(json.dumps({"job_id": "p", "schema_version": 1, "photographs": photographs}))
    told = run(str(tmp_path / "job.json"), "--output", str(tmp_path / "packet"))
    why = "a packet can't take a file with this name; rename it."
    assert [] == [at for at in range(5) if f"photograph p{at}: {why}" not in " ".join(told.stdout.split())]
    assert 0 == changeout("packet", "--verify", str(tmp_path / "packet")).returncode


@pytest.mark.skipif(os.geteuid() == 0 and not Path("/proc").is_dir(), reason="needs a place that cannot be written")
def test_where_it_cannot_be_written_nothing_is_left(home: Path) -> None:
    done = run(str(home / "job.json"), "--output", "/proc/packet")
    assert done.returncode == 2
    assert "cannot be written" in done.stderr


def test_a_job_with_a_mistake_makes_no_packet(tmp_path: Path) -> None:
    (tmp_path / "job.json").write_text('{"job_id": "x", "schema_version": 1, "chrage": {}}')
    done = run(str(tmp_path / "job.json"), "--output", str(tmp_path / "packet"))
    assert done.returncode == 2
    assert "Did you mean 'charge'?" in done.stderr
    assert not (tmp_path / "packet").exists()


@pytest.mark.skipif(sys.platform != "linux", reason="names of files are text elsewhere")
def test_a_job_whose_file_has_a_name_that_is_no_text(tmp_path: Path) -> None:
    job = tmp_path / "a\udcff.json"
    job.write_bytes(CLEAN.read_bytes())
    done = run(str(job), "--output", str(tmp_path / "packet"))
    assert done.returncode == 0, done.stderr
    found = json.loads((tmp_path / "packet" / "report.json").read_text(encoding="utf-8"))
    assert found["jobs"][0]["file"] == str(job)


@needs_chromium
@pytest.mark.parametrize("name", ["index.html", "refrigerant-record.html", "equipment-record.html"])
def test_cover_and_records_print_on_one_page_and_can_be_read_by_everybody(home: Path, name: str) -> None:
    with opened(home / "packet" / name, PHONE) as (page, complaints, requests):
        assert faults(page) == []
        assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
        assert page.pdf(format="Letter").count(b"/Type /Page\n") == 1
    assert (complaints, requests) == ([], [])
