"""`changeout packet --verify`: what was changed, missing or added since; whoever sent it, nothing of it is unpacked.

What a good list is, is told by the `sha256sum` of GNU coreutils (tests/test_packet.py runs it).
"""

from __future__ import annotations

import hashlib
import os
import stat
import struct
import zipfile
from collections.abc import Mapping
from pathlib import Path

import pytest

from checker.fieldwork import packet_check
from tests.support.commands import Run, changeout

FILES = {"job.json": b"{}", "photographs/plate.jpg": b"plate", "report.html": b"<p>"}


def listed(files: Mapping[str, bytes]) -> bytes:
    return "".join(f"{hashlib.sha256(content).hexdigest()}  {name}\n" for name, content in files.items()).encode()


def folder(at: Path, files: Mapping[str, bytes]) -> Path:
    for name, content in files.items():
        (at / name).parent.mkdir(parents=True, exist_ok=True)
        (at / name).write_bytes(content)
    return at


def packed(at: Path, files: Mapping[str, bytes], top: str = "job-1/") -> Path:
    with zipfile.ZipFile(at, "w") as file:
        for name, content in files.items():
            file.writestr(f"{top}{name}", content)
    return at


def verify(place: Path) -> Run:
    return changeout("packet", "--verify", str(place))


WHOLE = {**FILES, "packet.sha256": listed(FILES)}
CHANGES: dict[str, tuple[dict[str, bytes], int, tuple[str, ...]]] = {
    "as it was made": (WHOLE, 0, ("All 3 files are as the list has them.",)),
    "a file changed": ({**WHOLE, "job.json": b"{ }"}, 1, ("Changed since: job.json.",)),
    "a file missing": ({k: v for k, v in WHOLE.items() if k != "report.html"}, 1, ("Missing: report.html.",)),
    "a file added": ({**WHOLE, "photographs/b.jpg": b"b"}, 1, ("Added since: photographs/b.jpg.",)),
    "a file renamed": (
        {**{k: v for k, v in WHOLE.items() if k != "job.json"}, "Job.json": b"{}"}, 1,
        ("Missing: job.json.", "Added since: Job.json.")),
}  # fmt: skip


@pytest.mark.parametrize("form", ["folder", "zip", "zip without a folder"])
@pytest.mark.parametrize("name", CHANGES)
def test_it_says_what_was_changed_is_missing_or_was_added(tmp_path: Path, name: str, form: str) -> None:
    files, code, lines = CHANGES[name]
    place = (
        folder(tmp_path / "p", files)
        if form == "folder"
        else packed(tmp_path / "p.zip", files, "" if "without" in form else "job-1/")
    )
    told = verify(place)
    said = " ".join(told.stdout.split())
    assert (code, [True] * len(lines)) == (told.returncode, [line in said for line in lines])
    assert f"SHA-256 of packet.sha256: {hashlib.sha256(WHOLE['packet.sha256']).hexdigest()}." in said


LISTS = {
    "empty": (b"", "it is empty"),
    "no digest": (b"job.json\n", "line 1 is not a SHA-256 and a name"),
    "not text": (b"\xff\xfe", "it is not UTF-8"),
    "out": (b"0" * 64 + b"  ../secret\n", "the name on line 1 points outside the packet"),
    "absolute": (b"0" * 64 + b"  /etc/hostname\n", "the name on line 1 points outside the packet"),
    "a drive": (b"0" * 64 + b"  C:secret\n", "the name on line 1 points outside the packet"),
    "twice": (b"0" * 64 + b"  a\n" + b"1" * 64 + b"  a\n", "the name on line 2 stands there twice"),
    "too long": (b"0" * 64 + b"  a\n" + bytes(1024 * 1024), "it is too long"),
}


@pytest.mark.parametrize("name", LISTS)
def test_a_list_that_is_none_is_refused(tmp_path: Path, name: str) -> None:
    content, why = LISTS[name]
    told = verify(folder(tmp_path / "p", {**FILES, "packet.sha256": content}))
    assert (2, f"not the list of a packet: {why}." in " ".join(told.stderr.split())) == (told.returncode, True)


@pytest.mark.parametrize("name", ["../out", "/out", "a/../../out", "..\\out", "C:\\out"])
def test_a_zip_whose_names_lead_out_of_it_is_refused_and_nothing_is_written(tmp_path: Path, name: str) -> None:
    (tmp_path / "in").mkdir()
    told = verify(packed(tmp_path / "in" / "p.zip", {**WHOLE, name: b"out"}, ""))
    assert 2 == told.returncode
    assert "points outside, or is a link" in " ".join(told.stderr.split())
    assert ["in", "in/p.zip"] == sorted(path.relative_to(tmp_path).as_posix() for path in tmp_path.rglob("*"))


def test_a_link_in_a_zip_is_refused(tmp_path: Path) -> None:
    place = packed(tmp_path / "p.zip", WHOLE, "")
    with zipfile.ZipFile(place, "a") as file:
        info = zipfile.ZipInfo("link")
        info.external_attr = (stat.S_IFLNK | 0o777) << 16
        file.writestr(info, "/etc/hostname")
    assert "or is a link: link." in verify(place).stderr


