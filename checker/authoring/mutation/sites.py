"""Where the conditions and the limits of a rule stand: in the bound rule, and in the text as its author wrote it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any, NamedTuple

from checker.ir import tree
from checker.ir.node import replace
from checker.ir.visitor import walk_through
from checker.rulesets.models import Rule

Path = tuple[str | int, ...]


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


class Spot(NamedTuple):
    """A condition of a rule: where it stands in the bound rule and in the text, what it hangs in and beside how many."""

    node: tree.Condition
    path: Path
    seat: Path
    at: Path
    hangs: str
    beside: int
    name: str = ""


def spots(rule: tree.BoundRule, data: Rule) -> Iterator[Spot]:
    """Every condition of a rule, lines before what is inside them."""
    asked = tuple(ask.condition for ask in rule.verify)
    lines: list[tuple[str, tuple[tree.Condition, ...], Path, Path, list[Any]]] = [
        ("applies_when", rule.applies.conditions, ("applies", "conditions"), (), data.applies_when or []),
        ("verify_when", asked, ("verify",), ("condition",), data.verify_when or []),
        ("require", rule.require.conditions, ("require", "conditions"), (), data.require),
    ]
    for field, conditions, path, inner, written in lines:
        if len(conditions) < len(written):  # the authority's answers took some of these away
            continue
        for index, line in enumerate(written):  # what comes after these are answers
            seat = (*path, index)
            yield from _inside(
                Spot(conditions[index], (*seat, *inner), seat, (field, index), field, len(written)), line
            )


def _inside(spot: Spot, written: Any) -> Iterator[Spot]:
    if isinstance(written, str):
        yield spot
        return
    key = next(key for key in ("when", "given", "none", "any_of", "all_of", "none_of") if key in written)
    spot = spot._replace(at=(*spot.at, key), name=written.get("option", spot.name))
    if key == "when":
        yield from _inside(spot, written[key])
        return
    yield spot
    if key in ("given", "none"):
        return
    branches = key == "any_of"
    for index, line in enumerate(written[key]):
        seat = (*spot.path, "branches" if branches else "conditions", index)
        path = (*seat, "condition") if branches else seat
        inner = Spot(found(spot.node, path[len(spot.path) :]), path, seat, (*spot.at, index), key, len(written[key]))
        yield from _inside(inner, line)


def found(node: Any, path: Path) -> Any:
    for step in path:
        node = getattr(node, step) if isinstance(step, str) and not isinstance(node, dict) else node[step]
    return node


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


def named(rule: tree.BoundRule, fields: tuple[str, ...] = ("applies", "verify", "require")) -> list[str]:
    """The names under `where` on which some condition of these fields hangs."""
    parts = walk_through(_conditions(rule, fields), rule.where)
    reached = {one.name for one in parts if isinstance(one, tree.Named)}
    return [name for name in rule.where if name in reached]


def _conditions(rule: tree.BoundRule, fields: tuple[str, ...]) -> list[Any]:
    asked = [ask.condition for ask in rule.verify] if "verify" in fields else []
    return [*(getattr(rule, field) for field in fields if field != "verify"), *asked]


def words(spot: Spot) -> str:
    """A condition as its author would find it: its text, the name of its option, or what kind of group it is."""
    return spot.name or " ".join(getattr(spot.node, "text", str(spot.at[-1])).split())
