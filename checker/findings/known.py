"""How what a finding rests on is known: measured, photographed, read where it is printed, or stated and no more.

A line is as good as what was found on the job. A printed limit does not make a reading better that somebody only stated.
"""

from __future__ import annotations

import functools
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from checker.findings.finding import NOT_RECORDED, UNSTATED, Finding
from checker.ir.outcomes import VERIFY
from checker.judging.instruments import instrument_at
from checker.problems.sanitize import low
from checker.reading.fact_shapes import beside, pattern, under
from checker.reading.job import Job, noted_photographs
from checker.reading.known_by import KnownBy, Way
from checker.reading.photographs import Also, subjects

MEASURED, PHOTOGRAPHED, PRINTED, STATED = "measured", "photographed", "in print", "stated"
WAYS = (MEASURED, PHOTOGRAPHED, PRINTED, STATED)
NO_INSTRUMENT = f"instrument {NOT_RECORDED}"


class Known(NamedTuple):
    """How one fact is known: the best way, what it was measured with or where it is printed, and the pictures of it."""

    way: str
    by: str = ""
    pictures: tuple[str, ...] = ()


class _Picture(NamedTuple):
    """A photograph of a job: its name, its own path, what it shows, and what else stands on it."""

    key: str
    at: str
    shows: str
    also: tuple[Also, ...]

    def of(self, path: str, job: Job) -> bool:
        """Whether it shows a fact; what the job says of the picture itself, such as its day, it shows too."""
        return under(path, self.at) or near(path, self.shows) or any(self._has(one, path, job) for one in self.also)

    @staticmethod
    def _has(also: Also, path: str, job: Job) -> bool:
        here = any(near(path, fact) for fact in also.facts)
        return here and all(job.text(beside(fact, path)) == word for fact, word in also.where.items())


class Knowledge:
    """How the facts of one job are known. Without a job all is stated."""

    def __init__(self, job: Job | None = None) -> None:
        self.job = job
        self._facts: dict[str, Known] = {}

    def of_fact(self, path: str) -> Known:
        """How one recorded fact is known. Of one that the job does not say it of, nothing is claimed: it is stated."""
        found = self._facts.get(path)
        if found is None:
            found = self._facts[path] = self._of_fact(self.job, path) if self.job else Known(STATED)
        return found

    def _of_fact(self, job: Job, path: str) -> Known:
        pictures = tuple(one.key for one in self._pictures if one.of(path, job))
        way = self._way(job, path)
        reading, leaf = job.readings.get(path), job.vocabulary.leaf(path)
        if way and way.holds:
            return Known(PRINTED, way.title, pictures)
        if reading and reading.added_from:
            return self._of_a_sum([self.of_fact(part) for part in reading.added_from], pictures)
        at = instrument_at(job, reading.instrument, leaf.measured) if reading and leaf and leaf.measured else -1
        if at >= 0:
            return Known(MEASURED, job.lists[job.at("instruments")][at], pictures)
        if way and way.readings:
            return Known(MEASURED, NO_INSTRUMENT, pictures)
        return Known(PHOTOGRAPHED if pictures else STATED, reading.origin if reading else "", pictures)

    @staticmethod
    def _of_a_sum(parts: list[Known], pictures: tuple[str, ...]) -> Known:
        """A sum of readings is known as the weakest of them is."""
        weakest = max(parts, key=lambda one: WAYS.index(one.way))
        return Known(weakest.way, ", ".join(dict.fromkeys(one.by for one in parts if one.by)), pictures)

    @functools.cached_property
    def _told(self) -> KnownBy | None:
        return self.job.how_known() if self.job else None

    def _way(self, job: Job, path: str) -> Way | None:
        """What the job says of a fact; where it says nothing, the way of what is printed somewhere."""
        told = self._told
        if told is None:
            return None
        if way := told.of(path):
            return way
        printed = (way for way in told.ways.values() if any(job.vocabulary.holds(path, sort) for sort in way.holds))
        return next(printed, None)

    @functools.cached_property
    def _pictures(self) -> list[_Picture]:
        job = self.job
        if job is None:
            return []
        also = {one.shows: one.also for one in subjects(job.vocabulary)}
        named = (
            (one.key, one.shows.rpartition(".")[0], job.text(one.shows)) for one in noted_photographs(job) if one.file
        )
        return [_Picture(key, at, shows, also.get(pattern(shows), ())) for key, at, shows in named if shows]

    # --- a finding ---

    def way(self, finding: Finding) -> str:
        """The best way in which what a finding found on the job is known; of one that only compares print, where that is."""
        found = self._rests_on(finding)
        on_the_job = [one for one in found if one.way != PRINTED]
        best = min(on_the_job or found or [Known(STATED)], key=lambda one: WAYS.index(one.way))
        return best.by if best.way == PRINTED else best.way

    def pictures(self, finding: Finding) -> tuple[str, ...]:
        """The names of the photographs that show something of what a finding rests on."""
        return tuple(dict.fromkeys(key for one in self._rests_on(finding) for key in one.pictures))

    def counts(self, findings: Iterable[Finding]) -> dict[str, int]:
        """How many findings are known in each way, what was only stated last."""
        counted = Counter(map(self.way, findings))
        ordered = [MEASURED, PHOTOGRAPHED, *sorted(set(counted) - set(WAYS)), STATED]
        return {way: counted[way] for way in ordered if counted[way]}

    def words(self, finding: Finding) -> str:
        """How what a finding rests on is known, on a line: with which instruments, in which pictures, in which print."""
        found = tuple(self._rests_on(finding))
        measured = any(one.way == MEASURED for one in found)
        return _words(found, measured and any(note.startswith(UNSTATED) for note in finding.notes))

    def line(self, finding: Finding) -> str:
        """The same, but empty for a finding that no recorded fact is in, or none that settles anything."""
        return self.words(finding) if self._rests_on(finding) else ""

    def in_brackets(self, finding: Finding) -> str:
        """The same, to stand behind a line; empty where the line is."""
        line = self.line(finding)
        return f" [{line}]" if line else ""

    def _rests_on(self, finding: Finding) -> list[Known]:
        """How each recorded fact in what a finding requires is known; of all that it names where it names none there.

        What is open and has nothing of it rests on nothing.
        """
        facts = sorted(finding.required) or [one.fact for one in finding.evidence if finding.outcome != VERIFY]
        return [self.of_fact(fact) for fact in facts]

    # --- what the words refer to ---

    def instruments(self, findings: Iterable[Finding]) -> list[tuple[str, str]]:
        """Each instrument that findings rest on: its key, and make and model, accuracy and until when it is calibrated."""
        job = self.job
        known = (one for finding in findings for one in self._rests_on(finding))
        used = {one.by for one in known if one.way == MEASURED}
        if job is None or not used:
            return []
        keys = job.lists.get(job.at("instruments"), ())
        return [(key, self._instrument(job, at)) for at, key in enumerate(keys) if key in used]

    @staticmethod
    def _instrument(job: Job, at: int) -> str:
        listed = job.at("instruments", at)
        accuracies = {job.at("instruments.accuracy_of_reading", at): " of reading"}
        accuracies[job.at("instruments.accuracy_of_span", at)] = " of full scale"
        said = [job.text(job.at("instruments.model", at))]
        for path, reading in job.readings.items():
            leaf = job.vocabulary.leaf(path) if path.startswith(f"{listed}.") else None
            if leaf and leaf.either_way and isinstance(reading.value, float):
                said.append(f"±{reading.written}{accuracies.get(path, '')}")
        due = job.at("instruments.calibration_due", at)
        said.append(
            f"{low(job.vocabulary.title(due))} {job.readings[due].written if due in job.readings else NOT_RECORDED}"
        )
        return ", ".join(filter(None, said))

    def manual(self) -> str:
        """The manual that limits are from, with its pages; empty where none is named."""
        return self.job.text(self.job.at("manual")) if self.job and self.job.at("manual") else ""


