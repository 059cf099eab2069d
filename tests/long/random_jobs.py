"""Random jobs out of the worked ones: readings jittered, answers flipped, words swapped, days and places changed.

A job that the program refuses to read is not counted and another is made in its place. Every job is inside what its
place says is possible: a recorded elevation that the county does not have contradicts the county, and to remove what
contradicts is not to know less.
"""

from __future__ import annotations

import copy
import datetime
import json
import random
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

from checker.engine.checker import Checker
from checker.problems.problem import ProblemsFound
from checker.reading.fact_shapes import Leaf, pattern
from checker.reading.files import read_text
from checker.reading.job import Job, load
from checker.reading.shipped import ROOT
from tests.support.jobs import JOBS, NAMES, whole_job

Facts = dict[str, Any]
Step = str | int
Spot = tuple[Step, ...]

EXAMPLES = ROOT / "examples" / "jobs"
CHANGED = 0.12  # the share of facts of a job that are changed
PLACES = ("xx-alder", "xx-sorrel", "xx-larch", "xx-nowhere", "", None)  # None: as it stands
ELEVATIONS = {"xx-alder": (600, 1500), "xx-sorrel": (3200, 5400)}  # feet, from the `possible` of the two rulesets
NUMBER = re.compile(r"-?\d+(\.\d+)?")
NOT_CHANGED = ("schema_version", "job_id", "site.jurisdiction", "site.adopted", "acceptances")


class Made(NamedTuple):
    """A random job: its facts as written, and as read."""

    facts: Facts
    job: Job


def worked() -> list[Facts]:
    """The facts of every worked job: the examples, and the stories under `tests/jobs`."""
    examples = [json.loads(path.read_text(encoding="utf-8")) for path in sorted(EXAMPLES.glob("*.json"))]
    return [*examples, *(whole_job(JOBS / f"{name}.json") for name in NAMES)]


def read(facts: Facts, checker: Checker) -> Job:
    """The job of some facts.

    Raises:
        ProblemsFound: They are no job.
    """
    return load(read_text(json.dumps(facts).encode(), "random.json"), checker.vocabulary)


def random_job(rng: random.Random, bases: list[Facts], checker: Checker) -> Made:
    """One random job that can be read and judged."""
    while True:
        facts = _changed(rng, bases, checker)
        try:
            return Made(facts, read(facts, checker))
        except ProblemsFound:
            continue


def _changed(rng: random.Random, bases: list[Facts], checker: Checker) -> Facts:
    facts = copy.deepcopy(rng.choice(bases))
    if rng.random() < 0.3:
        other = rng.choice(bases)
        shared = [name for name in other if name not in ("schema_version", "job_id", "instruments", "acceptances")]
        facts |= copy.deepcopy({name: other[name] for name in rng.sample(shared, min(3, len(shared)))})
    _in_a_place(rng, facts)
    for spot in list(leaves(facts, checker)):
        if rng.random() < CHANGED and not written(spot).startswith(NOT_CHANGED):
            leaf = checker.vocabulary.leaf(written(spot))
            assert leaf is not None
            put(facts, spot, changed(rng, leaf, at(facts, spot)))
    _inside_the_place(rng, facts)
    return facts


def _in_a_place(rng: random.Random, facts: Facts) -> None:
    place, site = rng.choice(PLACES), facts.setdefault("site", {})
    if place:
        site["jurisdiction"] = place
    elif place == "":
        site.pop("jurisdiction", None)
        if rng.random() < 0.5:
            site["adopted"] = [{"key": "nec", "code": "nec", "edition": rng.choice(["2017", "2020", "2023"])}]


def _inside_the_place(rng: random.Random, facts: Facts) -> None:
    low, high = ELEVATIONS.get(facts["site"].get("jurisdiction", ""), (0, 11000))
    elevation = facts["site"].get("elevation")
    if elevation is not None and "not_known" not in str(elevation):
        facts["site"]["elevation"] = f"{rng.choice([low, high, rng.randint(low, high)])} ft"


# --- the facts of a job as written -----------------------------------------------------------------------------------


def written(spot: Spot) -> str:
    """A place as a path, such as `circuits.0.devices.0.rating`."""
    return ".".join(map(str, spot))


