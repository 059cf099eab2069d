"""The JSON Schema of a program, out of the classes that it is made of: `schemas/program.schema.json`.

`python -m checker.ir.program_schema > schemas/program.schema.json` writes it again; a test holds it current.
"""

from __future__ import annotations

import ast
import inspect
import sys
from collections.abc import Iterator
from typing import Any

from checker.ir import program
from checker.ir.codec import KINDS, ROW_KEYS
from checker.ir.node import Node, types_of, usual_values
from checker.problems import json_out

ID = "https://changeout-checker.example/schemas/program.schema.json"
PLACE = {"$ref": "#/$defs/place"}
AMOUNT_OR_OPEN = {"type": ["number", "null"]}
PLAIN: dict[str, dict[str, Any]] = {
    "str": {"type": "string"},
    "bool": {"type": "boolean"},
    "int": {"type": "integer"},
    "float": {"type": "number"},
    "None": {"type": "null"},
    "Any": {},
    "Plain": {"type": ["string", "number", "boolean"]},
    "Sentence": {"type": "array", "items": {"anyOf": [{"type": "string"}, PLACE]}},
}
PARTS = {"FunctionUsed", "Source", "Adoption", "UnitUsed", "Domain", "Version", "HangsOn"}


def schema() -> dict[str, Any]:
    """The schema. A field that holds nodes holds their places, whole numbers, as `checker.ir.codec` tells."""
    whole = _of_class(program.Program)
    whole["properties"] = {
        "program": {"const": program.FORMAT, "description": "The format of the document."},
        **whole["properties"],
        "nodes": {
            "type": "array",
            "items": {"$ref": "#/$defs/node"},
            "description": "Every node, after those inside it.",
        },
    }
    whole["required"] = list(whole["properties"])
    kinds = {tag: _of_kind(tag, kind) for tag, kind in KINDS.items()}
    parts = {name: _of_class(getattr(program, name)) for name in sorted(PARTS)}
    place = {"type": "integer", "minimum": 0, "description": "The place of a node in `nodes`, counted from 0."}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": ID,
        "title": "A program: all that judging a job at one place needs",
        **whole,
        "$defs": {"place": place, "node": {"oneOf": [{"$ref": f"#/$defs/{tag}"} for tag in kinds]}, **kinds, **parts},
    }


def _of_kind(tag: str, kind: type[Node]) -> dict[str, Any]:
    """The schema of one kind of nodes; a field with a usual value may be left out."""
    properties = {"is": {"const": tag}, **{name: _of_type(said) for name, said in types_of(kind).items()}}
    if kind is ROW_KEYS[0]:
        ends = {"type": "array", "prefixItems": [AMOUNT_OR_OPEN] * 2, "minItems": 2, "maxItems": 2}
        properties[ROW_KEYS[1]] = {"type": "array", "items": {"anyOf": [{"type": "string"}, ends]}}
    required = ["is", *(name for name in types_of(kind) if name not in usual_values(kind))]
    return _object(kind, properties, required)


def _of_class(kind: Any) -> dict[str, Any]:
    properties = {name: _of_type(kind.__annotations__[name]) for name in kind._fields}
    return _object(kind, properties, list(properties))


def _object(kind: Any, properties: dict[str, Any], required: list[str]) -> dict[str, Any]:
    said = inspect.cleandoc(kind.__doc__ or "")
    about = {"description": " ".join(said.split())} if said and not said.startswith(f"{kind.__name__}(") else {}
    return {"type": "object", **about, "properties": properties, "required": required, "additionalProperties": False}


def _of_type(annotation: Any) -> dict[str, Any]:
    text = annotation if isinstance(annotation, str) else annotation.__forward_arg__  # as a named tuple keeps it
    return _of_syntax(ast.parse(text, mode="eval").body)


def _of_syntax(node: ast.expr) -> dict[str, Any]:
    if isinstance(node, ast.Constant):
        return PLAIN["None"] if node.value is None else _of_type(node.value)
    if isinstance(node, ast.BinOp):
        return {"anyOf": [_of_syntax(part) for part in _alternatives(node)]}
    if isinstance(node, ast.Subscript):
        return _of_container(ast.unparse(node.value), node.slice)
    name = ast.unparse(node).removeprefix("tree.")
    if name in PARTS:
        return {"$ref": f"#/$defs/{name}"}
    return PLAIN.get(name, PLACE)


def _alternatives(node: ast.expr) -> Iterator[ast.expr]:
    if isinstance(node, ast.BinOp):
        yield from _alternatives(node.left)
        yield from _alternatives(node.right)
    else:
        yield node


def _of_container(name: str, inside: ast.expr) -> dict[str, Any]:
    parts = inside.elts if isinstance(inside, ast.Tuple) else [inside]
    if name != "tuple":
        return {"type": "object", "additionalProperties": _of_syntax(parts[-1])}
    if isinstance(parts[-1], ast.Constant) and parts[-1].value is ...:
        return {"type": "array", "items": _of_syntax(parts[0])}
    items = [_of_syntax(part) for part in parts]
    return {"type": "array", "prefixItems": items, "minItems": len(items), "maxItems": len(items)}


def text() -> str:
    """The schema as the file holds it."""
    return json_out.document(schema())


if __name__ == "__main__":
    sys.stdout.write(text())
