"""How the facts of a job are known: which were measured, read off a label or in papers, which were only stated.

A job says it under the section that has the role `known_by`: for each word the paths of facts, or of sections and lists
whose facts are all known so. The nearest path around a fact counts. A fact that none names is recorded, and the job does
not say how. The job schema has the words, the strongest first, under `commands`.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any, NamedTuple

from checker.problems.problem import did_you_mean
from checker.reading.fact_reader import Reading
from checker.reading.fact_shapes import pattern, under
from checker.reading.vocabulary import Vocabulary

ROLE = "known_by"
Told = tuple[tuple[str | int, ...], str, str]  # where it stands in the job, what is wrong, and what to do


class Way(NamedTuple):
    """One way of knowing a fact: its name in a job, and how a report calls it.

    `readings` tells that what is read on an instrument is known so, `holds` of which sorts of sections the facts are.
    `asked` marks the way that is left for any other answer to a question.
    """

    name: str
    title: str
    readings: bool = False
    holds: tuple[str, ...] = ()
    asked: bool = False


def ways(vocabulary: Vocabulary) -> dict[str, Way]:
    """The ways of knowing by name, the strongest first; empty where the schema has none."""
    return {one["name"]: Way(**one) for one in vocabulary.commands.get(ROLE, ())}


class KnownBy:
    """How each fact of one job is known."""

    def __init__(self, data: Mapping[str, Any], vocabulary: Vocabulary, readings: Mapping[str, Reading]) -> None:
        self.readings, self.ways = readings, ways(vocabulary)
        self.named = {path: name for name, paths in _section(data, vocabulary).items() for path in paths}

    def of(self, path: str) -> Way | None:
        """The way a recorded fact is known; None where the job does not say."""
        steps = path.split(".")
        for n in range(len(steps), 0, -1):
            if name := self.named.get(".".join(steps[:n])):
                return self.ways.get(name)
        reading = self.readings.get(path)
        if reading and reading.instrument and not reading.origin:
            return next((way for way in self.ways.values() if way.readings), None)
        return None


def answered(vocabulary: Vocabulary, path: str) -> str:
    """The name of the way that an answer to the question about a fact is known: the question says where to read it."""
    leaf = vocabulary.leaf(path)
    measured = bool(leaf and leaf.measured) or _holds_readings(vocabulary, path)
    for way in ways(vocabulary).values():
        if (way.readings and measured) or any(vocabulary.holds(path, sort) for sort in way.holds):
            return way.name
    return stated(vocabulary)


def answers(vocabulary: Vocabulary, facts: Mapping[str, Any], ticked: bool = False) -> dict[str, str]:
    """The name of the way that each fact of an answer is known; empty for one that could not be found out.

    Args:
        facts: Values by path, as a job holds them; items of lists with all that is in them.
        ticked: Whether somebody ticked them off and did no more.
    """
    found: dict[str, str] = {}
    for path, value in ((one, inside) for at, told in facts.items() for one, inside in _facts_in(vocabulary, at, told)):
        unknown = isinstance(value, dict) and "not_known" in value
        found[path] = "" if unknown else stated(vocabulary) if ticked else answered(vocabulary, path)
    return found


def _facts_in(vocabulary: Vocabulary, path: str, value: Any) -> Iterator[tuple[str, Any]]:
    """The facts in a value, each with its path; a list of readings as a whole."""
    entry = vocabulary.lists.get(pattern(path))
    if vocabulary.leaf(path) or (isinstance(value, list) and entry and not entry.keyed):
        yield path, value
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from _facts_in(vocabulary, f"{path}.{index}", item)
    elif isinstance(value, dict):
        for name in (one for one in value if one != "key"):
            yield from _facts_in(vocabulary, f"{path}.{name}", value[name])


def stated(vocabulary: Vocabulary) -> str:
    """The name of the way that is left where somebody only says so; empty where the schema has no ways."""
    return next((way.name for way in ways(vocabulary).values() if way.asked), "")


def _holds_readings(vocabulary: Vocabulary, path: str) -> bool:
    """Whether a path is that of a list of readings taken on an instrument."""
    inside = f"{pattern(path)}."
    return pattern(path) in vocabulary.lists and any(
        leaf.measured for name, leaf in vocabulary.leaves.items() if name.startswith(inside)
    )


def noted(data: dict[str, Any], vocabulary: Vocabulary, names: Mapping[str, str]) -> dict[str, Any]:
    """A job with the way each fact is known; what was said of the same facts before goes.

    Args:
        names: For the path of each fact the name of the way; empty where nothing is said of it any more.
    """
    section = vocabulary.at(ROLE)
    if not section:
        return data
    kept = {name: [one for one in paths if one not in names] for name, paths in _section(data, vocabulary).items()}
    for path, name in names.items():
        if name:
            kept.setdefault(name, []).append(path)
    told = {name: kept[name] for name in ways(vocabulary) if kept.get(name)}
    others = {name: value for name, value in data.items() if name != section}
    return {**others, section: told} if told else others


def mistakes(data: Mapping[str, Any], vocabulary: Vocabulary) -> Iterator[Told]:
    """What is wrong with what a job says of how its facts are known."""
    section, known, seen = vocabulary.at(ROLE), ways(vocabulary), dict[str, str]()
    for name, paths in _section(data, vocabulary).items():
        if name not in known:
            yield (section, name, "="), f"'{name}' is not a way of knowing a fact.", f"One of: {', '.join(known)}."
        for index, path in enumerate(paths):
            at = (section, name, index)
            if pattern(path) not in vocabulary.places:
                yield at, f"'{path}' is not a fact of a job.", did_you_mean(path, vocabulary.places)
            elif path in seen:
                yield at, f"'{path}' is under both '{seen[path]}' and '{name}'.", "Keep one of the two."
            seen[path] = name


def unrecorded(data: Mapping[str, Any], vocabulary: Vocabulary, there: Collection[str]) -> list[str]:
    """What a job says is known and does not record.

    Args:
        there: The paths of the facts and lists that it records.
    """
    named = [path for paths in _section(data, vocabulary).values() for path in paths]
    return [path for path in named if not any(under(one, path) for one in there)]


def _section(data: Mapping[str, Any], vocabulary: Vocabulary) -> dict[str, list[str]]:
    """What a job says under its section; what is not written as it should be is left to the schema."""
    told = data.get(vocabulary.at(ROLE)) if vocabulary.at(ROLE) else None
    lists = {name: paths for name, paths in told.items() if isinstance(paths, list)} if isinstance(told, dict) else {}
    return {name: [path for path in paths if isinstance(path, str)] for name, paths in lists.items()}
