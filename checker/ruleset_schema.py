"""`schemas/ruleset.schema.json`, for editors: made from the shapes that reading holds a ruleset to.

`python -m checker.ruleset_schema` writes it again; a test holds it current.
"""

from __future__ import annotations

import json
from typing import Any

from pydantic.json_schema import models_json_schema

from checker.library import ROOT
from checker.rule import Header, Topic

PATH = ROOT / "schemas" / "ruleset.schema.json"


def schema() -> dict[str, Any]:
    """The schema of a ruleset's files: `ruleset.yaml`, or a topic file beside it."""
    refs, definitions = models_json_schema([(Header, "validation"), (Topic, "validation")], by_alias=True)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "https://changeout-checker.example/schemas/ruleset.schema.json",
        "title": "A file of a ruleset: ruleset.yaml, or a topic file",
        "if": {"required": ["id", "owner_kind"]},
        "then": refs[Header, "validation"],
        "else": refs[Topic, "validation"],
        "$defs": _as_editors_read(definitions["$defs"]),
    }


def _as_editors_read(node: Any) -> Any:
    """Reading takes every scalar as text; an editor's YAML makes numbers and booleans of some, which are as good."""
    if isinstance(node, list):
        return [_as_editors_read(part) for part in node]
    if not isinstance(node, dict):
        return node
    widened = {"string": ["string", "number", "boolean"], "boolean": ["boolean", "string"]}
    kind = node.get("type")
    if "patternProperties" in node:  # a name of another form is a mistake, not a name to pass over
        node = {**node, "additionalProperties": False}
    return {
        key: widened[kind] if key == "type" and isinstance(kind, str) and kind in widened else _as_editors_read(value)
        for key, value in node.items()
    }


def text() -> str:
    """The schema as the file holds it."""
    return json.dumps(schema(), indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    PATH.write_text(text(), encoding="utf-8")
