"""Nodes that are equal only to nodes of their own type.

A named tuple equals every tuple with the same fields, so `all of` and `none of` the same conditions would be one thing to
each set, dictionary, cache and comparison.
"""

from __future__ import annotations

from typing import Any, TypeVar

Node = TypeVar("Node", bound=type)


def distinct(node: Node) -> Node:
    """A named tuple that equals only its own type, and has a hash of its own."""
    node.__eq__, node.__ne__, node.__hash__ = _equal, _unequal, _hash  # type: ignore[assignment, method-assign]
    return node


def _equal(self: tuple[Any, ...], other: object) -> bool:
    return self is other or (type(self) is type(other) and tuple.__eq__(self, other))


def _unequal(self: tuple[Any, ...], other: object) -> bool:
    return not _equal(self, other)


def _hash(self: tuple[Any, ...]) -> int:
    return hash((type(self), tuple.__hash__(self)))
