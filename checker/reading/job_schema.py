"""The job schema: where the shipped one is, its vocabulary, and what keeps a document from being such a schema.

Looked for are wrong uses of its keywords, and words and paths in it that stand for nothing.
"""

from __future__ import annotations

import functools
import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from checker.problems.document import Document
from checker.problems.problem import Problem, tell
from checker.reading import json_schema, units
from checker.reading.fact_shapes import pattern
from checker.reading.shipped import shipped
from checker.reading.vocabulary import Vocabulary

JOB_SCHEMA = shipped("schemas") / "job.schema.json"
OF_JOB_SCHEMAS = JOB_SCHEMA.with_name("vocabulary.schema.json")


@functools.cache
def job_vocabulary(path: Path = JOB_SCHEMA) -> Vocabulary:
    """The vocabulary of a job schema."""
    return Vocabulary(_json(path))


def _json(path: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return found


def schema_problems(document: Document) -> list[Problem]:
    """What keeps a document from being a schema of jobs: empty where nothing does."""
    of_schemas, problems = _json(OF_JOB_SCHEMAS), list[Problem]()
    hint = "'Add a fact' in DEVELOPERS.md tells how a job schema is written."
    if not json_schema.quick_check(of_schemas)(document.data):
        for mistake in json_schema.mistakes(of_schemas, document.data):
            what = f"A job schema is not written like this: '{_last(mistake.at)}' {mistake.what}."
            tell(problems, document.problem(mistake.at, what, hint))
    for at, what in () if problems else _misnamed(Vocabulary(document.data)):
        tell(problems, document.problem(at, what, hint))
    return problems


def _last(at: tuple[str | int, ...]) -> str:
    return str(at[-1]) if at else "it"


def _named(commands: Mapping[str, Any]) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """The paths that a schema's commands name, with where they do."""
    for kind in ("profile", "columns", "deciding_dates"):
        yield from (((kind, n), path) for n, path in enumerate(commands.get(kind, ())))
    for index, asked in enumerate(commands.get("start", ())):
        yield from ((("start", index, "facts", n), path) for n, path in enumerate(asked.get("facts", ())))
        for kind in ("choices", "parts", "says"):
            said = asked.get(kind, {})
            yield from ((("start", index, kind, word, path, "="), path) for word in said for path in said[word])
    for index, line in enumerate(commands.get("lines", ())):
        yield from ((("lines", index, "labels", path, "="), path) for path in line["labels"])
        said = line.get("phrases", {})
        yield from ((("lines", index, "phrases", word, path, "="), path) for word in said for path in said[word])
        yield from ((("lines", index, "plain", n), path) for n, path in enumerate(line.get("plain", ())))
        yield from [(("lines", index, "rows"), line["rows"])] if "rows" in line else []
    for index, record in enumerate(commands.get("records", ())):
        yield from ((("records", index, "facts", n), path) for n, path in enumerate(record["facts"]))


def _misnamed(vocabulary: Vocabulary) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """Words of a job schema that stand for nothing, with where they stand in it."""
    stages = [stage.name for stage in vocabulary.stages]
    yield from _misplaced(vocabulary)
    instruments = vocabulary.leaves.get(vocabulary.roles.get("instruments.kind", ""))
    for path, leaf in vocabulary.leaves.items():
        at = vocabulary.node_of(path)
        if leaf.known not in ("", *stages):
            yield (*at, "known"), f"'{leaf.known}' is not a stage of the work."
        if leaf.measured and not (instruments and leaf.measured in instruments.possible):
            yield (*at, "measured"), f"'{leaf.measured}' is not a kind of instrument that a job lists."
        if leaf.unit and (leaf.kind, leaf.unit) not in units.all_units():
            yield (*at, "unit"), f"'{leaf.unit}' is not a unit of {leaf.kind.replace('_', ' ')}."
    for place, name in _named(vocabulary.commands):
        if pattern(name) not in vocabulary.places:
            yield ("commands", *place), f"'{name}' is not a fact, a list or a section of this schema."
    for role, path in vocabulary.given_twice():
        yield (*vocabulary.node_of(path), "role"), f"Two facts have the role '{role}'."


def _misplaced(vocabulary: Vocabulary) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """Facts and lists without a station where the schema has stations, and stations that it does not have."""
    names = {station.name for station in vocabulary.stations}
    for path in (*vocabulary.lists, *vocabulary.leaves):
        station = vocabulary.station_names.get(path, "")
        if station not in names:
            what = f"'{station}' is not a station." if station else f"No station is named for '{path}'."
            yield (*vocabulary.node_of(path), "station"), what
    for index, part in enumerate(vocabulary.parts):
        if part.station not in names:
            yield ("commands", "parts", index, "station"), f"'{part.station}' is not a station."
