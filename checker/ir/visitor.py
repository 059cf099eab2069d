"""The one way through a tree of nodes: what is directly inside a node, everything inside it, and the tree made anew.

A part of a rule is a node, a list of parts (a tuple), or names with parts (a dictionary). What is neither, a text or a
number, holds no node and is passed over. An example: the names of all limits in a rule's requirement are

    [one.name for one in walk(rule.require) if isinstance(one, tree.Constant)]
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any, TypeVar

from checker.ir import tree
from checker.ir.node import Node, fields_holding, replace

Sought = TypeVar("Sought", bound=Node)
Path = tuple[str | int, ...]


def placed(part: Any) -> Iterator[tuple[Path, Node]]:
    """The nodes directly inside a part, each with the steps that lead to it: names of fields, and places in lists."""
    steps: Any
    if isinstance(part, Node):
        steps = ((name, getattr(part, name)) for name in fields_holding(type(part)))
    elif isinstance(part, dict):
        steps = part.items()
    else:
        steps = enumerate(part) if isinstance(part, tuple | list) else ()
    for step, one in steps:
        if isinstance(one, Node):
            yield (step,), one
        elif isinstance(one, tuple | list | dict):
            yield from (((step, *inner), found) for inner, found in placed(one))


def children(part: Any) -> tuple[Node, ...]:
    """The nodes directly inside a part, in the order of its fields."""
    try:
        found: tuple[Node, ...] = part._inside
    except AttributeError:
        found = tuple([one for _, one in placed(part)])
        if isinstance(part, Node):
            object.__setattr__(part, "_inside", found)
    return found


def walk(part: Any) -> Iterator[Node]:
    """A part, where it is a node, and every node inside it: each before what it holds, in the order of the fields."""
    waiting = [part] if isinstance(part, Node) else [*children(part)][::-1]
    while waiting:
        one = waiting.pop()
        yield one
        waiting += children(one)[::-1]


def walk_through(part: Any, where: Mapping[str, tree.Value]) -> Iterator[Node]:
    """The same, and behind each name, once, the value that it stands for.

    Args:
        where: The values of the names, as a rule's `where` has them.
    """
    return _through(part, where, set())


def _through(part: Any, where: Mapping[str, tree.Value], met: set[str]) -> Iterator[Node]:
    for one in walk(part):
        yield one
        if isinstance(one, tree.Named) and one.name not in met:
            met.add(one.name)
            yield from _through(where[one.name], where, met)


def behind_names(value: tree.Value, where: Mapping[str, tree.Value]) -> tree.Value:
    """The value that a name under `where` stands for; any other value as it is."""
    while isinstance(value, tree.Named):
        value = where[value.name]
    return value


def inner_conditions(node: tree.Condition) -> tuple[tree.Condition, ...]:
    """The conditions directly inside a condition; a single one has none."""
    if isinstance(node, tree.All | tree.NoneOf):
        return node.conditions
    if isinstance(node, tree.AnyOf):
        return tuple(branch.condition for branch in node.branches)
    return (node.condition,) if isinstance(node, tree.Not) else ()


def single_conditions(node: tree.Condition) -> Iterator[tree.Condition]:
    """The single conditions inside a condition, or the condition itself where it is one."""
    if not isinstance(node, tree.All | tree.NoneOf | tree.AnyOf | tree.Not):
        yield node
    for one in inner_conditions(node):
        yield from single_conditions(one)


def outermost(part: Any, kinds: type[Sought] | tuple[type[Sought], ...]) -> Iterator[Sought]:
    """The nodes of some kinds in a part; what is inside one of them is not looked at."""
    if isinstance(part, kinds):
        yield part
        return
    for one in children(part):
        yield from outermost(one, kinds)


def rewritten(part: Any, change: Callable[[Node], Node]) -> Any:
    """A part in which each node is what `change` makes of it, the innermost first. What is not changed stays as it is.

    Args:
        change: Gives the node that takes the place of one, or the same one.
    """
    if isinstance(part, Node):
        old = ((name, getattr(part, name)) for name in fields_holding(type(part)))
        new = {name: made for name, value in old if (made := rewritten(value, change)) is not value}
        return change(replace(part, **new) if new else part)
    if isinstance(part, tuple):
        parts = tuple(rewritten(one, change) for one in part)
        return parts if any(new is not old for new, old in zip(parts, part, strict=True)) else part
    if isinstance(part, dict):
        named = {name: rewritten(one, change) for name, one in part.items()}
        return named if any(named[name] is not one for name, one in part.items()) else part
    return part
