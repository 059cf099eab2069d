"""The built file of the reader in JavaScript, and what of a program it cannot judge by: that is refused when a page is made."""

from __future__ import annotations

import functools
import json
from collections.abc import Iterator
from importlib import resources
from typing import Any

FOLDER = resources.files("checker.judging.javascript")


def script() -> str:
    """The reader as one script, which sets `changeout`."""
    return FOLDER.joinpath("built", "judging.js").read_text(encoding="utf-8")


@functools.cache
def knows() -> dict[str, Any]:
    """The kinds of nodes, the operators, the folds and the forms of functions that the reader knows."""
    found: dict[str, Any] = json.loads(FOLDER.joinpath("source", "knows.json").read_text(encoding="utf-8"))
    return found


def not_known(document: dict[str, Any]) -> list[str]:
    """What a program uses and the reader does not know, each by its name; a program with such a thing is not handed to it.

    Args:
        document: The program as `checker.ir.program.document` writes it.
    """
    return sorted(set(_not_known(document)))


def _not_known(document: dict[str, Any]) -> Iterator[str]:
    for node in document["nodes"]:
        if node["is"] not in knows()["kinds"]:
            yield f"the node '{node['is']}'"
        elif node["is"] == "arithmetic" and node["operator"] not in knows()["operators"]:
            yield f"the operator '{node['operator']}'"
        elif node["is"] == "fold" and node["name"] not in knows()["folds"]:
            yield f"the fold '{node['name']}'"
    for name, one in document["functions"].items():
        if one["form"] not in knows()["forms"]:
            yield f"the function '{name}'"
