"""The title block: which job this is, where, under which permits and editions, with which units, and who did it.

What belongs in it stands in the job schema, under `commands`. What is not recorded is named, so that nobody hands over a
block with a hole in it unseen.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from checker.findings.finding import NOT_RECORDED
from checker.findings.report import Edition, Report
from checker.problems.sanitize import low
from checker.reading.fact_shapes import pattern
from checker.reading.job import Job


class Row(NamedTuple):
    """A row: what it is called, what is recorded, and what of it is not."""

    title: str
    written: str
    missing: tuple[str, ...] = ()

    @property
    def lacks(self) -> str:
        """What is not recorded, in words: by name where the rest of the row is; empty where nothing is missing."""
        if not self.missing:
            return ""
        return f"{', '.join(self.missing)} {NOT_RECORDED}" if self.written else NOT_RECORDED

    @property
    def text(self) -> str:
        """The row as a line of text."""
        return "; ".join(filter(None, (self.written, self.lacks)))


class TitleBlock(NamedTuple):
    rows: tuple[Row, ...]
    signatures: tuple[str, ...]


def title_block(job: Job, authority: str, report: Report | None = None) -> TitleBlock:
    """The title block of a job.

    Args:
        authority: Who inspects at the place, by name; where nobody knows one, the place stands as the job says it.
        report: What was found, for the editions and the day; a sheet that is not filled in yet has none.
    """
    told: Mapping[str, Any] = job.vocabulary.commands.get("title_block", {})
    names = {job.at("place"): authority} if authority else {}
    rows = [row for one in told.get("rows", ()) for row in _rows(one, job, names)]
    if report:
        rows += [_editions(report.editions)] if report.editions else []
        rows.append(Row("Checked on", report.on))
    return TitleBlock(tuple(rows), tuple(told.get("signatures", ())))


def _rows(told: Mapping[str, Any], job: Job, names: Mapping[str, str]) -> Iterator[Row]:
    """The rows of one entry of the schema: one for each item of its list; one alone where there is no list or nothing in it."""
    title = told["title"]
    items = job.lists.get(told.get("each", ""), ())
    of_all = {label: path for path, label in told.get("otherwise", {}).items() if label and path in job.readings}
    for at in range(len(items)):
        own = of_item(told, at).items()
        shown = {path if path in job.readings else of_all.get(label, path): label for path, label in own}
        yield _row(title, shown, job, names)
    if items:
        return
    row = _row(title, told.get("otherwise", told["facts"]), job, names)
    if row.written or not told.get("where_recorded"):
        yield row


def of_item(told: Mapping[str, Any], at: int) -> dict[str, str]:
    """The facts of one item of the list that an entry of the schema has its rows for, each with its label."""
    each = told["each"]
    return {path.replace(each, f"{each}.{at}", 1): label for path, label in told["facts"].items()}


def _row(title: str, facts: Mapping[str, str], job: Job, names: Mapping[str, str]) -> Row:
    """
    Args:
        names: What stands in the place of a recorded fact that is a code and no name.
    """
    said, missing = [], []
    for path, label in facts.items():
        reading = job.readings.get(path)
        if reading:
            said.append(f"{label} {names.get(path, reading.written)}".strip().replace("_", " "))
        else:
            missing.append(label or _called(path, job))
    return Row(title, ", ".join(said), tuple(missing))


def _called(path: str, job: Job) -> str:
    return low(job.vocabulary.title(pattern(path)))


def _editions(editions: tuple[Edition, ...]) -> Row:
    return Row("Editions in force", "; ".join(map(_edition, editions)))


def _edition(one: Edition) -> str:
    if not one.editions:
        return f"{one.code}: not known, judged under every edition here"
    beside = f"; {', '.join(one.beside)} cited in the same edition, adoption not recorded" if one.beside else ""
    return f"{one.code} {' or '.join(one.editions)} ({one.by}{beside})"