@pytest.mark.parametrize("top", ["", "job-1/"])
def test_a_name_that_stands_twice_in_a_zip_is_refused(tmp_path: Path, top: str) -> None:
    place = packed(tmp_path / "p.zip", WHOLE, top)
    with zipfile.ZipFile(place, "a") as file, pytest.warns(UserWarning, match="Duplicate"):
        file.writestr(f"{top}job.json", b"another")
    assert "is there twice" in verify(place).stderr


def test_a_file_without_a_name_in_a_zip_is_refused(tmp_path: Path) -> None:
    """Found by the fuzzer."""
    place = packed(tmp_path / "p.zip", WHOLE, "")
    with zipfile.ZipFile(place, "a") as file:
        file.writestr(zipfile.ZipInfo(""), b"nameless")
    told = verify(place)
    assert (2, True) == (told.returncode, "points outside" in told.stderr)


@pytest.mark.parametrize("what", ["a bomb", "many files"])
def test_a_bomb_is_refused_before_it_is_unpacked(tmp_path: Path, what: str, monkeypatch: pytest.MonkeyPatch) -> None:
    with zipfile.ZipFile(tmp_path / "p.zip", "w", zipfile.ZIP_DEFLATED) as file:
        for name, content in WHOLE.items():
            file.writestr(name, content)
        file.writestr("large", bytes(3_000_000))
    monkeypatch.setattr(packet_check, *(("MOST_BYTES", 2_000_000) if what == "a bomb" else ("MOST_FILES", 4)))
    opened = []
    monkeypatch.setattr(zipfile.ZipFile, "open", lambda *_: opened.append(True))
    told = verify(tmp_path / "p.zip")
    assert (2, True, []) == (told.returncode, "It holds more than" in told.stderr, opened)


def test_a_zip_that_lies_about_its_sizes_is_not_read_beyond_them(tmp_path: Path) -> None:
    """The size unpacked is at 22 behind the head of a file and at 24 behind its entry; PKWARE APPNOTE 4.3.7 and 4.3.12."""
    place = tmp_path / "p.zip"
    with zipfile.ZipFile(place, "w", zipfile.ZIP_DEFLATED) as file:
        file.writestr("job.json", bytes(5_000_000))
        file.writestr("packet.sha256", listed({"job.json": bytes(5_000_000)}))
    content = bytearray(place.read_bytes())
    for sign, behind in ((b"PK\x03\x04", 22), (b"PK\x01\x02", 24)):
        struct.pack_into("<I", content, content.index(sign) + behind, 10)
    place.write_bytes(content)
    told = verify(place)
    assert (1, True) == (told.returncode, "Changed since: job.json." in told.stdout)


@pytest.mark.parametrize("content", [b"", b"no zip", b"PK\x05\x06" + bytes(5), b"PK\x03\x04" + bytes(60)])
def test_what_is_no_packet_is_refused_in_a_word(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "p.zip").write_bytes(content)
    for place in (tmp_path / "p.zip", tmp_path, tmp_path / "gone", Path("/dev/null")):
        told = verify(place)
        assert (2, "Traceback" in told.stderr) == (told.returncode, False)
        assert str(place) in told.stderr


def test_a_link_or_a_pipe_in_a_folder_is_not_followed(tmp_path: Path) -> None:
    place = folder(tmp_path / "p", WHOLE)
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "same").write_bytes(FILES["job.json"])
    (place / "job.json").unlink()
    (place / "job.json").symlink_to(tmp_path / "same")
    (place / "linked").symlink_to(tmp_path / "elsewhere")
    os.mkfifo(place / "pipe")
    said = " ".join(verify(place).stdout.split())
    assert "Changed since: job.json. Added since: linked. Added since: pipe." in said


def test_names_that_steer_a_terminal_are_shown_harmless(tmp_path: Path) -> None:
    place = folder(tmp_path / "p", {**WHOLE, "a\x1b[2Jb": b""})
    assert "\x1b[2J" not in verify(place).stdout


@pytest.mark.parametrize("words", [("job.json", "--verify", "p"), ("--verify", "p", "--zip", "q"), (), ("job.json",)])
def test_it_makes_a_packet_or_verifies_one(words: tuple[str, ...]) -> None:
    assert 2 == changeout("packet", *words).returncode


def test_a_file_put_beside_the_folder_in_a_zip_hides_no_other_change(tmp_path: Path) -> None:
    place = packed(tmp_path / "p.zip", {**WHOLE, "job.json": b"{ }"}, "job-1/")
    with zipfile.ZipFile(place, "a") as file:
        file.writestr("stray.txt", "a note")
    told = verify(place)
    assert 1 == told.returncode
    assert "Changed since: job.json." in told.stdout
    assert "Added since: stray.txt." in told.stdout
