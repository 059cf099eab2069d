"""The page of a job as PDF, tagged and with bookmarks. The door of typst, which needs neither a browser nor system packages.

Typst sets the text of `templates/job.typ` with what `pdf_text` tells of the page. It is an extra: without it `missing` says
how to get it.
"""

from __future__ import annotations

import datetime
import json
from importlib.resources import files
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from checker.findings.report import Report
from checker.problems.sanitize import inert
from checker.reading.job import Job
from checker.reporting import page
from checker.reporting.figures.canvas import fonts
from checker.reporting.pdf_text import Texts

WANTED = "PDF needs one more library, which is not installed."
HINT = "Get it with pip install 'changeout-checker[pdf]', or print the page of --format page from a browser."


def missing() -> bool:
    """Whether the library that PDF needs is not installed."""
    return find_spec("typst") is None


def render(report: Report, job: Job, folder: Path | None) -> bytes:
    """One job's page as PDF: the same bytes for the same job, rulesets and day."""
    import typst

    compiled: Any = typst.compile  # its own types know no dictionary of files
    texts = Texts(page.told(report, job, folder), report)
    data = json.dumps(texts.data())
    template = files("checker.reporting").joinpath("templates", "job.typ").read_bytes()
    day = datetime.datetime.fromisoformat(report.on).replace(tzinfo=datetime.UTC)
    made: bytes = compiled(
        {"main.typ": template, "data.json": inert(data).encode(), **texts.pictures},
        format="pdf",
        font_paths=[str(fonts())],
        ignore_system_fonts=True,
        timestamp=int(day.timestamp()),
    )
    return made
