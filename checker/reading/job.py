"""A job, and a job read from its file: every recorded fact by its full path."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple

from checker.ir.kleene import NONE, Cause, Evaluated, Known, Nothing, Range, Unknown
from checker.problems.document import Document
from checker.problems.problem import ProblemsFound
from checker.reading import known_by, photographs
from checker.reading.added_up import with_sums
from checker.reading.fact_reader import Reading, ends_of
from checker.reading.fact_shapes import pattern
from checker.reading.files import read_text
from checker.reading.job_reader import Reader
from checker.reading.quick_json import QuickDocument
from checker.reading.vocabulary import Vocabulary


class Job(NamedTuple):
    """A job: readings by full path, lists by full path with their keys, and why some facts are not known.

    `data` is the job as it was typed, without what it inherits; `notes` are for its report: what it inherits, which pictures
    are missing. `folder` is that of its file; None where it came from elsewhere.
    """

    id: str
    file: str
    readings: Mapping[str, Reading]
    not_known: Mapping[str, str]
    lists: Mapping[str, tuple[str, ...]]
    vocabulary: Vocabulary
    data: Mapping[str, Any]
    notes: tuple[str, ...] = ()
    folder: Path | None = None

    def value(self, path: str) -> Evaluated | None:
        """What is recorded at a path, None where nothing is."""
        reading = self.readings.get(path)
        return reading.value if reading else None

    def text(self, path: str) -> str:
        """A recorded word, or nothing."""
        value = self.value(path)
        return value if isinstance(value, str) else ""

    def at(self, role: str, *positions: int) -> str:
        """The path of what has a role in the job schema; empty where nothing has it."""
        return self.vocabulary.at(role, *positions)

    def items(self, role: str, *positions: int) -> range:
        """The positions of the items of the list that has a role."""
        return range(len(self.lists.get(self.at(role, *positions), ())))

    def how_known(self) -> known_by.KnownBy:
        """How each fact is known, as the job says."""
        return known_by.KnownBy(self.data, self.vocabulary, self.readings)

    def speaks_of(self, path: str) -> bool:
        """Whether the job says something of a fact or list, be it that it is not known."""
        return path in self.readings or path in self.not_known or path in self.lists

    @property
    def place(self) -> str:
        """The jurisdiction code of the job, or nothing."""
        return self.text(self.at("place"))


# How a job is loaded: plainly, or with what it inherits.
Loading = Callable[[Document], Job]


class JobFacts:
    """A job as the tree walk sees it, with the ranges that the rulesets give for a place.

    Args:
        doubts: The readings of which nobody knows whether they are right, by full path, with why. They are not known.
    """

    def __init__(
        self,
        job: Job,
        ranges: Mapping[str, tuple[float, float]] | None = None,
        doubts: Mapping[str, str] = MappingProxyType({}),
    ) -> None:
        self.job, self.ranges, self.doubts = job, ranges or {}, doubts
        self.recorded: Callable[[str, Any], Any] = self._recorded if doubts else job.readings.get

    @property
    def as_recorded(self) -> JobFacts:
        """The same, each reading taken as it is recorded."""
        return JobFacts(self.job, self.ranges)

    def value(self, path: str) -> Evaluated | None:
        if path in self.doubts:
            return Unknown(frozenset([Cause("implausible", path, self.doubts[path])]), ("fact", path))
        return self.job.value(path)

    def _recorded(self, path: str, otherwise: Any) -> Any:
        return otherwise if path in self.doubts else self.job.readings.get(path, otherwise)

    def items(self, path: str) -> tuple[str, ...] | None:
        return self.job.lists.get(path)

    def possible(self, path: str) -> tuple[Known | Nothing, ...] | Range | None:
        leaf = self.job.vocabulary.leaf(path)
        if leaf is None:
            return None
        ends = self.ranges.get(pattern(path)) or ends_of(leaf)
        if ends:
            return Range(*ends, frozenset([Cause("not_recorded", path)]))
        values: tuple[Known | Nothing, ...] = (True, False) if leaf.form == "flag" else leaf.possible
        return (*values, NONE) if values and leaf.may_be_none else values or None


def load(document: Document, vocabulary: Vocabulary, instruments: Collection[str] = ()) -> Job:
    """Read a job.

    Args:
        instruments: Keys of instruments that are listed elsewhere, which readings of this job may name.

    Raises:
        ProblemsFound: Everything that is wrong with it, at once.
    """
    reader = _read(document, vocabulary, instruments)
    if isinstance(document, QuickDocument) and (reader.problems or reader.keys != document.keys):
        exact = read_text(document.content, document.file, document.folder)
        reader = _read(exact, vocabulary, instruments)
    job = _with_unrecorded(_job(reader))
    job = job._replace(readings=with_sums(job.readings, vocabulary))
    return _without_missing_pictures(job) if job.items("photographs") else job


def _read(document: Document, vocabulary: Vocabulary, instruments: Collection[str]) -> Reader:
    reader = Reader(document, vocabulary)
    reader.everything("job", '{"job_id": "…", "schema_version": 1, … }')
    reader.job_id()
    reader.version("job")
    reader.unlisted_instruments(instruments)
    reader.how_known()
    reader.unexplained(document.data)
    return reader


def _with_unrecorded(job: Job) -> Job:
    """A job with a note of what it says is known and does not record."""
    missing = known_by.unrecorded(job.data, job.vocabulary, (*job.readings, *job.lists))
    note = f"Nothing is recorded of what '{job.at(known_by.ROLE)}' names: {', '.join(missing)}."
    return job._replace(notes=(*job.notes, note)) if missing else job


def _without_missing_pictures(job: Job) -> Job:
    """A job in which what a photograph shows is not known where that photograph does not count as taken."""
    looked = photographs.looked_for(noted_photographs(job), job.folder, job.readings, job.not_known)
    return job._replace(readings=looked.readings, not_known=looked.not_known, notes=(*job.notes, *looked.notes))


def noted_photographs(job: Job) -> Iterator[photographs.Noted]:
    """The photographs that a job names, in its order."""
    for at, key in enumerate(job.lists.get(job.at("photographs"), ())):
        file = job.text(job.at("photographs.file", at))
        digests = (job.text(job.at(f"photographs.{role}", at)) for role in ("sha256", "handed_over"))
        yield photographs.Noted(key, file, job.at("photographs.shows", at), tuple(filter(None, digests)))


def _job(reader: Reader) -> Job:
    """What was read.

    Raises:
        ProblemsFound: Something is wrong with it.
    """
    if reader.problems:
        raise ProblemsFound(reader.problems)
    document = reader.document
    return Job(
        str(document.data.get("job_id", "")),
        document.file,
        reader.readings,
        reader.not_known,
        reader.lists,
        reader.vocabulary,
        document.data,
        folder=document.folder,
    )


def load_profile(document: Document, vocabulary: Vocabulary) -> Job:
    """Read facts that many jobs share and that are of none: a job without a `job_id`.

    Raises:
        ProblemsFound: Everything that is wrong with it, at once.
    """
    reader = Reader(document, vocabulary)
    reader.everything("profile", '{"schema_version": 1, "crew": { … }, … }')
    reader.version("profile")
    reader.unexplained({"job_id": "of none", **document.data})
    return _job(reader)
