"""What a job inherits: a maker's values for its models, and what a contractor's profile says of crew, place, instruments.

A fact that the job records itself always wins. What is inherited says where it comes from, and is never a reading:
neither a sheet nor a profile holds anything that is measured.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import NamedTuple

from checker.problems.document import Document
from checker.problems.problem import Problem, ProblemsFound
from checker.reading.fact_reader import Reading
from checker.reading.inherited.manufacturer_sheet import Sheet, equipment_of
from checker.reading.inherited.merging import Merging, same
from checker.reading.inherited.profile import Profile, with_profile
from checker.reading.job import Job, load
from checker.reading.vocabulary import Vocabulary

Offer = tuple[Sheet, Reading]


class Inherited(NamedTuple):
    """What the jobs of one run inherit from. `settings` says in words what was named by a file of settings."""

    sheets: tuple[Sheet, ...] = ()
    profile: Profile | None = None
    place: str = ""
    settings: str = ""


def load_job(document: Document, vocabulary: Vocabulary, inherited: Inherited) -> Job:
    """Read a job with what it inherits. Its readings may name the profile's instruments.

    Raises:
        ProblemsFound: Everything wrong with the job, or with what it would inherit.
    """
    listed = inherited.profile.instruments if inherited.profile else ()
    return with_inherited(load(document, vocabulary, listed), inherited)


def with_inherited(job: Job, inherited: Inherited) -> Job:
    """A job with the facts that it does not record itself out of the profile and the sheets, and with notes of them.

    Raises:
        ProblemsFound: A model is of two sheets, or an instrument is another thing in the profile than in the job.
    """
    job = with_profile(job, inherited.profile) if inherited.profile else job
    job = _with_place(job, inherited.place) if inherited.place and not job.place else job
    job = with_sheets(job, inherited.sheets) if inherited.sheets else job
    return job._replace(notes=(inherited.settings, *job.notes)) if inherited.settings else job


def _with_place(job: Job, place: str) -> Job:
    """A job that names no place, at the place of the settings."""
    return job._replace(readings={**job.readings, job.at("place"): Reading(place, place, origin="from the settings")})


def with_sheets(job: Job, sheets: tuple[Sheet, ...]) -> Job:
    """A job with the makers' values for its models.

    Raises:
        ProblemsFound: A model is of two sheets.
    """
    merging = _FromSheets(job)
    found = [list(merging.fitting(part, sheets)) for part in equipment_of(job.vocabulary).parts]
    problems = [_two_sheets(job, fitting) for fitting in found if len(fitting) > 1]
    if problems:
        raise ProblemsFound(problems)
    offers: dict[str, list[Offer]] = {}
    for path, offer in (value for fitting in found for sheet in fitting for value in merging.values(sheet)):
        offers.setdefault(path, []).append(offer)
    for path, of_fact in offers.items():
        merging.offer(path, of_fact)
    return merging.job()


def _two_sheets(job: Job, fitting: list[Sheet]) -> Problem:
    first, second = fitting[:2]
    part = equipment_of(job.vocabulary).parts[first.part]
    what = (
        f"The {part.title} {job.text(part.model)} of job {job.id} fits two sheets: "
        f"'{second.id}' here, and '{first.id}' at {first.place}."
    )
    return second.problem(what, "Narrow the models of one of them, or record the manufacturer in the job.")


class _FromSheets(Merging):
    """A job while it takes over what makers' sheets say."""

    def __init__(self, job: Job) -> None:
        super().__init__(job)
        self.equipment = equipment_of(job.vocabulary)
        self.taken: Counter[str] = Counter()  # by the sources of the sheets

    def job(self) -> Job:
        facts = [
            f"Inherited from {source}: {n} fact{'s' * (n > 1)} that the job does not record."
            for source, n in self.taken.items()
        ]
        return super().job()._replace(notes=(*self.typed.notes, *facts, *self.notes))

    def fitting(self, part: str, sheets: tuple[Sheet, ...]) -> Iterator[Sheet]:
        """The sheets of a part's model and, where the job records one, of its maker."""
        told = self.equipment.parts[part]
        title, model, maker = told.title, self.typed.text(told.model), self.typed.text(told.maker)
        of_model = [sheet for sheet in sheets if model and sheet.part == part and sheet.fits(model)]
        of_maker = [sheet for sheet in of_model if maker.casefold() in ("", sheet.maker.casefold())]
        yield from of_maker
        if model and not of_model:
            self.notes.append(f"No manufacturer's sheet is for the {title} {model}.")
        for sheet in of_model if not of_maker else ():
            self.notes.append(
                f"The {title} {model} is by {maker} in the job; {sheet.source} is from another manufacturer and not used."
            )

    def values(self, sheet: Sheet) -> Iterator[tuple[str, Offer]]:
        """What a sheet says of this job's unit, by the full paths of the facts; nothing where it is doubtful."""
        found = list(self.placed(sheet))
        if sheet.sure != "doubtful":
            yield from ((path, (sheet, reading)) for path, reading in found)
            return
        unused = [f"{self.named(path)} {reading.written}" for path, reading in found if path not in self.readings]
        if unused:
            self.notes.append(f"Doubtful and not used: {sheet.source}. It says: {', '.join(unused)}.")

    def placed(self, sheet: Sheet) -> Iterator[tuple[str, Reading]]:
        prefix = self.equipment.prefix
        own = self.own(sheet) if any(prefix and path.startswith(prefix) for path in sheet.facts) else ""
        for path, reading in sheet.facts.items():
            if not (prefix and path.startswith(prefix)):
                yield path, reading
            elif own:
                yield f"{own}.{path.removeprefix(prefix)}", reading

    def own(self, sheet: Sheet) -> str:
        """The one list item of which a sheet speaks, such as the circuit of a unit; nothing where that cannot be told."""
        part, listed = self.equipment.parts[sheet.part], self.equipment.own
        by = self.equipment.by.removeprefix(f"{listed}.")
        keys = self.lists.get(listed, ())
        found = [f"{listed}.{i}" for i in range(len(keys)) if self.typed.text(f"{listed}.{i}.{by}") == part.serves]
        in_doubt = bool(part.unless) and self.typed.value(part.unless) is not False
        if found and (in_doubt or len(found) > 1):
            why, named = part.why if in_doubt else "it has several", self.equipment.prefix.rstrip(".")
            self.notes.append(f"Plate values of the {part.title}'s {named} are not taken from {sheet.source}: {why}.")
            return ""
        return found[0] if found else ""

    def offer(self, path: str, offers: list[Offer]) -> None:
        """Take what the sheets say of a fact where the job records nothing and they agree; else say where they differ."""
        (sheet, reading), *others = offers
        typed = self.typed.readings.get(path)
        if typed:
            self.compare(path, typed, offers)
        elif all(same(reading, other) for _, other in others):
            self.take(path, sheet.marked(reading))
            self.taken[sheet.source] += 1
        else:
            said = "; ".join(f"{other.written} {sheet.origin}" for sheet, other in offers)
            self.notes.append(f"{self.named(path)}: manufacturers' sheets differ, and none is used: {said}.")

    def compare(self, path: str, typed: Reading, offers: list[Offer]) -> None:
        """Say where a sheet is of another mind than the job; titles and other free text are not compared."""
        leaf = self.vocabulary.leaf(path)
        for sheet, reading in offers:
            if leaf and leaf.form != "text" and not same(typed, reading):
                said = f"{typed.written} in the job, {reading.written} {sheet.origin}"
                self.notes.append(f"{self.named(path)}: {said}. The job's is used.")
