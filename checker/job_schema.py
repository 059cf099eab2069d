"""What keeps a document from being a schema of jobs: its keywords, and every word and path in it that stands for nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from checker import units
from checker.document import Document
from checker.facts import Vocabulary, pattern
from checker.problems import Problem, tell


def schema_problems(document: Document, of_schemas: Mapping[str, Any]) -> list[Problem]:
    """What keeps a document from being a schema of jobs.

    Args:
        of_schemas: The schema of such schemas.
    """
    from jsonschema_rs import Draft202012Validator

    plain = {key: value for key, value in of_schemas.items() if key not in ("$schema", "$vocabulary")}
    mend = "'Add a fact' in DEVELOPERS.md tells how a job schema is written."
    problems: list[Problem] = []
    for error in Draft202012Validator(plain).iter_errors(document.data):
        what = f"A job schema is not written like this: {error.message}."
        tell(problems, document.problem(tuple(error.instance_path), what, mend))
    for at, what in () if problems else _misnamed(Vocabulary(document.data)):
        tell(problems, document.problem(at, what, mend))
    return problems


def _named(commands: Mapping[str, Any]) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """The paths that a schema's commands name, with where they do."""
    for kind in ("profile", "columns", "deciding_dates"):
        yield from (((kind, n), path) for n, path in enumerate(commands.get(kind, ())))
    for index, asked in enumerate(commands.get("start", ())):
        yield from ((("start", index, "facts", n), path) for n, path in enumerate(asked.get("facts", ())))
        for kind in ("choices", "says"):
            said = asked.get(kind, {})
            yield from ((("start", index, kind, word, path, "="), path) for word in said for path in said[word])
    for index, record in enumerate(commands.get("records", ())):
        yield from ((("records", index, "facts", n), path) for n, path in enumerate(record["facts"]))


def _misnamed(vocabulary: Vocabulary) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """Words of a job schema that stand for nothing, with where they stand in it."""
    stages = [stage.name for stage in vocabulary.stages]
    instruments = vocabulary.leaves.get(vocabulary.roles.get("instruments.kind", ""))
    for path, leaf in vocabulary.leaves.items():
        at = vocabulary.node_of(path)
        if leaf.known not in ("", *stages):
            yield (*at, "known"), f"'{leaf.known}' is no stage of the work."
        if leaf.measured and not (instruments and leaf.measured in instruments.possible):
            yield (*at, "measured"), f"'{leaf.measured}' is no kind of instrument that a job lists."
        if leaf.unit and (leaf.kind, leaf.unit) not in units.all_units():
            yield (*at, "unit"), f"'{leaf.unit}' is no unit of {leaf.kind.replace('_', ' ')}."
    for place, name in _named(vocabulary.commands):
        if pattern(name) not in vocabulary.places:
            yield ("commands", *place), f"'{name}' is not a fact, a list or a section of this schema."
    for role, path in vocabulary.given_twice():
        yield (*vocabulary.node_of(path), "role"), f"Two facts have the role '{role}'."