@functools.lru_cache(8192)
def _words(found: tuple[Known, ...], unsure: bool) -> str:
    """How facts are known, on a line; most findings of most jobs share a few of these.

    Args:
        unsure: Whether the accuracy of what was measured is unstated.
    """
    return "; ".join(_said(found, unsure)) or STATED


def _said(found: tuple[Known, ...], unsure: bool) -> Iterator[str]:
    by_way = {way: [one for one in found if one.way == way] for way in WAYS}
    measured = by_way[MEASURED]
    if measured:
        accuracy = ", accuracy unstated" if unsure and any(one.by != NO_INSTRUMENT for one in measured) else ""
        yield f"{MEASURED}: {_listed(measured)}{accuracy}{_pictured(measured)}"
    told = {key for one in measured for key in one.pictures}
    photographed = [one for one in by_way[PHOTOGRAPHED] if not set(one.pictures) <= told]
    if photographed:
        yield f"{PHOTOGRAPHED}{_pictured(photographed)}"
    if stated := by_way[STATED]:
        partly = "partly " if measured or photographed else ""
        yield " ".join(filter(None, (f"{partly}{STATED}", _listed(stated))))
    if printed := by_way[PRINTED]:
        yield f"{_listed(printed)}{_pictured(printed, 'picture ')}"


def _listed(found: list[Known]) -> str:
    return ", ".join(dict.fromkeys(one.by for one in found if one.by))


def _pictured(found: list[Known], before: str = "") -> str:
    pictures = dict.fromkeys(f"“{key}”" for one in found for key in one.pictures)
    return f" ({before}{', '.join(pictures)})" if pictures else ""


def near(fact: str, shows: str) -> bool:
    """Whether a picture shows a fact: it is of the fact itself, or of the section or list that the fact stands in.

    Nothing is claimed of a section inside that section: a picture of the drain does not show that its float switch was tested.
    """
    return any(shows in (path, path.rpartition(".")[0]) for path in (fact, pattern(fact)))
