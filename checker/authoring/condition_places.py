"""The conditions of a rule: where each stands in the bound rule and in the text, and what they ask taken together."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from checker.ir import tree
from checker.ir.visitor import walk_through
from checker.rulesets.models import Rule

Path = tuple[str | int, ...]
Asks = tuple[tree.All, tuple[tree.Ask, ...], tree.All, tuple[tuple[str, tree.Value], ...], tuple[str, ...]]


class Site(NamedTuple):
    """A condition of a rule: where it stands in the bound rule and in the text, what it hangs in and beside how many."""

    node: tree.Condition
    path: Path
    seat: Path
    at: Path
    hangs: str
    beside: int
    name: str = ""


def sites(rule: tree.BoundRule, data: Rule) -> Iterator[Site]:
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
                Site(conditions[index], (*seat, *inner), seat, (field, index), field, len(written)), line
            )


def _inside(site: Site, written: Any) -> Iterator[Site]:
    if isinstance(written, str):
        yield site
        return
    key = next(key for key in ("when", "given", "none", "met", "any_of", "all_of", "none_of") if key in written)
    site = site._replace(at=(*site.at, key), name=written.get("option", site.name))
    if key == "when":
        yield from _inside(site, written[key])
        return
    if key == "met":
        yield site._replace(name=site.name or f"met: {written[key]}")
        return
    yield site
    if key in ("given", "none"):
        return
    branches = key == "any_of"
    for index, line in enumerate(written[key]):
        seat = (*site.path, "branches" if branches else "conditions", index)
        path = (*seat, "condition") if branches else seat
        inner = Site(node_at(site.node, path[len(site.path) :]), path, seat, (*site.at, index), key, len(written[key]))
        yield from _inside(inner, line)


def node_at(node: Any, path: Path) -> Any:
    """What stands at a path in a bound rule."""
    for step in path:
        node = getattr(node, step) if isinstance(step, str) and not isinstance(node, dict) else node[step]
    return node


def named(rule: tree.BoundRule, fields: tuple[str, ...] = ("applies", "verify", "require")) -> list[str]:
    """The names under `where` on which some condition of these fields hangs."""
    parts = walk_through(_conditions(rule, fields), rule.where)
    reached = {one.name for one in parts if isinstance(one, tree.Named)}
    return [name for name in rule.where if name in reached]


def _conditions(rule: tree.BoundRule, fields: tuple[str, ...]) -> list[Any]:
    asked = [ask.condition for ask in rule.verify] if "verify" in fields else []
    return [*(getattr(rule, field) for field in fields if field != "verify"), *asked]


def what_it_asks(rule: tree.BoundRule) -> Asks:
    """What a rule asks, whatever it says and cites."""
    return rule.applies, rule.verify, rule.require, tuple(sorted(rule.where.items())), rule.doubtful