def leaves(facts: Facts, checker: Checker) -> Iterator[Spot]:
    """Where every fact stands that could be left out; the key of an item is its name and no fact."""
    for spot in _leaves(facts, (), checker):
        if spot[-1] != "key" and spot[0] not in ("schema_version", "job_id"):
            yield spot


def _leaves(part: Any, spot: Spot, checker: Checker) -> Iterator[Spot]:
    if pattern(written(spot)) in checker.vocabulary.leaves:
        yield spot
    elif isinstance(part, dict | list):
        for name, child in part.items() if isinstance(part, dict) else enumerate(part):
            yield from _leaves(child, (*spot, name), checker)


def groups(facts: Facts, checker: Checker) -> Iterator[Spot]:
    """Where every group of facts and every list stands. An item of a list is none: a recorded list is complete."""
    for spot in _groups(facts, (), checker):
        if spot and not isinstance(spot[-1], int):
            yield spot


def _groups(part: Any, spot: Spot, checker: Checker) -> Iterator[Spot]:
    if pattern(written(spot)) not in checker.vocabulary.leaves and isinstance(part, dict | list):
        yield spot
        for name, child in part.items() if isinstance(part, dict) else enumerate(part):
            yield from _groups(child, (*spot, name), checker)


def at(facts: Facts, spot: Spot) -> Any:
    found: Any = facts
    for step in spot:
        found = found[step]
    return found


def put(facts: Facts, spot: Spot, value: Any) -> None:
    at(facts, spot[:-1])[spot[-1]] = value


def without(facts: Facts, spot: Spot) -> Facts:
    """The same facts but what stands at one place; all else is shared with them."""
    copied = dict(facts)
    inside: Any = copied
    for step in spot[:-1]:
        inside[step] = copy.copy(inside[step])
        inside = inside[step]
    del inside[spot[-1]]
    return copied


# --- one fact changed ------------------------------------------------------------------------------------------------


def changed(rng: random.Random, leaf: Leaf, value: Any) -> Any:
    """Another value that a fact could have been written with."""
    if rng.random() < 0.08:
        return {"not_known": "not looked at"}
    if leaf.may_be_none and rng.random() < 0.15:
        return {"none": "there is none"}
    if isinstance(value, dict) and "value" not in value:
        return value
    return _CHANGED.get(leaf.form, lambda rng, leaf, value: value)(rng, leaf, value)


def _quantity(rng: random.Random, _: Leaf, value: Any) -> Any:
    factor = rng.choice([0.5, 0.8, 0.95, 0.99, 1.01, 1.05, 1.25, 2.0])
    if isinstance(value, dict):
        return {**value, "value": _times(value["value"], factor)}
    if isinstance(value, str):
        return (
            NUMBER.sub(lambda found: str(_times(float(found[0]), factor)), value, count=1)
            if "/" not in value
            else value
        )
    return _times(value, factor)


def _times(number: float, factor: float) -> float:
    return float(f"{number * factor:.4g}")


def _day(rng: random.Random, _: Leaf, value: Any) -> Any:
    """A day near the one recorded, or some years before; sometimes only known to lie between two."""
    if not isinstance(value, str):
        return value
    back = rng.choice([0, 0, 1, 3, 6]) * 365
    day = datetime.date.fromisoformat(value) + datetime.timedelta(days=rng.randint(-40, 40) - back)
    if rng.random() < 0.2:
        return {"between": [day.isoformat(), (day + datetime.timedelta(days=rng.choice([0, 5, 400]))).isoformat()]}
    return day.isoformat()


_CHANGED: dict[str, Any] = {
    "flag": lambda rng, leaf, value: not value,
    "choice": lambda rng, leaf, value: rng.choice(leaf.possible),
    "count": lambda rng, leaf, value: max(0, value + rng.choice([-1, 1, 2])),
    "quantity": _quantity,
    "date": _day,
}


def file_of(facts: Facts, folder: Path, name: str) -> Path:
    """A job kept on disk for somebody to look at."""
    path = folder / f"{name}.json"
    path.write_text(json.dumps(facts, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    return path
