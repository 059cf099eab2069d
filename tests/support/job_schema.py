"""The job schema walked on its own, without the program's reader, so that both would have to be wrong together."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

SCHEMAS = Path(__file__).parents[2] / "schemas"
SCHEMA: dict[str, Any] = json.loads((SCHEMAS / "job.schema.json").read_text(encoding="utf-8"))
LEAF = re.compile(r"#/\$defs/((quantity|flag|text|date)(_or_none)?|count)")


def walk(node: dict[str, Any], path: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every schema of the job schema by its dotted path, the leaf forms under `$defs` left out."""
    yield path, node
    for name, child in node.get("properties", {}).items():
        yield from walk(child, f"{path}.{name}" if path else name)
    if "items" in node:
        yield from walk(node["items"], f"{path}[]")


def is_leaf(node: dict[str, Any]) -> bool:
    return bool(LEAF.fullmatch(node.get("$ref", ""))) or any("enum" in part for part in node.get("anyOf", ()))


NODES = dict(walk(SCHEMA))
LEAVES = {path: node for path, node in NODES.items() if is_leaf(node)}
LISTS = {path: node for path, node in NODES.items() if node.get("type") == "array"}
QUANTITIES = {path: node for path, node in LEAVES.items() if "quantity" in node.get("$ref", "")}
