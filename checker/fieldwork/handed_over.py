"""What everything that is handed over has to name, and no rule reads: the fields of the title block and of the records."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from checker.fieldwork.records import forms
from checker.findings.report import Report
from checker.reading.job import Job
from checker.reporting.title_block import of_item


def to_name(job: Job, report: Report) -> list[str]:
    """The facts and lists that are still to be told for the title block and for the records that rules of the job ask for."""
    rows = job.vocabulary.commands.get("title_block", {}).get("rows", ())
    block = (path for row in rows if not row.get("where_recorded") for path in _of_row(row, job))
    records = (path for form, asked in forms(job.vocabulary, report) if asked for path in form.facts)
    return [path for path in dict.fromkeys((*block, *records)) if not job.speaks_of(path)]


def _of_row(row: Mapping[str, Any], job: Job) -> Iterator[str]:
    """The facts of a row: of each item of its list those that nothing else of the job tells; the list where it is not told."""
    each = row.get("each", "")
    if not each:
        yield from row["facts"]
        return
    if not job.speaks_of(each):
        yield each
    told = {label for path, label in row.get("otherwise", {}).items() if label and job.speaks_of(path)}
    for at in range(len(job.lists.get(each, ()))):
        yield from (path for path, label in of_item(row, at).items() if label not in told)
