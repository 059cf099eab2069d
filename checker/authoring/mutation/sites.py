"""A flip of a rule, and the rule with one part of it changed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from checker.authoring.condition_places import Path, Site
from checker.ir import tree
from checker.ir.node import replace


class Flip(NamedTuple):
    """One flip: its kind, where in the bound rule and in the text it stands, what it is in words, and the rule flipped.

    `text` is the condition as written; `detail` tells flips of one kind in one place apart, `end` those of a range.
    `limit` names the limit or table that is stepped, or is the number where it is a bare one.
    """

    kind: str
    path: Path
    detail: str
    text: str
    at: Path
    caret: int
    what: str
    hint: str
    rule: tree.BoundRule
    end: str = ""
    limit: str = ""

    @property
    def key(self) -> tuple[str, Path, str, str]:
        return self.kind, self.path, f"{self.detail} {self.end}", self.text


class Surroundings(NamedTuple):
    """What a bound rule does not hold itself: the editions in force, those there are of each code, and units of tables."""

    in_force: Mapping[str, str | None]
    editions: Mapping[str, list[str]]
    units: Mapping[str, str]


def put(node: Any, path: Path, change: Callable[[Any], Any]) -> Any:
    """A tree in which what stands at a path is changed."""
    if not path:
        return change(node)
    step, rest = path[0], path[1:]
    if isinstance(node, dict):
        return {**node, step: put(node[step], rest, change)}
    if isinstance(step, str):
        return replace(node, **{step: put(getattr(node, step), rest, change)})
    return (*node[:step], put(node[step], rest, change), *node[step + 1 :])


def to(node: Any) -> Callable[[Any], Any]:
    """The change that puts a node in the place of whatever stood there."""
    return lambda _: node


def words(site: Site) -> str:
    """A condition as its author would find it: its text, the name of its option, or what kind of group it is."""
    return site.name or " ".join(getattr(site.node, "text", str(site.at[-1])).split())
