"""A job that was handed over as one zip: unpacked once beside it, and checked, photographed and packed from there."""

from __future__ import annotations

import json
import stat
import zipfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from tests.support.commands import ROOT, changeout
from tests.support.photographs import taken

DAY = ("--on", "2026-11-25")
BREAKER = (ROOT / "examples" / "jobs" / "02-oversized-breaker.json").read_bytes()


def zipped(at: Path, files: Mapping[str, bytes]) -> Path:
    with zipfile.ZipFile(at, "w") as file:
        for name, content in files.items():
            file.writestr(name, content)
    return at


def findings(report: str) -> Any:
    return json.loads(report)["jobs"][0]["findings"]


def test_a_zipped_job_is_checked_as_its_file_is(tmp_path: Path) -> None:
    zipped(tmp_path / "elm-12.zip", {"elm-12.json": BREAKER})
    (tmp_path / "plain").mkdir()
    (tmp_path / "plain" / "elm-12.json").write_bytes(BREAKER)
    here = changeout("check", "elm-12.zip", "--format", "json", *DAY, cwd=tmp_path)
    there = changeout("check", "plain/elm-12.json", "--format", "json", *DAY, cwd=tmp_path)
    assert (1, "Unpacked elm-12.zip to elm-12.\n") == (here.returncode, here.stderr)
    assert findings(here.stdout) == findings(there.stdout)


def test_one_that_was_unpacked_before_goes_on_where_it_is(tmp_path: Path) -> None:
    place = zipped(tmp_path / "elm.zip", {"elm.json": BREAKER, "photographs/plate.jpg": taken(["MCA 19.6"])})
    assert changeout("check", "elm.zip", *DAY, cwd=tmp_path).returncode == 1
    again = changeout("check", "elm.zip", *DAY, cwd=tmp_path)
    assert again.stderr == "elm.zip was unpacked before: going on with elm/elm.json.\n"
    zipped(place, {"elm.json": BREAKER, "photographs/plate.jpg": taken(["MCA 21"])})
    refused = changeout("check", "elm.zip", *DAY, cwd=tmp_path)
    assert refused.returncode == 2
    assert "photographs/plate.jpg in it differs from the one in the zip" in " ".join(refused.stderr.split())


def test_its_pictures_are_bound_and_packed(tmp_path: Path) -> None:
    zipped(tmp_path / "elm.zip", {"elm.json": BREAKER, "photographs/plate.jpg": taken(["MCA 19.6"])})
    bound = changeout(
        "photograph", "elm.zip", "elm/photographs/plate.jpg", "--shows", "outdoor unit's nameplate", *DAY, cwd=tmp_path
    )
    assert bound.returncode == 0, bound.stderr
    made = changeout("packet", "elm.zip", "--output", "packet", *DAY, cwd=tmp_path)
    assert made.returncode == 1, made.stderr
    assert (tmp_path / "packet" / "photographs").is_dir()


HOSTILE: dict[str, tuple[dict[str, bytes], str]] = {
    "no job": ({"a.txt": b"a"}, "It holds no job file"),
    "two jobs": ({"a.json": BREAKER, "b.json": BREAKER}, "It holds 2 job files"),
    "a name that leads out": ({"a.json": BREAKER, "../b.jpg": b"b"}, "points outside"),
    "a name from the top": ({"a.json": BREAKER, "/etc/b.jpg": b"b"}, "points outside"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_what_is_no_zipped_job_is_refused_and_nothing_is_written(tmp_path: Path, name: str) -> None:
    files, told = HOSTILE[name]
    zipped(tmp_path / "x.zip", files)
    run = changeout("check", "x.zip", *DAY, cwd=tmp_path)
    assert run.returncode == 2
    assert told in " ".join(run.stderr.split())
    assert [one.name for one in tmp_path.iterdir()] == ["x.zip"]


def test_a_link_in_it_and_a_broken_one_are_refused(tmp_path: Path) -> None:
    link = zipfile.ZipInfo("b.jpg")
    link.external_attr = (stat.S_IFLNK | 0o777) << 16
    with zipfile.ZipFile(tmp_path / "link.zip", "w") as file:
        file.writestr("a.json", BREAKER)
        file.writestr(link, "/etc/hostname")
    (tmp_path / "broken.zip").write_bytes(b"PK\x03\x04 and no more")
    for name, told in (("link.zip", "or is a link"), ("broken.zip", "This zip cannot be read")):
        run = changeout("check", name, *DAY, cwd=tmp_path)
        assert (2, True) == (run.returncode, told in " ".join(run.stderr.split())), run.stderr
