"""The records that federal rules ask a contractor to keep of a changeout, filled in from a job.

Which facts belong on them is written down here in our own words, with how sure we are; the rules themselves stand in
`rulesets/federal`. What the job does not record is left as a blank to fill in by hand.
"""

from __future__ import annotations

from typing import NamedTuple

from checker.job import Job


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


RECOVERY = Form(
    "refrigerant-record",
    "Refrigerant recovered, and where the old equipment went",
    (
        "crew.company", "crew.technician", "crew.recovery_certification", "site.address", "dates.work_started",
        "removed.maker", "removed.model", "removed.serial", "removed.refrigerant", "removed.charge",
        "recovery.refrigerant", "recovery.amount", "recovery.level", "recovery.cylinder", "recovery.sent_to",
        "removed.disposed_to",
    ),
    "three years (from memory)",
    "40 CFR 82.156(a)(3): for equipment that held more than 5 and less than 50 lb, the place, the date, the refrigerant, "
    "the amounts of each month and what was sent on (paragraph and time from memory)",
)  # fmt: skip

EQUIPMENT = Form(
    "equipment-record",
    "Equipment installed, for the record of regional standards",
    (
        "crew.company", "site.address", "site.state", "dates.equipment_installed", "outdoor_unit.maker",
        "outdoor_unit.model", "outdoor_unit.serial", "outdoor_unit.manufactured", "outdoor_unit.bought_from",
        "indoor_unit.maker", "indoor_unit.model", "indoor_unit.serial", "ratings.match_certificate", "ratings.seer2",
        "ratings.eer2",
    ),
    "48 months",
    "10 CFR 429.142 (regional standards; where the state has none, good practice for the warranty)",
)  # fmt: skip

FORMS = (RECOVERY, EQUIPMENT)


def records(job: Job) -> list[Record]:
    """Both records of a job."""
    return [Record(form, tuple(_entry(path, job) for path in form.facts)) for form in FORMS]


def _entry(path: str, job: Job) -> Entry:
    reading = job.readings.get(path)
    written = reading.written if reading else f"not known ({job.not_known[path]})" if path in job.not_known else ""
    return Entry(job.vocabulary.title(path), written)
