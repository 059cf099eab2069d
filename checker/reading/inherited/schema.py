"""`schemas/equipment.schema.json` and `schemas/profile.schema.json`, for editors: made from what reading takes.

`python -m checker.reading.inherited.schema` writes them again; a test holds them current.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from checker.problems import json_out
from checker.reading.fact_shapes import Leaf, under
from checker.reading.inherited.manufacturer_sheet import Manual, equipment_of, gives
from checker.reading.inherited.profile import may_hold
from checker.reading.job_schema import JOB_SCHEMA, job_vocabulary
from checker.reading.shipped import shipped
from checker.reading.sureness import SURE

HEADS = "https://changeout-checker.example/schemas/"
WORDS = {"type": ["string", "number"], "pattern": r"\S"}  # an editor's YAML makes numbers of some words
NONE = {
    "type": "object",
    "additionalProperties": False,
    "required": ["none"],
    "properties": {"none": {"type": "string", "pattern": r"\S", "description": "Why there is none."}},
}


def equipment() -> dict[str, Any]:
    """The schema of a file of makers' sheets."""
    parts = equipment_of(job_vocabulary()).parts
    sheet = {
        "type": "object",
        "additionalProperties": False,
        "required": ["maker", "part", "models", "manual", "sure", "facts"],
        "properties": {
            "maker": {"type": "string", "pattern": r"\S"},
            "part": {"enum": list(parts)},
            "models": {
                "type": "array",
                "minItems": 1,
                "items": {"type": "string", "pattern": r"\w"},
                "description": "Whole model numbers: * any run, ? one character, # one digit.",
            },
            "manual": {
                "type": "object",
                "additionalProperties": False,
                "required": list(Manual._fields),
                "properties": dict.fromkeys(Manual._fields, WORDS) | {"read_on": _day()},
            },
            "sure": {"enum": list(SURE), "description": "Values of a doubtful sheet are shown and not used."},
            "facts": {"type": "object"},
        },
        "allOf": [_facts_of(part) for part in parts],
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"{HEADS}equipment.schema.json",
        "title": "A file of manufacturers' sheets",
        "type": "object",
        "additionalProperties": False,
        "required": ["sheets"],
        "properties": {"sheets": {"type": "object", "additionalProperties": sheet}},
        "$defs": {path: _fact(leaf) for part in parts for path, leaf in gives(part, job_vocabulary()).items()},
    }


def _day() -> dict[str, Any]:
    return {"type": "string", "pattern": r"^\d{4}-\d{2}-\d{2}$"}


def _facts_of(part: str) -> dict[str, Any]:
    """What a sheet of this kind of equipment may give."""
    facts = {path: {"$ref": f"#/$defs/{path}"} for path in gives(part, job_vocabulary())}
    return {
        "if": {"properties": {"part": {"const": part}}},
        "then": {"properties": {"facts": {"additionalProperties": False, "properties": facts}}},
    }


def _fact(leaf: Leaf) -> dict[str, Any]:
    value: dict[str, Any] = {"enum": list(leaf.possible)} if leaf.possible else WORDS
    if leaf.form == "flag":
        value = {"enum": [True, False, "yes", "no", "true", "false"]}
    one_of = [] if leaf.path in equipment_of(job_vocabulary()).of_one_job else [value]
    return {
        "title": leaf.title,
        "description": leaf.description,
        "anyOf": one_of + ([NONE] if leaf.may_be_none else []),
    }


def profile() -> dict[str, Any]:
    """The schema of a profile: the parts of the job schema that it may hold."""
    job = json.loads(JOB_SCHEMA.read_text(encoding="utf-8"))
    held = {name: _held(node, name) for name, node in job["properties"].items() if _may_hold(name)}
    kept = {name: job["$defs"][name] for name in sorted(_used(held, job["$defs"]))}
    return {
        "$schema": job["$schema"],
        "$id": f"{HEADS}profile.schema.json",
        "title": "A profile: what is the same in many jobs",
        "type": "object",
        "additionalProperties": False,
        "required": ["schema_version"],
        "properties": held,
        "$defs": kept,
    }


def _may_hold(path: str) -> bool:
    whole = ("$schema", "schema_version", *may_hold(job_vocabulary()))
    return any(under(path, place) or under(place, path) for place in whole)


def _held(node: dict[str, Any], path: str) -> dict[str, Any]:
    """A part of the job schema without what is of one job."""
    if path in may_hold(job_vocabulary()) or "properties" not in node:
        return node
    inside = {name: child for name, child in node["properties"].items() if _may_hold(f"{path}.{name}")}
    return {**node, "properties": inside, "required": [name for name in node.get("required", ()) if name in inside]}


def _used(node: Any, definitions: dict[str, Any]) -> set[str]:
    """The definitions that a part of a schema uses, and those that these use."""
    found: set[str] = set()
    waiting = set(_references(node))
    while waiting - found:
        name = sorted(waiting - found)[0]
        found.add(name)
        waiting |= set(_references(definitions[name]))
    return found


def _references(node: Any) -> Iterator[str]:
    if isinstance(node, dict):
        yield from ([str(node["$ref"]).rsplit("/", 1)[-1]] if "$ref" in node else [])
    for part in node.values() if isinstance(node, dict) else node if isinstance(node, list) else ():
        yield from _references(part)


def texts() -> dict[Path, str]:
    """Both schemas as their files hold them."""
    made = {"equipment": equipment(), "profile": profile()}
    return {shipped("schemas") / f"{name}.schema.json": json_out.document(schema) for name, schema in made.items()}


if __name__ == "__main__":
    for path, text in texts().items():
        path.write_text(text, encoding="utf-8")
