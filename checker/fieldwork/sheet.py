"""The field sheet: only the facts that the rules of this place and scope look at, as blanks in the order of the work.

A sheet asks and records. It judges nothing: what is filled in goes through `check`.
"""

from __future__ import annotations

import copy
import datetime
import json
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from checker.engine.checker import Checker
from checker.engine.job_run import rulesets_used
from checker.fieldwork.open_requirements import Measurement, Wanted, measurements, wanted
from checker.findings.report import RulesetUsed
from checker.problems.document import Document
from checker.reading import units
from checker.reading.files import read_text
from checker.reading.job import Job, Loading
from checker.reading.vocabulary import Leaf, Vocabulary, pattern

BOXES = 6  # rows of boxes on paper for a table of readings


class Blank(NamedTuple):
    """A fact to fill in: as it is asked, in which form and unit, the limit beside it, and what is recorded already."""

    path: str
    leaf: Leaf
    unit: str
    limit: str
    written: str
    value: Any


class Subject(NamedTuple):
    """The blanks of one part of the job, of one item where it is a list."""

    heading: str
    blanks: tuple[Blank, ...]


class Readings(NamedTuple):
    """A table of repeated readings: its columns as leaves, the rows that are recorded, and how many there are boxes for."""

    path: str
    title: str
    columns: tuple[Blank, ...]
    rows: tuple[tuple[str, ...], ...]
    boxes: int


class Part(NamedTuple):
    """One stage of the work: its caution, its blanks by subject, its tables of readings, and limits on what is worked out."""

    heading: str
    caution: str
    subjects: tuple[Subject, ...]
    readings: tuple[Readings, ...]
    limits: tuple[str, ...]


class Sheet(NamedTuple):
    """A field sheet. `added` are the list items that stand on it as room to write and are no facts of the job."""

    job: Job
    place: str
    rulesets: tuple[RulesetUsed, ...]
    stages: tuple[Part, ...]
    added: tuple[str, ...]


def sheet(checker: Checker, document: Document, load: Loading, on: datetime.date) -> Sheet:
    """The sheet for a job, which may hold no more than its name.

    Args:
        load: How a job is loaded, with whatever it inherits.

    Raises:
        ProblemsFound: The job or a ruleset that it needs cannot be used.
    """
    load(document)
    data, added = with_room(document.data, checker.vocabulary)
    job = load(read_text(json.dumps(data).encode(), document.file, document.folder))
    place = checker.chain(job.place)
    looked_at = list(checker.looked_at(job, on))
    found = wanted(looked_at, job)
    limits = measurements(looked_at, job)
    # what is read at the desk comes first, because limits stand on it
    order = sorted(enumerate(job.vocabulary.stages), key=lambda stage: not stage[1].at_the_desk)
    stages = [_part(at, found, limits, job, place.facts_named) for at, _ in order]
    return Sheet(job, place.place, rulesets_used(place), tuple(filter(_filled, stages)), tuple(added))


def with_room(data: Mapping[str, Any], vocabulary: Vocabulary) -> tuple[dict[str, Any], list[str]]:
    """A job with room for list items that are not recorded yet, as the job schema has it, and the paths of what was added."""
    job = copy.deepcopy(dict(data))
    added: list[str] = []
    for told in vocabulary.commands.get("room", ()):
        *outside, name = told["list"].split(".")
        for at, around in _each(job, outside):
            items = [dict(item["put"]) for item in told["items"] if _has_room(item, around)]
            if items and name not in around:
                around[name] = items
                added += [f"{at}{name}.{index}" for index in range(len(items))]
    return job, added


