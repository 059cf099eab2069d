"""The ruleset schema is current, is a schema, takes the files we ship and refuses what reading refuses."""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from checker.problems.document import Document
from checker.problems.problem import ProblemsFound
from checker.reading.files import read_file
from checker.rulesets import schema
from checker.rulesets.headers import Header, Topic
from checker.rulesets.misfits import shaped
from tests.support.rulesets import TINY, ruleset_files

VALIDATOR = Draft202012Validator(schema.schema(), format_checker=Draft202012Validator.FORMAT_CHECKER)
MISTAKES = sorted(path for path in (Path(__file__).parent / "mistakes").iterdir() if path.is_dir())
FILES = sorted([*ruleset_files(), *(file for name in ("rulesets", "bells") for file in (TINY / name).rglob("*.yaml"))])


def test_the_file_is_current() -> None:
    assert schema.text() == schema.PATH.read_text(encoding="utf-8")


def test_it_is_a_schema() -> None:
    Draft202012Validator.check_schema(schema.schema())


@pytest.mark.parametrize("path", FILES, ids=lambda path: "/".join(path.parts[-3:]))
def test_it_takes_every_shipped_file(path: Any) -> None:
    assert [] == [error.message for error in VALIDATOR.iter_errors(read_file(path).data)]


def documents(folder: Path) -> list[Document]:
    """The ruleset files of a mistake that can be read as YAML at all."""
    found = []
    for path in (path for name in ("rulesets", "trade") for path in sorted((folder / name).rglob("*.yaml"))):
        with contextlib.suppress(ProblemsFound):
            found.append(read_file(path))
    return found


def misshapen(document: Document) -> bool:
    """Whether reading refuses a file for its shape."""
    try:
        shaped(document, Header if document.file.endswith("/ruleset.yaml") else Topic)
    except ProblemsFound:
        return True
    return False


OF_SHAPE = [
    pytest.param(document, id=f"{folder.name}/{Path(document.file).name}")
    for folder in MISTAKES
    for document in documents(folder)
    if misshapen(document)
]


def test_there_are_mistakes_of_shape_to_try() -> None:
    assert len(OF_SHAPE) > 10


@pytest.mark.parametrize("document", OF_SHAPE)
def test_it_refuses_every_mistake_of_shape_that_reading_refuses(document: Document) -> None:
    assert list(VALIDATOR.iter_errors(document.data))


@pytest.mark.parametrize("name", ["rule-unknown-group-of-conditions", "rule-group-without-conditions",
                                  "layer-amends-an-unknown-field", "layer-amends-with-a-wrong-shape"])  # fmt: skip
def test_it_refuses_what_is_found_only_when_rules_are_bound(name: str) -> None:
    folder = next(folder for folder in MISTAKES if folder.name == name)
    assert any(list(VALIDATOR.iter_errors(document.data)) for document in documents(folder))


def test_every_field_says_what_it_is() -> None:
    shapes = schema.schema()["$defs"]
    fields = {(name, field): text for name, one in shapes.items() for field, text in one.get("properties", {}).items()}
    assert len(fields) > 80
    assert [] == [place for place, field in fields.items() if not field.get("description")]


def test_fields_stand_in_the_order_in_which_they_are_written() -> None:
    fields = list(schema.schema()["$defs"]["Rule"]["properties"])
    assert ["title", "topic", "obligation", "weight", "life_safety", "intent", "citation"] == fields[:7]


BAD: list[dict[str, Any]] = [
    {"rules": {"a-rule": {"title": "no more"}}},
    {"rules": {"not_kebab": {}}},
    {"limits": {"a_limit": {"title": "t", "values": [{"value": "1", "sure": "surely", "source": "s"}]}}},
    {"amend": {"a-rule": {"reason": "r", "set": {}}}},
    {"id": "x", "owner_kind": "somebody"},
    {"unheard": {}},
]


@pytest.mark.parametrize("data", BAD)
def test_it_refuses_a_bad_file(data: dict[str, Any]) -> None:
    assert list(VALIDATOR.iter_errors(data))
