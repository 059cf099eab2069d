"""What is handed over after the visit: cover, page, sheet, job, report, records, photographs, and a list with their SHA-256.

Photographs go in whole, without what their files tell besides the picture.
"""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Iterator, Mapping
from pathlib import Path, PurePosixPath
from typing import NamedTuple

from checker.engine.checker import Checker
from checker.fieldwork import sheet_page
from checker.fieldwork.packet_list import LIST, as_text, safe_name
from checker.fieldwork.records import Record, records
from checker.fieldwork.sheet import sheet
from checker.findings.report import DEFERRAL, Report
from checker.problems.document import Document
from checker.problems.file_names import safe_stem
from checker.problems.sanitize import low
from checker.reading import picture_content, picture_metadata
from checker.reading.job import Job, Loading, noted_photographs
from checker.reading.pictures import Unshown, digest, picture
from checker.reporting import json as as_json
from checker.reporting import page
from checker.reporting.html import environment
from checker.reporting.photographs import title_of
from checker.reporting.title_block import TitleBlock, title_block

MOST_TOGETHER = 512 * 1024 * 1024  # of all photographs
COVER, PAGE, SHEET, JOB, REPORT = "index.html", "report.html", "sheet.html", "job.json", "report.json"


class Packet(NamedTuple):
    """The files of a packet by name, what could not be put in, in words, and what the check in it says: headline, code.

    `folder` is a name for the packet as a whole, `left_out` says of how many photographs something was left out that their
    files told besides the picture, `blanks` what should be on a record and is not.
    """

    folder: str
    files: Mapping[str, bytes]
    missing: tuple[str, ...]
    left_out: Mapping[str, int]
    blanks: Mapping[str, tuple[str, ...]]
    headline: str
    code: int

    @property
    def list_digest(self) -> str:
        """The SHA-256 of the list: whoever noted it knows the list again."""
        return digest(self.files[LIST])


class Line(NamedTuple):
    """A file on the cover: its name, what it is, and its SHA-256."""

    name: str
    what: str
    sha256: str


class Cover(NamedTuple):
    """What the cover tells: the job and its title block, the headline, each file, what is missing and what was left out."""

    job_id: str
    title: str
    headline: str
    on: str
    lines: tuple[Line, ...]
    missing: tuple[str, ...]
    left_out: Mapping[str, int]
    block: TitleBlock
    list_name: str = LIST
    deferral: str = DEFERRAL


def packet(checker: Checker, document: Document, load: Loading, folder: Path, on: datetime.date) -> Packet:
    """The packet of one job.

    Args:
        document: The job as it was read; its text goes into the packet unchanged.
        load: How a job is loaded, with whatever it inherits.
        folder: The folder of the job file, where its photographs are.

    Raises:
        ProblemsFound: The job or a ruleset that it needs cannot be used.
    """
    job = load(document)
    report = checker.check_job(job, on)
    kept = records(job, report)
    files = {
        PAGE: page.render(report, job, folder).encode(),
        SHEET: sheet_page.render(sheet(checker, document, load, on), everything=True).encode(),
        JOB: document.text.encode(),
        # it names the job's file, and the name of a file may be no UTF-8
        REPORT: as_json.render([report]).encode("utf-8", "backslashreplace"),
        **{_record_name(record): _record(record, job).encode() for record in kept},
    }
    pictures = _Pictures(job, folder, {*files, COVER, LIST})
    files |= pictures.files
    what = {**_what(kept), **pictures.titles}
    lines = tuple(Line(name, said, digest(files[name])) for name, said in what.items())
    files[COVER] = _cover(job, report, lines, pictures).encode()
    files[LIST] = as_text({name: digest(content) for name, content in files.items()}).encode()
    blanks = {_record_name(record): record.blanks for record in kept if record.blanks}
    missing, code = tuple(pictures.missing), report.exit_code(strict=False)
    return Packet(safe_stem(job.id), files, missing, pictures.left_out, blanks, report.headline, code)


def _what(kept: list[Record]) -> dict[str, str]:
    return {
        PAGE: "What was checked, what it says, and how each thing is known",
        SHEET: "Field sheet",
        **{_record_name(record): record.form.title for record in kept},
        JOB: "The job as it was recorded",
        REPORT: "The report for programs",
    }


def _cover(job: Job, report: Report, lines: tuple[Line, ...], pictures: _Pictures) -> str:
    missing, block = tuple(pictures.missing), title_block(job, report.authority, report)
    cover = Cover(report.job_id, report.title, report.headline, report.on, lines, missing, pictures.left_out, block)
    return environment().get_template("packet.html").render(cover=cover, left_out=left_out_in_words)


def _record_name(record: Record) -> str:
    return f"{record.form.name}.html"


def _record(record: Record, job: Job) -> str:
    return environment().get_template("record.html").render(record=record, job_id=job.id, deferral=DEFERRAL)


class _Pictures:
    """The photographs of a job under the names that the job gives them, without what their files tell besides the picture.

    `titles` says of each what it shows, `missing` why one is not there.
    """

    def __init__(self, job: Job, folder: Path, names: set[str]) -> None:
        self.files: dict[str, bytes] = {}
        self.titles: dict[str, str] = {}
        self.missing: list[str] = []
        self.left_out: Counter[str] = Counter()
        self.room = MOST_TOGETHER
        for one in noted_photographs(job):
            name = PurePosixPath(one.file).as_posix()
            try:
                if name not in self.files:
                    self.files[name] = self._bare(name, names, *picture(folder, one.file, one.digests))
            except Unshown as why:
                self.missing.append(f"{one.key}: {why}")
                continue
            shows = title_of(job, job.text(one.shows))
            self.titles[name] = "; ".join(filter(None, (self.titles.get(name, ""), f"Photograph “{one.key}”", shows)))

    def _bare(self, name: str, names: set[str], kind: str, content: bytes) -> bytes:
        """A picture as it is handed over.

        Raises:
            Unshown: It cannot be opened, the packet is full, or its name is one that a packet cannot hold.
        """
        if not safe_name(name) or name in names:
            raise Unshown("a packet can't take a file with this name; rename it")
        if len(content) > self.room:
            raise Unshown(f"the packet holds {MOST_TOGETHER // 1024 // 1024} MiB of photographs already")
        look = picture_content.look(kind, content)
        bare = picture_metadata.without_metadata(kind, content, look)
        self.room -= len(bare)
        self.left_out.update(look.gives_away)
        return bare


def told(packet: Packet) -> Iterator[str]:
    """What is told of a packet that was made: what is not in it, what was left out, and the digest to note."""
    for why in packet.missing:
        yield f"Not in it: photograph {why}."
    for name, blanks in packet.blanks.items():
        yield f"To fill in by hand in {name}: {'; '.join(map(low, blanks))}."
    if packet.left_out:
        yield left_out_in_words(packet.left_out)
    yield f"SHA-256 of {LIST}: {packet.list_digest}. Note it: changeout packet --verify shows it again."


def left_out_in_words(left_out: Mapping[str, int]) -> str:
    """What was left out of the files of photographs, each with in how many."""
    parts = ", ".join(f"{what} ({count})" for what, count in left_out.items())
    return f"Left out of the files of the photographs: {parts}. The pictures and the originals are unchanged."
