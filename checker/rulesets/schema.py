"""`schemas/ruleset.schema.json` and `schemas/state.schema.json`, for editors: made from the shapes that reading holds files to.

`python -m checker.rulesets.schema` writes them again; a test holds them current.
"""

from __future__ import annotations

from typing import Any

from pydantic.json_schema import models_json_schema

from checker.problems import json_out
from checker.reading.json_schema import check_schema
from checker.reading.shipped import shipped
from checker.rulesets.border import model_of
from checker.rulesets.headers import Header, Topic
from checker.rulesets.states import Codes, State

CONDITION: dict[str, Any] = {"$ref": "#/$defs/Condition"}
CONDITIONS: dict[str, Any] = {"type": "array", "minItems": 1, "items": CONDITION}
DAY = r"^\d{4}-\d{2}-\d{2}$"
FACT = {"type": "string", "minLength": 1}
LINE = {
    "description": "One comparison, a yes-or-no fact, or a group: any_of, all_of, none_of, given, none, met.",
    "anyOf": [
        {"type": "string", "minLength": 1},
        {
            "type": "object",
            "additionalProperties": False,
            "properties": {
                "any_of": {**CONDITIONS, "description": "Met where any of these is."},
                "all_of": {**CONDITIONS, "description": "Met where all of these are."},
                "none_of": {**CONDITIONS, "description": "Met where none of these is."},
                "given": {**FACT, "description": "Met where this fact has a value."},
                "none": {**FACT, "description": "Met where it was looked for and there is none."},
                "met": {**FACT, "description": "Met where the rule of this id applies and is passed."},
                "when": {**CONDITION, "description": "One condition, with words beside it."},
                "option": {**FACT, "description": "What this way of meeting any_of is called."},
                "ask": {**FACT, "description": "Under verify_when: the question to the authority."},
                "on_fail": {**FACT, "description": "What is said where this way is not met."},
                "remedy": {"$ref": "#/$defs/Ways", "description": "What to do to meet it this way."},
            },
        },
    ],
}


def _alternatives(said: str, words: bool) -> dict[str, Any]:
    """A text, or a list of which the first that the facts allow is said.

    Args:
        said: What each one says.
        words: Whether a condition has words beside it, for where it is not known.
    """
    when = {**CONDITION, "description": "The condition under which it is said. The last may have none."}
    in_words = {"if": {**FACT, "description": "The condition in words, for where it is not known."}}
    one = {
        "type": "object",
        "additionalProperties": False,
        "required": ["say"],
        **({"dependentRequired": {"when": ["if"], "if": ["when"]}} if words else {}),
        "properties": {"when": when, **(in_words if words else {}), "say": {**FACT, "description": said}},
    }
    return {"anyOf": [FACT, {"type": "array", "minItems": 1, "items": one}]}


HEADLINES = _alternatives("What is wrong; values between braces.", words=False)
WAYS = _alternatives("What is said; values between braces.", words=True)
PART: dict[str, Any] = {
    "type": "object",
    "additionalProperties": False,
    "required": ["part"],
    "dependentRequired": {"when": ["if"], "if": ["when"]},
    "properties": {
        "part": {**FACT, "description": "Its name among the parts of the job schema."},
        "size": {**FACT, "description": "Its size in words; values between braces."},
        "at_least": {**FACT, "description": "The least size: a fact, a limit or a name under where."},
        "at_most": {**FACT, "description": "The largest size."},
        "note": {**FACT, "description": "What else it has to be."},
        "when": {**CONDITION, "description": "The condition under which it is wanted."},
        "if": {**FACT, "description": "The condition in words, for where it is not known."},
    },
}
BRING = {"anyOf": [*WAYS["anyOf"], PART, {"type": "array", "minItems": 1, "items": PART}]}

PATH = shipped("schemas") / "ruleset.schema.json"
OF_STATES = shipped("schemas") / "state.schema.json"


def schema() -> dict[str, Any]:
    """The schema of a ruleset's files: `ruleset.yaml`, or a topic file beside it."""
    header, topic = model_of(Header), model_of(Topic)
    refs, definitions = models_json_schema([(header, "validation"), (topic, "validation")], by_alias=True)
    shapes: dict[str, Any] = definitions["$defs"]
    for field in ("applies_when", "verify_when", "require"):
        for shape in ("Rule", "Addition"):
            own = shapes[shape]["properties"]
            if field in own:
                own[field] = {**CONDITIONS, "description": _said(shapes[shape], field)}
    for field, form in (("remedy", "Ways"), ("bring", "Bring"), ("failed", "Headlines")):
        shapes["Rule"]["properties"][field] = {"$ref": f"#/$defs/{form}", "description": _said(shapes["Rule"], field)}
    fields = shapes["Limit"]["properties"] | shapes["Rule"]["properties"]
    own = shapes["Amendment"]["properties"]["set"]
    own |= {"properties": {name: fields[name] for name in sorted(fields)}, "additionalProperties": False}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "https://changeout-checker.example/schemas/ruleset.schema.json",
        "title": "A file of a ruleset: ruleset.yaml, or a topic file",
        "if": {"required": ["id", "owner_kind"]},
        "then": refs[header, "validation"],
        "else": refs[topic, "validation"],
        "$defs": _as_editors_read(
            _untitled(shapes) | {"Condition": LINE, "Ways": WAYS, "Headlines": HEADLINES, "Bring": BRING}
        ),
    }


def schema_of_states() -> dict[str, Any]:
    """The schema of a state's file, or of `codes.yaml` beside it."""
    state, codes = model_of(State), model_of(Codes)
    refs, definitions = models_json_schema([(state, "validation"), (codes, "validation")], by_alias=True)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "https://changeout-checker.example/schemas/state.schema.json",
        "title": "What is published of a state's codes, or what the files of the states have in common",
        "if": {"required": ["state"]},
        "then": refs[state, "validation"],
        "else": refs[codes, "validation"],
        "$defs": _as_editors_read(_untitled(definitions["$defs"])),
    }


def _said(shape: dict[str, Any], field: str) -> str:
    return str(shape["properties"][field]["description"])


def _untitled(node: Any) -> Any:
    """Shapes without the titles that only say a field's name once more."""
    if isinstance(node, list):
        return [_untitled(part) for part in node]
    if not isinstance(node, dict):
        return node
    return {key: _untitled(value) for key, value in node.items() if key != "title" or not isinstance(value, str)}


def _as_editors_read(node: Any) -> Any:
    """Reading takes every scalar as text; an editor's YAML makes numbers and booleans of some, which are as good."""
    if isinstance(node, list):
        return [_as_editors_read(part) for part in node]
    if not isinstance(node, dict):
        return node
    widened = {"string": ["string", "number", "boolean"], "boolean": ["boolean", "string"]}
    kind = node.get("type")
    if node.get("pattern") == DAY:  # the calendar is more than the form of a day
        node = {**node, "format": "date"}
    if "patternProperties" in node:  # a name of another form is a mistake, not a name to pass over
        node = {**node, "additionalProperties": False}
    return {
        key: widened[kind] if key == "type" and isinstance(kind, str) and kind in widened else _as_editors_read(value)
        for key, value in node.items()
    }


def text(made: dict[str, Any] | None = None) -> str:
    """A schema as its file holds it, that of rulesets where none is given, after jsonschema has found it to be one.

    Raises:
        jsonschema.SchemaError: It is not a schema.
    """
    made = made or schema()
    check_schema(made)
    return json_out.document(made)


if __name__ == "__main__":
    PATH.write_text(text(), encoding="utf-8")
    OF_STATES.write_text(text(schema_of_states()), encoding="utf-8")
