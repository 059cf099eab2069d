"""The records that the law asks a contractor to keep of a job, filled in from it.

Which facts belong on them, and with how sure we are, stands in the job schema. Where a rule of the job asks for a record, what
is not recorded is left as a blank to fill in by hand; elsewhere only what is recorded stands on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

from checker.findings.report import Report
from checker.reading.job import Job
from checker.reading.vocabulary import Vocabulary


class Form(NamedTuple):
    """A record: its title, the facts on it, how long it is kept, and on what ground, with how sure we are.

    `rule` asks for it; without one it is asked for of every job. Facts `where_recorded` leave no blank, those that come
    `later` a blank that says when.
    """

    name: str
    title: str
    facts: tuple[str, ...]
    kept: str
    ground: str
    rule: str = ""
    where_recorded: tuple[str, ...] = ()
    later: Mapping[str, str] = MappingProxyType({})


class Entry(NamedTuple):
    """A line of a record. Where nothing is written, `when` says when that comes; empty where it should be there."""

    title: str
    written: str
    when: str = ""


class Record(NamedTuple):
    form: Form
    entries: tuple[Entry, ...]

    @property
    def blanks(self) -> tuple[str, ...]:
        """What should be on the record and is not."""
        return tuple(entry.title for entry in self.entries if not entry.written and not entry.when)


def records(job: Job, report: Report) -> list[Record]:
    """The records of a job.

    Args:
        report: What was found in it, which says whether a rule asks for a record.
    """
    return [Record(form, tuple(_entries(form, job, asked))) for form, asked in forms(job.vocabulary, report)]


def forms(vocabulary: Vocabulary, report: Report) -> Iterator[tuple[Form, bool]]:
    """The records that the job schema knows, each with whether it is asked for: of every job, or by a rule of this one."""
    rules = {finding.rule for finding in report.findings}
    for form in map(_form, vocabulary.commands.get("records", ())):
        yield form, not form.rule or form.rule in rules


def _form(told: Mapping[str, Any]) -> Form:
    lists = {name: tuple(told.get(name, ())) for name in ("facts", "where_recorded")}
    return Form(**{**told, **lists})


def _entries(form: Form, job: Job, asked: bool) -> Iterator[Entry]:
    for path in (*form.facts, *form.where_recorded, *form.later):
        entry = Entry(job.vocabulary.title(path), _written(path, job), form.later.get(path, ""))
        if entry.written or (asked and path not in form.where_recorded):
            yield entry


def _written(path: str, job: Job) -> str:
    reading = job.readings.get(path)
    return reading.written if reading else f"not known ({job.not_known[path]})" if path in job.not_known else ""
