"""What a node is: a frozen record that equals only records of its own type.

Two nodes are equal where their type and all their fields are. So `all of` and `none of` the same conditions are two
things to every set, dictionary, cache and comparison.

    @node
    class Fact(Node):
        path: str
        kind: str

    replace(Fact("panel.size", "length"), kind="area")  # Fact(path='panel.size', kind='area')
"""

from __future__ import annotations

import dataclasses
import operator
import re
from collections.abc import Callable
from typing import Any, TypeVar, dataclass_transform

Kind = TypeVar("Kind", bound=type)
One = TypeVar("One", bound="Node")


class Node:
    """What every node is."""

    __slots__ = ("_hash", "_inside")  # worked out once: a tree is gone through far more often than it is made


_NAMES: dict[type, tuple[str, ...]] = {}
_HOLDING: dict[type, tuple[str, ...]] = {}
# An annotation of these words alone holds no node.
PLAIN = frozenset(["str", "float", "int", "bool", "None", "Plain", "tuple", "dict"])


@dataclass_transform(frozen_default=True)
def node(shape: Kind) -> Kind:
    """A class of nodes out of its annotated fields. Its instances cannot be changed; `replace` makes another one."""
    made: Any = dataclasses.dataclass(frozen=True, slots=True)(shape)
    fields = dataclasses.fields(made)
    _NAMES[made] = names = tuple(field.name for field in fields)
    _HOLDING[made] = tuple(field.name for field in fields if set(re.findall(r"\w+", str(field.type))) - PLAIN)
    made.__hash__ = _hash_of(made, names)
    made.__repr__ = made.__repr__.__wrapped__  # without the guard against circles: no node is inside itself
    return made  # type: ignore[no-any-return]


def _hash_of(kind: type, names: tuple[str, ...]) -> Callable[[Any], int]:
    values = operator.attrgetter(*names)

    def found(self: Any) -> int:
        try:
            return self._hash  # type: ignore[no-any-return]
        except AttributeError:
            worked_out = hash((kind, values(self)))
            object.__setattr__(self, "_hash", worked_out)
            return worked_out

    return found


def field_names(kind: type[Node]) -> tuple[str, ...]:
    """The names of the fields of a class of nodes, in order."""
    return _NAMES[kind]


def fields_holding(kind: type[Node]) -> tuple[str, ...]:
    """The names of those fields of a class of nodes that may hold other nodes, in order."""
    return _HOLDING[kind]


def fields_of(one: Node) -> dict[str, Any]:
    """The fields of a node by name; nodes inside it stay nodes."""
    return {name: getattr(one, name) for name in _NAMES[type(one)]}


def replace(one: One, **changes: Any) -> One:
    """The same node with other values in some of its fields."""
    return dataclasses.replace(one, **changes)  # type: ignore[type-var]
