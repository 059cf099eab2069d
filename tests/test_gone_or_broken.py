"""A folder that may not be read, a standard error that nobody reads, a file that breaks off: each is told as what it is."""

from __future__ import annotations

import datetime
import json
import os
import subprocess
from pathlib import Path

import pytest

from checker.batch import sources
from checker.batch.sources import document
from checker.engine.checker import Checker
from checker.problems.problem import ProblemsFound
from checker.reading.files import read_text
from checker.reading.job import load
from checker.reading.job_schema import job_vocabulary
from checker.reporting import json as as_json
from tests.support.commands import PROGRAM
from tests.support.many_jobs import item

WHOLE = '{"job_id": "x", "schema_version": 1, "site": {"jurisdiction": "xx-alder"}}'


def locked(folder: object) -> object:
    raise PermissionError(13, "Permission denied")


def test_a_folder_that_may_not_be_read_is_not_one_without_jobs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "inside").mkdir()
    monkeypatch.setattr(os, "scandir", locked)
    (one,) = sources.items((str(tmp_path),), None)
    assert one.problem
    assert ("The folder cannot be read: Permission denied.", str(tmp_path)) == (
        one.problem.what,
        one.problem.where.file,
    )


@pytest.mark.skipif(not hasattr(os, "getuid") or os.getuid() == 0, reason="who may do all may read every folder")
def test_a_folder_inside_that_may_not_be_read_is_told_of(tmp_path: Path) -> None:
    inside = tmp_path / "inside"
    inside.mkdir(mode=0)
    (one,) = sources.items((str(tmp_path),), None)
    assert one.problem
    assert "cannot be read" in one.problem.what


@pytest.mark.parametrize("gone", ["closed", "full", "read no more"])
def test_a_mistake_is_2_also_where_nobody_can_be_told(gone: str, tmp_path: Path) -> None:
    if gone == "full" and not Path("/dev/full").exists():
        pytest.skip("there is no /dev/full here")
    read, write = os.pipe()
    os.close(read)
    stderr = os.open("/dev/full", os.O_WRONLY) if gone == "full" else write
    words = [*PROGRAM, "check", "nothing.json", "--no-config"]
    if gone == "closed":
        words = ["sh", "-c", '"$@" 2>&-', "sh", *words]
    done = subprocess.run(words, cwd=tmp_path, stdout=subprocess.PIPE, stderr=stderr, timeout=120)
    assert (2, b"") == (done.returncode, done.stdout)


@pytest.mark.parametrize("length", range(1, len(WHOLE)))
def test_a_job_that_breaks_off_anywhere_is_told_so(length: int) -> None:
    with pytest.raises(ProblemsFound) as found:
        read_text(WHOLE[:length].encode(), "job.json")
    said = str(found.value)
    assert "breaks off" in said or "broke off" in said or ("cannot be read" not in said and "nothing comes" in said)


def test_a_job_that_is_whole_is_none_of_these() -> None:
    assert "x" == read_text(WHOLE.encode(), "job.json").data["job_id"]


def test_what_a_job_has_to_have_is_not_to_be_left_out() -> None:
    text = '{"job_id": "", "schema_version": 1, "title": "", "circuits": [{"key": ""}]}'
    with pytest.raises(ProblemsFound) as found:
        load(read_text(text.encode(), "job.json"), job_vocabulary())
    hints = {problem.where.pointer: problem.hint for problem in found.value.problems if "empty" in problem.what}
    needed = {name: "leave it out" not in hint for name, hint in hints.items()}
    assert {"/job_id": True, "/title": False, "/circuits/0/key": True} == needed


@pytest.mark.parametrize("text", [".", "..", " - ", "—", "??", "n/a", "/"])
def test_a_place_or_a_name_without_a_letter_or_digit_says_nothing(text: str) -> None:
    job = {"job_id": text, "schema_version": 1, "site": {"jurisdiction": text}}
    with pytest.raises(ProblemsFound) as found:
        load(read_text(json.dumps(job).encode(), "job.json"), job_vocabulary())
    hints = {problem.where.pointer: problem.hint for problem in found.value.problems if "says nothing" in problem.what}
    assert ["/job_id", "/site/jurisdiction"] == sorted(hints)
    assert ("Write a name.", True) == (hints["/job_id"], hints["/site/jurisdiction"].startswith("Leave it out"))


@pytest.mark.parametrize("digits", ["٣٠", "３０", "३०", "²", "Ⅷ"])
def test_an_amount_a_count_or_a_day_in_other_digits_is_refused(digits: str) -> None:
    """Python takes the digits of every script for digits; a job is read by people who know ASCII's."""
    facts = {
        "dates": {"permit_applied": f"20{digits}-01-01"},
        "outdoor_unit": {"nameplate": {"mca": f"{digits} A"}},
        "site": {"elevation": f"{digits} ft"},
    }
    for section, fact in facts.items():
        text = json.dumps({"job_id": "x", "schema_version": 1, section: fact})
        with pytest.raises(ProblemsFound):
            load(read_text(text.encode(), "job.json"), job_vocabulary())


@pytest.mark.parametrize("name", ["²", "٣", "７", "9" * 5000, "999999999", "-1", "1_0"])
@pytest.mark.parametrize("where", ["top", "list", "group"])
def test_a_name_that_looks_like_a_number_is_a_mistake_of_the_job_and_no_fault(name: str, where: str) -> None:
    job: dict[str, object] = {"job_id": "x", "schema_version": 1}
    job |= {"top": {name: 1}, "list": {"circuits": [{"key": "a", name: 1}]}, "group": {"site": {name: {name: 1}}}}[
        where
    ]
    with pytest.raises(ProblemsFound) as found:
        load(document(item(job)), job_vocabulary())
    assert all("is not a fact of a job" in one.what and one.where.line for one in found.value.problems)


@pytest.mark.parametrize("day", ["0001-01-01", "9999-12-31"])
def test_the_first_and_the_last_day_of_the_calendar_are_judged(day: str, shipped: Checker) -> None:
    """What is so many days after the last day, or before the first, has no date of its own."""
    names = ("permit_applied", "work_started", "equipment_installed", "work_finished", "inspection")
    job = {"job_id": "1", "schema_version": 1, "site": {"jurisdiction": "xx-alder"}, "dates": dict.fromkeys(names, day)}
    for on in (datetime.date.min, datetime.date.max):
        report = shipped.check(read_text(json.dumps(job).encode(), "job.json"), on)
        assert as_json.render([report])
