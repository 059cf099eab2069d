"""Nodes as plain data for JSON, and back: the very same nodes.

Every node is one object in one list, each but once, and what is inside a node stands before it. `is` tells its kind. In a
field that holds nodes, a whole number is the place of a node in the list, counted from 0; a text there is a text:

    [{"is": "fact", "path": "panel.poles", "frame": "job", "kind": "number"},
     {"is": "constant", "name": "most_poles", "value": 42.0, "kind": "number"},
     {"is": "compare", "operands": [0, 1], "operators": ["<="], "kind": "number", "grain": 0.0, "text": "..."}]

A field that has its usual value (no unit, nothing doubtful) is left out. In the keys of a table's row, null stands for an
end that is open: `[null, 30.0]` is everything below 30. JSON has no other way to say so, and no NaN either.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import orjson

from checker.ir import tree
from checker.ir.node import Node, field_names, fields_holding, types_of, usual_values


class CodecError(ValueError):
    """Data that is no node, or a node that has no place in JSON."""


def tag_of(kind: type[Node]) -> str:
    """What `is` says of a kind of nodes: `AnyOf` is `any_of`."""
    return re.sub(r"(?<=[a-z])(?=[A-Z])", "_", kind.__name__).lower()


KINDS: Mapping[str, type[Node]] = {
    tag_of(kind): kind
    for _, kind in sorted(vars(tree).items())
    if isinstance(kind, type) and issubclass(kind, Node) and kind.__module__ == tree.__name__
}


# --- writing ---------------------------------------------------------------------------------------------------------


class Encoder:
    """Puts nodes into one list; equal ones of equal types of values have one place."""

    def __init__(self) -> None:
        self.nodes: list[dict[str, Any]] = []
        self._places: dict[bytes, int] = {}
        self._known: dict[int, tuple[Node, int]] = {}  # the node is held, lest another come to have its id

    def part(self, part: Any) -> Any:
        """A node as its place; lists and names of nodes as lists and names of places; a text as it is."""
        if isinstance(part, Node):
            return self._place(part)
        if isinstance(part, tuple):
            return [self.part(one) for one in part]
        return {name: self.part(one) for name, one in part.items()} if isinstance(part, dict) else part

    def _place(self, node: Node) -> int:
        if id(node) not in self._known:
            item = self._item(node)
            place = self._places.setdefault(orjson.dumps(item), len(self.nodes))
            if place == len(self.nodes):
                self.nodes.append(item)
            self._known[id(node)] = node, place
        return self._known[id(node)][1]

    def _item(self, node: Node) -> dict[str, Any]:
        kind = type(node)
        item: dict[str, Any] = {"is": _TAGS[kind]}
        for name in field_names(kind):
            value = getattr(node, name)
            if (kind, name) in _USUAL and _same(value, _USUAL[kind, name]):
                continue
            if (kind, name) == ROW_KEYS:
                item[name] = [_ends(one) if isinstance(one, tuple) else one for one in value]
            else:
                item[name] = self.part(value) if name in fields_holding(kind) else _plain(value)
        return item


def _same(value: Any, usual: Any) -> bool:
    return type(value) is type(usual) and bool(value == usual)


def _ends(pair: tuple[float, float]) -> list[float | None]:
    low, high = pair
    return [None if low == -math.inf else _plain(low), None if high == math.inf else _plain(high)]


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    if isinstance(value, dict):
        return {name: _plain(one) for name, one in value.items()}
    if isinstance(value, float) and not math.isfinite(value):
        raise CodecError(f"{value} has no place in a program.")
    return value


# --- reading ---------------------------------------------------------------------------------------------------------


def decoded(items: Sequence[dict[str, Any]]) -> list[Node]:
    """The nodes of a list, each at its place.

    Raises:
        CodecError: The list holds what is no node, or names a place that does not stand before it.
    """
    made: list[Node] = []

    def part(data: Any) -> Any:
        if data.__class__ is int:
            if not 0 <= data < len(made):
                raise CodecError(f"Node {len(made)} names node {data}, which does not stand before it.")
            return made[data]
        if data.__class__ is list:
            return tuple([part(one) for one in data])
        return {name: part(one) for name, one in data.items()} if data.__class__ is dict else data

    for item in items:
        try:
            fields = item.copy()
            kind = KINDS[fields.pop("is")]
            for name in _HOLDING[kind]:
                if name in fields:
                    fields[name] = part(fields[name])
            for name, read in _READERS[kind]:
                if name in fields:
                    fields[name] = read(fields[name])
            made.append(kind(**fields))
        except (AttributeError, KeyError, TypeError) as wrong:
            raise CodecError(f"Node {len(made)} is not of its kind: {wrong}") from None
    return made


def _from_plain(data: Any) -> Any:
    if data.__class__ is list:
        return tuple([_from_plain(one) for one in data])
    return {name: _from_plain(one) for name, one in data.items()} if data.__class__ is dict else data


def _from_row(keys: Any) -> Any:
    return tuple(
        [
            one if one.__class__ is str else (-math.inf if one[0] is None else one[0], math.inf if one[1] is None else one[1])
            for one in keys
        ]
    )  # fmt: skip


# --- what is known of each kind, once --------------------------------------------------------------------------------

ROW_KEYS = (tree.Row, "keys")
_TAGS = {kind: tag for tag, kind in KINDS.items()}
_HOLDING = {kind: fields_holding(kind) for kind in KINDS.values()}
_USUAL = {(kind, name): value for kind in KINDS.values() for name, value in usual_values(kind).items()}
_READERS: dict[type[Node], list[tuple[str, Callable[[Any], Any]]]] = {
    kind: [
        (name, _from_row if (kind, name) == ROW_KEYS else _from_plain)
        for name, annotation in types_of(kind).items()
        if name not in _HOLDING[kind] and re.search(r"tuple|dict", annotation)
    ]
    for kind in KINDS.values()
}
