"""A folder that may not be read, a standard error that nobody reads, a file that breaks off: each is told as what it is."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest

from checker.batch import sources
from checker.problems.problem import ProblemsFound
from checker.reading.files import read_text
from tests.support.commands import PROGRAM

WHOLE = '{"job_id": "x", "schema_version": 1, "site": {"jurisdiction": "xx-alder"}}'


def locked(folder: object) -> object:
    raise PermissionError(13, "Permission denied")


def test_a_folder_that_may_not_be_read_is_not_one_without_jobs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "inside").mkdir()
    monkeypatch.setattr(os, "scandir", locked)
    (one,) = sources.items((str(tmp_path),), None)
    assert one.problem
    assert ("The folder cannot be read: Permission denied.", str(tmp_path)) == (one.problem.what, one.problem.where.file)


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
    assert "breaks off" in said or "broke off" in said or "cannot be read" not in said and "nothing comes" in said


def test_a_job_that_is_whole_is_none_of_these() -> None:
    assert "x" == read_text(WHOLE.encode(), "job.json").data["job_id"]
