"""The field sheet: only the facts that the rules of this place and scope look at, as blanks by station, core first.

A sheet asks and records. It judges nothing: what is filled in goes through `check`.
"""

from __future__ import annotations

import copy
import datetime
import json
from collections.abc import Callable, Collection, Iterator, Mapping
from typing import Any, NamedTuple

from checker.engine.checker import Checker
from checker.fieldwork.open_requirements import Measurement, Wanted, measurements, wanted
from checker.findings.finding import WEIGHTS
from checker.problems.document import Document
from checker.reading import units
from checker.reading.fact_shapes import Leaf, Station, pattern
from checker.reading.files import read_text
from checker.reading.job import Job, Loading
from checker.reading.vocabulary import Vocabulary

BOXES = 6  # rows of boxes on paper for a table of readings
AMOUNTS = (
    "quantity",
    "count",
    "date",
)  # beside a yes or no, or a word of a list, no limit stands: it would tell the answer


class Blank(NamedTuple):
    """A fact to fill in: as it is asked, in which form and unit, the limit beside it, and what is recorded already.

    `weight` is the place of the heaviest rule that reads it among the weights, `rules` how many read it, `gone` the
    number of the stage after which it cannot be seen any more (0 where it stays to be seen).
    """

    path: str
    leaf: Leaf
    unit: str
    limit: str
    written: str
    weight: int = 0
    rules: int = 1
    gone: int = 0

    @property
    def core(self) -> bool:
        return self.weight == 0


class Subject(NamedTuple):
    """Blanks that stand together: those of one list item, under its name, or all others of a station."""

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
    """One station: its blanks by subject, its tables of readings, and limits on what is worked out of several."""

    heading: str
    subjects: tuple[Subject, ...]
    readings: tuple[Readings, ...]
    limits: tuple[str, ...]


class Caution(NamedTuple):
    """What to mind at one stage of the work, with the number that marks what cannot be seen after it (0: no mark)."""

    gone: int
    heading: str
    text: str


class Sheet(NamedTuple):
    """A field sheet. `added` are the list items that stand on it as room to write and are no facts of the job."""

    job: Job
    place: str
    authority: str
    cautions: tuple[Caution, ...]
    stations: tuple[Part, ...]
    added: tuple[str, ...]

    @property
    def blanks(self) -> Iterator[Blank]:
        return (blank for part in self.stations for subject in part.subjects for blank in subject.blanks)


def sheet(checker: Checker, document: Document, load: Loading, on: datetime.date) -> Sheet:
    """The sheet for a job, which may hold no more than its name.

    Args:
        document: One that was loaded before, so that a mistake in it is told of where it stands.
        load: How a job is loaded, with whatever it inherits.

    Raises:
        ProblemsFound: The job or a ruleset that it needs cannot be used.
    """
    data, added = with_room(document.data, checker.vocabulary)
    job = load(read_text(json.dumps(data).encode(), document.file, document.folder))
    place = checker.chain_of(job)
    looked_at = list(checker.looked_at(job, on))
    found = wanted(looked_at, job)
    limits = measurements(looked_at, job)
    stations = [_part(station, found, limits, job, place.facts_named) for station in job.vocabulary.stations]
    cautions, kept = tuple(_cautions(job.vocabulary)), tuple(filter(_filled, stations))
    return Sheet(job, place.place, place.authority, cautions, kept, tuple(added))


def _cautions(vocabulary: Vocabulary) -> Iterator[Caution]:
    for at, stage in enumerate(vocabulary.stages):
        if stage.caution:
            yield Caution(_gone(at, vocabulary), stage.heading, stage.caution)


def _gone(stage: int, vocabulary: Vocabulary) -> int:
    """The number of a stage on the site after which a fact cannot be seen any more; 0 for the last of them and the desk."""
    on_site = [at for at, one in enumerate(vocabulary.stages) if not one.at_the_desk]
    return on_site.index(stage) + 1 if stage in on_site[:-1] else 0


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


def _part(station: Station, found: list[Wanted], limits: list[Measurement], job: Job, read: frozenset[str]) -> Part:
    vocabulary = job.vocabulary
    own = [one for one in found if vocabulary.station(one.path) == station and not _in_readings(one.path, vocabulary)]
    subjects: dict[str, list[Blank]] = {}
    for one in own:
        subjects.setdefault(_heading(one, job), []).append(_blank(one, job))
    tables = [
        table
        for path in vocabulary.tables
        if vocabulary.station(path) == station and (table := _readings(path, job, read))
    ]
    said = dict.fromkeys(
        one.text for one in limits if not one.outright and not one.first and _station_of(one, vocabulary) == station
    )
    ordered = [Subject(heading, tuple(sorted(blanks, key=_order(vocabulary)))) for heading, blanks in subjects.items()]
    ordered.sort(key=lambda subject: bool(subject.heading))
    return Part(
        station.heading, tuple(ordered), tuple(tables), tuple(filter(None, (_told_more(one, said) for one in said)))
    )


def _told_more(limit: str, others: Collection[str]) -> str:
    """A limit, unless another tells the same and who set it."""
    return "" if any(other.startswith(f"{limit} (") for other in others) else limit


def _order(vocabulary: Vocabulary) -> Callable[[Blank], tuple[bool, bool, int]]:
    """Core first; then what is read at the desk, because limits stand on it; then by when it is gone."""
    stages = vocabulary.stages
    return lambda blank: (not blank.core, not stages[blank.leaf.stage].at_the_desk, blank.leaf.stage)


def _filled(part: Part) -> bool:
    return bool(part.subjects or part.readings)


def _in_readings(path: str, vocabulary: Vocabulary) -> bool:
    return any(pattern(path).startswith(f"{name}.") for name, entry in vocabulary.lists.items() if not entry.keyed)


def _heading(one: Wanted, job: Job) -> str:
    """Of which item a blank is, or which place asks for it; nothing where its station says enough."""
    section, *inside = one.path.split(".")
    if section == "local":
        return f"Asked by {inside[0]}"
    if not one.item:
        return ""
    title = job.vocabulary.schema["properties"].get(section, {}).get("title", section.replace("_", " "))
    return f"{title}: {one.item.replace('/', ', ')}"


def _blank(one: Wanted, job: Job) -> Blank:
    return Blank(
        one.path,
        one.leaf,
        _unit(one.leaf),
        "; ".join(one.limits) if one.leaf.form in AMOUNTS else "",
        one.written,
        min(WEIGHTS.index(rule.weight) for rule in one.rules),
        len(one.rules),
        _gone(one.stage, job.vocabulary),
    )


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
    columns = tuple(Blank(leaf.path, leaf, _unit(leaf), "", "") for leaf in leaves)
    return Readings(
        path, job.vocabulary.lists[path].title, columns, rows, max(job.vocabulary.lists[path].boxes or BOXES, len(rows))
    )


def _station_of(one: Measurement, vocabulary: Vocabulary) -> Station:
    """Where the last of its readings is taken: on the visit, unless all are read at the desk."""
    leaves = [leaf for path in one.facts if (leaf := _leaf_of(path, vocabulary))]
    last = max(leaves, key=lambda leaf: (not vocabulary.stages[leaf.stage].at_the_desk, leaf.stage), default=None)
    return vocabulary.station(last.path) if last else vocabulary.stations[0]


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