def _each(job: dict[str, Any], lists: list[str]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Each item of the lists in each other, with what stands before the paths in it; the job itself where there are none."""
    found = [("", job)]
    for name in lists:
        found = [(f"{at}{name}.{n}.", item) for at, around in found for n, item in enumerate(around.get(name, ()))]
    yield from found


def _has_room(item: Mapping[str, Any], around: Mapping[str, Any]) -> bool:
    """Whether an item is wanted, by what is recorded around it."""
    when, unless = (item.get(key, {}) for key in ("when", "unless"))
    return all(value_at(around, path) in values for path, values in when.items()) and not any(
        value_at(around, path) in values for path, values in unless.items()
    )


def _part(at: int, found: list[Wanted], limits: list[Measurement], job: Job, read: frozenset[str]) -> Part:
    own = [one for one in found if one.stage == at and not _in_readings(one.path, job.vocabulary)]
    subjects: dict[str, list[Blank]] = {}
    for one in own:
        subjects.setdefault(_heading(one, job), []).append(_blank(one, job))
    tables = [
        table
        for path in job.vocabulary.tables
        if (table := _readings(path, job, read)) and table.columns[0].leaf.stage == at
    ]
    said = dict.fromkeys(one.text for one in limits if not one.outright and _stage_of(one, job) == at)
    stage = job.vocabulary.stages[at]
    return Part(
        stage.heading,
        stage.caution,
        tuple(Subject(heading, tuple(blanks)) for heading, blanks in subjects.items()),
        tuple(tables),
        tuple(said),
    )


def _filled(stage: Part) -> bool:
    return bool(stage.subjects or stage.readings)


def _in_readings(path: str, vocabulary: Vocabulary) -> bool:
    return any(pattern(path).startswith(f"{name}.") for name, entry in vocabulary.lists.items() if not entry.keyed)


def _heading(one: Wanted, job: Job) -> str:
    section, *inside = one.path.split(".")
    if section == "local":
        return f"Asked by {inside[0]}"
    title = job.vocabulary.schema["properties"].get(section, {}).get("title", section.replace("_", " "))
    return f"{title}: {one.item.replace('/', ', ')}" if one.item else str(title)


def _blank(one: Wanted, job: Job) -> Blank:
    return Blank(one.path, one.leaf, _unit(one.leaf), "; ".join(one.limits), one.written, value_at(job.data, one.path))


def _unit(leaf: Leaf) -> str:
    return units.shown(leaf.unit) if leaf.form == "quantity" else ""


def _readings(path: str, job: Job, read: frozenset[str]) -> Readings | None:
    leaves = [leaf for leaf in job.vocabulary.leaves.values() if leaf.path.rsplit(".", 1)[0] == path]
    if not any(leaf.path in read for leaf in leaves):
        return None
    rows = tuple(
        tuple(
            reading.written if (reading := job.readings.get(f"{path}.{at}.{leaf.path.rsplit('.', 1)[1]}")) else ""
            for leaf in leaves
        )
        for at in range(len(job.lists.get(path, ())))
    )
    columns = tuple(Blank(leaf.path, leaf, _unit(leaf), "", "", None) for leaf in leaves)
    return Readings(
        path, job.vocabulary.lists[path].title, columns, rows, max(job.vocabulary.lists[path].boxes or BOXES, len(rows))
    )


def _stage_of(one: Measurement, job: Job) -> int:
    """The stage at which the last of its readings is taken: on the visit, unless all are read at the desk."""
    stages = [leaf.stage for path in one.facts if (leaf := _leaf_of(path, job.vocabulary))]
    return max(stages, key=lambda at: (not job.vocabulary.stages[at].at_the_desk, at), default=-1)


def _leaf_of(path: str, vocabulary: Vocabulary) -> Leaf | None:
    """The leaf at a path, or the first leaf of the list that stands there."""
    return vocabulary.leaf(path) or next(
        (leaf for leaf in vocabulary.leaves.values() if leaf.path.startswith(f"{pattern(path)}.")), None
    )


def value_at(data: Any, path: str) -> Any:
    """What stands at a dotted path of a job document, None where nothing does."""
    for step in path.split("."):
        if isinstance(data, list):
            data = data[int(step)] if int(step) < len(data) else None
        else:
            data = data.get(step) if isinstance(data, Mapping) else None
    return data
