"""What is handed over after the visit, as one folder: page, sheet, job, report, records, photographs, and a list of them."""

from __future__ import annotations

import datetime
import hashlib
from collections.abc import Iterator, Mapping
from pathlib import Path, PurePosixPath
from typing import NamedTuple

from checker.engine.checker import Checker
from checker.fieldwork import sheet_page
from checker.fieldwork.records import Record, records
from checker.fieldwork.sheet import sheet
from checker.findings.report import DEFERRAL
from checker.problems.document import Document
from checker.reading.job import Job, Loading
from checker.reading.pictures import Unshown, picture
from checker.reporting import json as as_json
from checker.reporting import page
from checker.reporting.html import environment

LIST = "SHA256SUMS"  # in the form that the usual tools check: two spaces between digest and name


class Packet(NamedTuple):
    """The files of a packet by name, what could not be put in, in words, and what the check in it says: headline, code."""

    files: Mapping[str, bytes]
    missing: tuple[str, ...]
    headline: str
    code: int


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
    files = {
        "report.html": page.render(report, job, folder).encode(),
        "sheet.html": sheet_page.render(sheet(checker, document, load, on), everything=True).encode(),
        "job.json": document.text.encode(),
        # it names the job's file, and the name of a file may be no UTF-8
        "report.json": as_json.render([report]).encode("utf-8", "backslashreplace"),
        **{f"{record.form.name}.html": _record(record, job).encode() for record in records(job)},
    }
    missing = []
    for name, found in _photographs(job, folder):
        if isinstance(found, bytes):
            files.setdefault(name, found)
        else:
            missing.append(f"{name}: {found}")
    files[LIST] = "".join(f"{hashlib.sha256(files[name]).hexdigest()}  {name}\n" for name in sorted(files)).encode()
    return Packet(files, tuple(missing), report.headline, report.exit_code(strict=False))


def _record(record: Record, job: Job) -> str:
    return environment().get_template("record.html").render(record=record, job_id=job.id, deferral=DEFERRAL)


def _photographs(job: Job, folder: Path) -> Iterator[tuple[str, bytes | Unshown]]:
    """Each photograph under the name that the job gives it, or why it is not there."""
    for index, key in enumerate(job.lists.get(job.at("photographs"), ())):
        file = job.text(job.at("photographs.file", index))
        try:
            yield PurePosixPath(file).as_posix(), picture(folder, file)[1]
        except Unshown as why:
            yield key, why
