"""Which facts a node names: through names under `where`, and through the items of recorded lists."""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping
from typing import Any

from checker.ir import tree
from checker.ir.kleene import Scope
from checker.ir.visitor import outermost


def facts_read(node: Any, scope: Scope) -> frozenset[str]:
    """The full paths of the facts a node names, through names under `where` and the items of recorded lists."""
    return frozenset(reads(node, scope))


def reads(node: Any, scope: Scope) -> Iterator[str]:
    """The same, a path as often as it is read."""
    for part in parts_that_read(node):
        if isinstance(part, tree.Fact):
            yield scope.path(part)
        elif isinstance(part, tree.Named):
            yield from reads(scope.where[part.name], scope)
        else:
            yield from _fold_reads(part, scope)


def patterns_read(node: Any, where: Mapping[str, tree.Value], for_each: tuple[str, ...]) -> Iterator[str]:
    """The paths, without list positions, of the facts a node names, whatever the job."""
    around = {"job": "", "item": ".".join(for_each), "outer": for_each[0] if for_each else ""}
    for part in parts_that_read(node):
        if isinstance(part, tree.Fact):
            yield ".".join(filter(None, (around[part.frame], part.path)))
        elif isinstance(part, tree.Named):
            yield from patterns_read(where[part.name], where, for_each)
        else:
            base = ".".join(filter(None, (around[part.items.frame], part.items.path)))
            yield from (
                f"{base}.{field}" for field in (part.field, part.clock, *(n.field for n in part.where)) if field
            )
            for value in (*(narrowed.value for narrowed in part.where), *([part.until] if part.until else [])):
                yield from patterns_read(value, where, for_each)


@functools.lru_cache(maxsize=20_000)
def parts_that_read(part: Any) -> tuple[tree.Fact | tree.Named | tree.Fold, ...]:
    """The facts, names and folds in a part, in order: what it reads of any job, before anything is known of one."""
    return tuple(outermost(part, (tree.Fact, tree.Named, tree.Fold)))


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
