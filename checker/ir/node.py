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

import functools
import operator
import re
from collections.abc import Callable
from typing import Any, NoReturn, TypeVar, dataclass_transform

Kind = TypeVar("Kind", bound=type)
One = TypeVar("One", bound="Node")
Kept = TypeVar("Kept")


class Node:
    """What every node is."""

    __slots__ = ("_hash", "_inside", "_kept")  # worked out once: a tree is gone through far more often than it is made

    def __setattr__(self, name: str, value: Any) -> NoReturn:
        raise AttributeError(f"{type(self).__name__} is frozen: '{name}' cannot be set")

    def __delattr__(self, name: str) -> NoReturn:
        raise AttributeError(f"{type(self).__name__} is frozen: '{name}' cannot be deleted")

    def __reduce__(self) -> tuple[type, tuple[Any, ...]]:
        return type(self), tuple(getattr(self, name) for name in _NAMES[type(self)])

    def __repr__(self) -> str:
        return f"{type(self).__qualname__}({', '.join([f'{name}={getattr(self, name)!r}' for name in _NAMES[type(self)]])})"


_NAMES: dict[type, tuple[str, ...]] = {}
_TYPES: dict[type, dict[str, str]] = {}
_USUAL: dict[type, dict[str, Any]] = {}
_HOLDING: dict[type, tuple[str, ...]] = {}
# An annotation of these words alone holds no node.
PLAIN = frozenset(["str", "float", "int", "bool", "None", "Plain", "tuple", "dict"])


@dataclass_transform(frozen_default=True)
def node(shape: Kind) -> Kind:
    """A class of nodes out of its annotated fields. Its instances cannot be changed; `replace` makes another one.

    What `dataclasses` would make of it, in a fifth of the time: every command waits until all kinds of nodes are made.
    """
    types: dict[str, str] = dict(shape.__annotations__)
    names = tuple(types)
    inside = {name: value for name, value in vars(shape).items() if name not in ("__dict__", "__weakref__")}
    usual = {name: inside.pop(name) for name in names if name in inside}
    made: Any = type(shape)(shape.__name__, shape.__bases__, {**inside, "__slots__": names, "__match_args__": names})
    _NAMES[made], _TYPES[made], _USUAL[made] = names, types, usual
    _HOLDING[made] = tuple(name for name in names if set(re.findall(r"\w+", types[name])) - PLAIN)
    values = operator.attrgetter(*names)
    made.__init__ = _init_of(made, names, usual)
    made.__eq__ = _equality_of(made, values)
    made.__hash__ = _hash_of(made, values)
    return made  # type: ignore[no-any-return]


def _init_of(kind: type, names: tuple[str, ...], usual: dict[str, Any]) -> Callable[..., None]:
    """What takes the fields of a node by place or by name. Its text is made of the names of our own classes."""
    given = ", ".join(f"{name}=usual_{name}" if name in usual else name for name in names)
    lines = "\n".join(f"    set_{name}(self, {name})" for name in names)
    known = {f"usual_{name}": value for name, value in usual.items()}
    known |= {f"set_{name}": getattr(kind, name).__set__ for name in names}
    exec(f"def __init__(self, {given}):\n{lines}", known)
    made: Callable[..., None] = known["__init__"]
    return made


def _equality_of(kind: type, values: Callable[[Any], Any]) -> Callable[[Any, Any], Any]:
    def equal(self: Any, other: Any) -> Any:
        if self is other:
            return True
        return values(self) == values(other) if other.__class__ is kind else NotImplemented

    return equal


def _hash_of(kind: type, values: Callable[[Any], Any]) -> Callable[[Any], int]:
    def found(self: Any) -> int:
        try:
            return self._hash  # type: ignore[no-any-return]
        except AttributeError:
            worked_out = hash((kind, values(self)))
            object.__setattr__(self, "_hash", worked_out)
            return worked_out

    return found


def kept(work: Callable[[Any], Kept]) -> Callable[[Any], Kept]:
    """Make a function of a node remember what it found, with the node itself."""
    name = f"{work.__module__}.{work.__qualname__}"

    @functools.wraps(work)
    def found(one: Any) -> Kept:
        try:
            return one._kept[name]  # type: ignore[no-any-return]
        except AttributeError:
            object.__setattr__(one, "_kept", {})
        except KeyError:
            pass
        result = one._kept[name] = work(one)
        return result

    return found


def field_names(kind: type[Node]) -> tuple[str, ...]:
    """The names of the fields of a class of nodes, in order."""
    return _NAMES[kind]


def types_of(kind: type[Node]) -> dict[str, str]:
    """The annotation of each field of a class of nodes."""
    return _TYPES[kind]


def usual_values(kind: type[Node]) -> dict[str, Any]:
    """What the fields of a class of nodes are where nothing is said."""
    return _USUAL[kind]


def fields_holding(kind: type[Node]) -> tuple[str, ...]:
    """The names of those fields of a class of nodes that may hold other nodes, in order."""
    return _HOLDING[kind]


def fields_of(one: Node) -> dict[str, Any]:
    """The fields of a node by name; nodes inside it stay nodes."""
    return {name: getattr(one, name) for name in _NAMES[type(one)]}


def replace(one: One, **changes: Any) -> One:
    """The same node with other values in some of its fields."""
    return type(one)(**{**fields_of(one), **changes})
