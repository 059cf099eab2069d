"""The records that the law asks a contractor to keep of a job, filled in from it.

Which facts belong on them, and with how sure we are, stands in the job schema. What the job does not record is left as a
blank to fill in by hand.
"""

from __future__ import annotations

from typing import NamedTuple

from checker.reading.job import Job


class Form(NamedTuple):
    """A record: its title, the facts on it, how long it is kept, and on what ground, with how sure we are."""

    name: str
    title: str
    facts: tuple[str, ...]
    kept: str
    ground: str


class Entry(NamedTuple):
    title: str
    written: str


class Record(NamedTuple):
    form: Form
    entries: tuple[Entry, ...]

    @property
    def open_entries(self) -> int:
        """How many entries are left to fill in by hand."""
        return sum(not entry.written for entry in self.entries)


def records(job: Job) -> list[Record]:
    """The records of a job."""
    forms = (Form(**{**told, "facts": tuple(told["facts"])}) for told in job.vocabulary.commands.get("records", ()))
    return [Record(form, tuple(_entry(path, job) for path in form.facts)) for form in forms]


def _entry(path: str, job: Job) -> Entry:
    reading = job.readings.get(path)
    written = reading.written if reading else f"not known ({job.not_known[path]})" if path in job.not_known else ""
    return Entry(job.vocabulary.title(path), written)
