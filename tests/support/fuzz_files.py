"""Hostile files beside jobs and rules: releases, profiles, manufacturers' sheets, packets, spreadsheets and pictures.

Each target takes any bytes, as those in `fuzz_targets` do: it says what is wrong, in `ProblemsFound` or `Unshown`, or takes them.
"""

from __future__ import annotations

import hashlib
import io
import tempfile
import zipfile
from collections.abc import Callable
from functools import cache
from pathlib import Path

from PIL import Image

from checker.authoring.comparing.loosened import loosened
from checker.engine.checker import Checker
from checker.fieldwork import packet_check
from checker.fieldwork.packet_list import LIST, NoList, as_text
from checker.fieldwork.packet_list import read as read_list
from checker.importing.rows import read_jobs
from checker.importing.sheet import read_sheet
from checker.problems.problem import ProblemsFound
from checker.reading import picture_content
from checker.reading.inherited.equipment import open_sheets
from checker.reading.inherited.profile import open_profile
from checker.reading.job_schema import job_vocabulary
from checker.reading.pictures import Unshown, checked
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.library import Library, open_library
from checker.rulesets.plain_data import lean, plain
from checker.rulesets.record import read_record, record_text
from checker.rulesets.release import freeze, sealed, thaw

HERE = Path(__file__).parents[1]
BELLS = HERE / "tiny" / "bells"
FAULT = "a fault of this program"
WORK = HERE / "tiny" / "bells_work"


def spliced(text: bytes, data: bytes) -> bytes:
    """A text with some bytes put in the place of others: the first four say where and how many."""
    if len(data) < 4:
        return text
    at = int.from_bytes(data[:2], "big") * len(text) >> 16
    return text[:at] + data[4:] + text[at + int.from_bytes(data[2:4], "big") % 40 :]


def told(found: ProblemsFound) -> None:
    """Every problem says what it is, where, and nothing of a fault of ours."""
    assert found.problems
    assert all(problem.what and FAULT not in problem.what for problem in found.problems)
    assert str(found)


def said(error: Exception) -> None:
    assert str(error)


def _refused(work: Callable[[Path], object], name: str, content: bytes) -> None:
    """Do something with a file of this name, which may refuse it in words."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / name
        place.write_bytes(content)
        try:
            work(place)
        except ProblemsFound as found:
            told(found)


def _released(text: bytes, data: bytes) -> bytes:
    """A release or a record with some bytes changed; half of the time its digest is made to fit again."""
    changed = spliced(text, data[1:])
    if data[:1] <= b"\x7f":
        return changed
    return sealed(changed.decode("utf-8", "replace").partition(",\n")[2]).encode()


def releases(data: bytes) -> None:
    """A release with some bytes changed."""
    text = _released(_release(), data)
    try:
        thaw(text, "1.0.0.json")
    except ProblemsFound as found:
        told(found)


def records(data: bytes) -> None:
    """The same of a record, and what got looser since it."""
    text = _released(_record(), data)

    def compared(place: Path) -> None:
        old = read_record(place, place.name)
        loosened(old.data, lean(plain(_bells().rulesets["ringers"])), {"rules": {}, "limits": {}})

    _refused(compared, "1.0.0.record.json", text)


def profiles(data: bytes) -> None:
    text = spliced((WORK / "profile.json").read_bytes(), data)
    _refused(lambda place: open_profile(place, _facts()), "profile.json", text)


def sheets(data: bytes) -> None:
    first = min((WORK / "sheets").rglob("*.yaml"))
    _refused(lambda place: open_sheets([place.parent], _facts()), "sheet.yaml", spliced(first.read_bytes(), data))


def packets(data: bytes) -> None:
    """The list of a packet, a zip of any bytes, and a packet of which some bytes are changed."""
    try:
        read_list(data)
    except NoList as error:
        said(error)
    for content in (data, spliced(_packet(), data)):
        _refused(packet_check.check, "packet.zip", content)


def workbooks(data: bytes) -> None:
    """A spreadsheet of any bytes, and one of which some are changed."""
    for content in (data, spliced(_workbook(), data)):
        try:
            read_jobs(read_sheet(content, "sheet"), _facts())
        except ProblemsFound as found:
            told(found)


def photographs(data: bytes) -> None:
    """A picture of any bytes, and one of each kind of which some are changed."""
    for content in (data, *(spliced(one, data) for one in _pictures())):
        try:
            kind, whole = checked(content)
            picture_content.look(kind, whole)
            list(picture_content.small(kind, whole, [(64, 60), (32, 40)]))
        except Unshown as error:
            said(error)


@cache
def _bells() -> Library:
    return open_library([BELLS])


@cache
def _facts() -> Vocabulary:
    return Checker(_bells(), job_vocabulary(BELLS / "job.schema.json")).vocabulary


@cache
def _release() -> bytes:
    return freeze(_bells().rulesets["ringers"], _bells().rulesets).encode()


@cache
def _record() -> bytes:
    return record_text(_bells().rulesets["ringers"], ()).encode()


@cache
def _packet() -> bytes:
    kept = io.BytesIO()
    files = {"job.json": b"{}", "a.jpg": b"\xff\xd8\xff"}
    with zipfile.ZipFile(kept, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in files.items():
            packed.writestr(name, content)
        digests = {name: hashlib.sha256(content).hexdigest() for name, content in files.items()}
        packed.writestr(LIST, as_text(digests))
    return kept.getvalue()


@cache
def _workbook() -> bytes:
    from openpyxl import Workbook

    kept, book = io.BytesIO(), Workbook()
    book.active.append(["job_id", "title"])
    book.active.append(["1", "a"])
    book.save(kept)
    return kept.getvalue()


@cache
def _pictures() -> list[bytes]:
    """A small picture of each kind, one of them with EXIF."""
    found = []
    for form in ("JPEG", "PNG", "WEBP"):
        kept = io.BytesIO()
        picture = Image.new("RGB", (24, 16), (200, 30, 30))
        exif = picture.getexif()
        exif[0x0112] = 6  # turned
        picture.save(kept, form, exif=exif)
        found.append(kept.getvalue())
    return found
