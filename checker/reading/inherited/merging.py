"""A job while it takes over facts that stand elsewhere: what it records itself stays as it is."""

from __future__ import annotations

from checker.reading import units
from checker.reading.fact_reader import Reading
from checker.reading.fact_shapes import item_of
from checker.reading.job import Job


class Merging:
    """The facts of a job and those it takes over, with what is to be said of them."""

    def __init__(self, job: Job) -> None:
        self.typed, self.vocabulary = job, job.vocabulary
        self.readings, self.not_known, self.lists = dict(job.readings), dict(job.not_known), dict(job.lists)
        self.notes: list[str] = []

    def take(self, path: str, reading: Reading) -> None:
        """Take a fact that the job does not record; one that it notes as not known is known now, and that is said."""
        self.readings[path] = reading
        why = self.not_known.pop(path, "")
        if why:
            self.notes.append(
                f"{self.named(path)}: noted as not known ({why}); used is {reading.written} {reading.origin}."
            )

    def named(self, path: str) -> str:
        """A fact for people: its title, and the keys of the list items it is in."""
        item = item_of(path, self.lists)
        return self.vocabulary.title(path) + (f" [{item}]" if item else "")

    def job(self) -> Job:
        """The job with all that it took over."""
        notes = (*self.typed.notes, *self.notes)
        return self.typed._replace(readings=self.readings, not_known=self.not_known, lists=self.lists, notes=notes)


def same(one: Reading, other: Reading) -> bool:
    """Whether two readings are worth the same, in whatever unit they were written."""
    if isinstance(one.value, float) and isinstance(other.value, float):
        return units.settled(one.value) == units.settled(other.value)
    return one.value == other.value
