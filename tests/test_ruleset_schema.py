"""The ruleset schema is current, is a schema, takes the files we ship and refuses what reading refuses."""

from __future__ import annotations

from typing import Any

import pytest
from jsonschema import Draft202012Validator

from checker import ruleset_schema
from checker.library import SHIPPED
from checker.source import read_file
from tests.conftest import TINY

VALIDATOR = Draft202012Validator(ruleset_schema.schema())
FILES = sorted([*SHIPPED.rglob("*.yaml"), *TINY.rglob("*.yaml")])


def test_the_file_is_current() -> None:
    assert ruleset_schema.text() == ruleset_schema.PATH.read_text(encoding="utf-8")


def test_it_is_a_schema() -> None:
    Draft202012Validator.check_schema(ruleset_schema.schema())


@pytest.mark.parametrize("path", FILES, ids=lambda path: "/".join(path.parts[-3:]))
def test_it_takes_every_shipped_file(path: Any) -> None:
    assert [] == [error.message for error in VALIDATOR.iter_errors(read_file(path).data)]


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
