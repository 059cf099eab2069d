"""Which facts a node names: through names under `where`, and through the items of recorded lists."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from checker import tree
from checker.values import Scope


def facts_read(node: Any, scope: Scope) -> frozenset[str]:
    """The full paths of the facts a node names, through names under `where` and the items of recorded lists."""
    return frozenset(reads(node, scope))


def reads(node: Any, scope: Scope) -> Iterator[str]:
    """The same, a path as often as it is read."""
    if isinstance(node, tree.Fact):
        yield scope.path(node)
    elif isinstance(node, tree.Named):
        yield from reads(scope.where[node.name], scope)
    elif isinstance(node, tree.Fold):
        yield from _fold_reads(node, scope)
    elif isinstance(node, tree.Call):
        for argument in node.arguments:
            yield from reads(argument, scope)
    elif isinstance(node, tree.Lookup):
        for key in node.keys:
            yield from reads(key, scope)
    elif isinstance(node, tuple) and not isinstance(node, tree.Constant):
        for part in node:
            if isinstance(part, tuple):
                yield from reads(part, scope)


def _fold_reads(node: tree.Fold, scope: Scope) -> Iterator[str]:
    base = scope.path(node.items)
    keys = scope.facts.items(base)
    if keys is None:
        yield base
        return
    for field in (node.field, node.clock, *(part.field for part in node.where)):
        yield from (f"{base}.{index}.{field}" for index in range(len(keys)) if field)
    for value in (*(part.value for part in node.where), *([node.until] if node.until else [])):
        yield from reads(value, scope)
