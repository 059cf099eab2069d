"""A contractor's profile: what is the same in many jobs, such as instruments, crew and place, written once.

A profile is written like a job, without a `job_id`. It holds nothing of one house, one unit or the work on it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any, NamedTuple

from checker.problems.document import Document, steps
from checker.problems.problem import Problem, ProblemsFound
from checker.problems.sanitize import low
from checker.reading.fact_reader import Reading
from checker.reading.fact_shapes import pattern
from checker.reading.files import read_file
from checker.reading.inherited.merging import Merging, same
from checker.reading.job import Job, load_profile
from checker.reading.vocabulary import Vocabulary

ORIGIN = "from the profile"


def may_hold(vocabulary: Vocabulary) -> tuple[str, ...]:
    """What a profile may hold: whole sections, and of others what is the same for one crew at every job of a place."""
    return ("local", *vocabulary.commands.get("profile", ()))


class Profile(NamedTuple):
    """The facts of a profile, as a job holds them, and its text."""

    facts: Job
    document: Document

    @property
    def instruments(self) -> tuple[str, ...]:
        """The keys of its instruments."""
        return self.facts.lists.get(self.facts.at("instruments"), ())

    def item(self, path: str) -> dict[str, Reading]:
        """The facts of a list item, by their paths inside it."""
        return {
            inside.removeprefix(f"{path}."): replace(reading, origin=ORIGIN)
            for inside, reading in self.facts.readings.items()
            if inside.startswith(f"{path}.")
        }


def open_profile(path: Path, vocabulary: Vocabulary) -> Profile:
    """Read a profile.

    Raises:
        ProblemsFound: Everything wrong with it; it may be that it cannot be read, or says what only a job can.
    """
    document = read_file(path)
    problems = list(_misplaced(document, vocabulary))
    try:
        facts = load_profile(document, vocabulary)
    except ProblemsFound as found:
        raise ProblemsFound([*found.problems, *problems]) from None
    problems += [
        document.problem((*steps(at.split(".")), "="), "A profile says what is known.", "Leave it out.")
        for at in facts.not_known
    ]
    if problems:
        raise ProblemsFound(problems)
    return Profile(facts, document)


def _misplaced(document: Document, vocabulary: Vocabulary) -> Iterator[Problem]:
    """Facts that a profile may not hold."""
    held = may_hold(vocabulary)
    for at in _places(document.data, (), held):
        path = ".".join(at)
        leaf = vocabulary.leaves.get(path)
        if path.startswith("local."):
            if leaf and leaf.known != "after":
                yield document.problem(
                    (*at, "="), f"'{path}' is about the work on one job.", "Take it out. It belongs in the job."
                )
        elif path in vocabulary.places and not any(
            f"{place}.".startswith(f"{path}.") for place in ("schema_version", *held)
        ):
            what = f"'{path}' is about one job; a profile holds what is the same in many."
            inside = [place.partition(".")[2] for place in held if len(at) > 1 and place.startswith(f"{at[0]}.")]
            hint = (
                f"Of '{at[0]}' it may hold: {', '.join(inside)}." if inside else "Take it out. It belongs in the job."
            )
            yield document.problem((*at, "="), what, hint)


def _places(data: Any, at: tuple[str, ...], held: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """Sections, and the facts in those of which a profile may hold some."""
    for name, value in data.items() if isinstance(data, dict) else ():
        yield (*at, name)
        inside = ".".join((*at, name)) + "."
        if inside.startswith("local.") or any(place.startswith(inside) for place in held):
            yield from _places(value, (*at, name), held)


def with_profile(job: Job, profile: Profile) -> Job:
    """A job with what the profile says and the job does not; its own facts stay.

    Instruments come together by their keys, codes told as adopted by their codes.

    Raises:
        ProblemsFound: An instrument is one thing in the job and another in the profile.
    """
    merging = Merging(job)
    taken = list(_plain(merging, profile))
    editions, instruments = list(_adopted(merging, profile)), list(_instruments(merging, profile))
    said = [*dict.fromkeys(low(title) for title in taken)]
    said += [f"editions in force as told ({', '.join(editions)})"] if editions else []
    said += [f"instruments ({', '.join(instruments)})"] if instruments else []
    if said:
        merging.notes.insert(0, f"Inherited from the profile: {', '.join(said)}.")
    return merging.job()


def _plain(merging: Merging, profile: Profile) -> Iterator[str]:
    for path, reading in profile.facts.readings.items():
        if pattern(path) == path and path != "schema_version" and path not in merging.readings:
            merging.take(path, replace(reading, origin=ORIGIN))
            yield merging.vocabulary.title(path)


def _adopted(merging: Merging, profile: Profile) -> Iterator[str]:
    """Editions told as adopted, each as a whole: who told it belongs to what was told."""
    at = merging.vocabulary.at
    listed, code = at("adopted"), at("adopted.code").rpartition(".")[2]
    keys = list(merging.lists.get(listed, ()))
    codes = {merging.typed.text(at("adopted.code", i)) for i in range(len(keys))}
    for i, key in enumerate(profile.facts.lists.get(listed, ())):
        item = profile.item(at("adopted", i))
        if key in keys or (code in item and item[code].value in codes):
            continue
        keys.append(key)
        for inside, reading in item.items():
            merging.take(f"{at('adopted', len(keys) - 1)}.{inside}", reading)
        yield key
    if keys:
        merging.lists[listed] = tuple(keys)


def _instruments(merging: Merging, profile: Profile) -> Iterator[str]:
    at, problems = merging.vocabulary.at, []
    keys = list(merging.lists.get(at("instruments"), ()))
    for i, key in enumerate(profile.instruments):
        keys += [key] if key not in keys else []
        for inside, reading in profile.item(at("instruments", i)).items():
            path = f"{at('instruments', keys.index(key))}.{inside}"
            typed = merging.typed.readings.get(path)
            if typed is None:
                merging.take(path, reading)
            elif not same(typed, reading):
                problems.append(_two_instruments(merging, profile, i, inside, typed, reading))
        yield key
    if problems:
        raise ProblemsFound(problems)
    if keys:
        merging.lists[at("instruments")] = tuple(keys)


def _two_instruments(
    merging: Merging, profile: Profile, index: int, inside: str, typed: Reading, reading: Reading
) -> Problem:
    path, job = f"{merging.vocabulary.at('instruments', index)}.{inside}", merging.typed
    title, key = merging.vocabulary.title(path), profile.instruments[index]
    what = f"Instrument '{key}', {low(title)}: {reading.written} here, {typed.written} in job {job.id} ({job.file})."
    return profile.document.problem(
        steps(path.split(".")), what, "If it is one instrument, make them the same; if not, give one another key."
    )
