"""What a slip of the pen could make of a rule: each comparison, limit, word and line of it turned, one at a time.

A flip is made on the bound rule, so it means what the engine would judge by. It is known by where it stands and what it
does: the same flip can be found again in the rule as it stands under another edition or on another day.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

from checker.authoring.condition_places import Site, named, sites
from checker.authoring.mutation.limit_steps import of_value, shown
from checker.authoring.mutation.sites import Flip, Surroundings, put, to, words
from checker.ir import tree
from checker.ir.node import replace
from checker.rulesets.models import Rule

ROUND = {"<=": ">=", "<": ">", ">=": "<=", ">": "<", "==": "!=", "!=": "=="}
STRICT = {"<=": "<", "<": "<=", ">=": ">", ">": ">="}
OPERATOR = re.compile(r"<=|>=|==|!=|<|>")
EDITION = re.compile(r"edition\(\s*([a-z0-9-]+)\s*\)\s*(<=|>=|==|!=|<|>)\s*(\S+)")

# What an example has to be that would notice a line being left out, by what the line hangs in.
LEFT_OUT = {
    "require": "Add one that fails because of it alone.",
    "applies_when": "Add one where the rule does not apply because of it alone.",
    "verify_when": "Add one that is left to the authority because of it alone.",
    "any_of": "Add one that meets it and none beside it.",
    "all_of": "Add one that meets all the others and not this.",
    "none_of": "Add one that meets it and none beside it.",
}


def flips(rule: tree.BoundRule, data: Rule, around: Surroundings) -> Iterator[Flip]:
    """Every flip of a rule as it stands under one edition and on one day.

    Args:
        data: The rule as written, for the places in its text.
    """
    for site in sites(rule, data):
        yield from _left_out(rule, site)
        yield from _TURNS[type(site.node)](rule, site, around)
    for name in (name for name in named(rule) if name in data.where):  # what another rule asks, its own cases try
        yield from of_value(rule, rule.where[name], ("where", name), data.where[name], ("where", name), around, "")
    yield from _firmer(rule)


def _firmer(rule: tree.BoundRule) -> Iterator[Flip]:
    """What a rule leaves open said firmly: doubt that is dropped, and a reading that is never taken again."""
    if rule.doubtful:
        what = "No example would notice that this is no longer in doubt."
        hint = "Add one that records everything and is verify_locally."
        yield Flip("dropped", ("doubtful",), "", "doubtful", ("citation",), 1, what, hint, replace(rule, doubtful=()))
    if rule.judged == "guarded":
        what = "No example checks that a reading too near its limit is measured again."
        hint = "Add one nearer the limit than its instrument can tell."
        yield Flip("dropped", ("judged",), "", "guarded", ("judged",), 1, what, hint, replace(rule, judged="reading"))


# --- lines left out -----------------------------------------------------------------------------------------------


def _left_out(rule: tree.BoundRule, site: Site) -> Iterator[Flip]:
    if site.beside == 1 and site.hangs in LEFT_OUT and site.hangs.endswith("_of"):
        return  # the group's own flips say as much
    index = site.seat[-1]
    assert isinstance(index, int)
    flipped = put(rule, site.seat[:-1], lambda parts: (*parts[:index], *parts[index + 1 :]))
    part = "option" if site.hangs == "any_of" else "line"
    what = f"No example would notice the {part} '{words(site)}' being left out."
    yield Flip("left out", site.path, "", words(site), site.at, 1, what, LEFT_OUT[site.hangs], flipped)


# --- conditions turned -----------------------------------------------------------------------------------------------


def _becoming(rule: tree.BoundRule, site: Site, kind: str, node: Any, now: str, hint: str, detail: str = "") -> Flip:
    text = words(site._replace(name=""))
    what = f"No example would notice '{text}' becoming '{now}'."
    return Flip(kind, site.path, detail, text, site.at, 1, what, hint, put(rule, site.path, to(node)))


BOTH = "Add one that depends on this line alone."


def _compare(rule: tree.BoundRule, site: Site, around: Surroundings) -> Iterator[Flip]:
    node: Any = site.node
    if any(isinstance(part, tree.Constant) and part.value is None for part in node.operands):
        return  # a limit left to the place: nobody knows which way round it would be
    for index, operator in enumerate(node.operators):
        for kind, other in (("turned round", ROUND), ("strictness", STRICT)):
            if operator not in other or (kind == "strictness" and node.kind in ("word", "flag")):
                continue
            flipped = put(node, ("operators", index), to(other[operator]))
            hint = BOTH if kind == "turned round" else f"Add one exactly at the limit{_limit_of(node, index)}."
            now = _operator(node.text, index, other[operator])
            end = f"{('lower', 'upper')[index]} end" if len(node.operators) > 1 else ""
            yield _becoming(rule, site, kind, flipped, now, hint, other[operator])._replace(end=end)
    for index, operand in enumerate(node.operands):
        operator = node.operators[index - 1] if index else tree.MIRRORED[node.operators[0]]
        path = (*site.path, "operands", index)
        yield from of_value(rule, operand, path, node.text, site.at, around, operator)


def _limit_of(node: tree.Compare, index: int) -> str:
    beside = node.operands[index : index + 2]
    constants = [part for part in beside if isinstance(part, tree.Constant) and part.value is not None]
    return f", {shown(constants[0].value, constants[0].kind, constants[0].unit)}" if len(constants) == 1 else ""


def _operator(text: str, index: int, other: str) -> str:
    match = list(OPERATOR.finditer(text))[index]
    return " ".join((text[: match.start()] + other + text[match.end() :]).split())


def _member(rule: tree.BoundRule, site: Site, _: Surroundings) -> Iterator[Flip]:
    node: Any = site.node
    old, new = (" not in ", " in ") if node.negated else (" in ", " not in ")
    flipped = replace(node, negated=not node.negated)
    yield _becoming(rule, site, "turned round", flipped, node.text.replace(old, new, 1), BOTH)
    for word in node.words if len(node.words) > 1 else ():
        left = replace(node, words=tuple(other for other in node.words if other != word))
        what = f"No example would notice '{word}' being left out of '{' '.join(node.text.split())}'."
        rule_left = put(rule, site.path, to(left))
        caret = node.text.rfind(word) + 1
        yield Flip("word", site.path, word, words(site._replace(name="")), site.at, max(caret, 1), what,
                   f"Add one with {word}.", rule_left)  # fmt: skip


def _truth(rule: tree.BoundRule, site: Site, _: Surroundings) -> Iterator[Flip]:
    node: Any = site.node
    yield _becoming(rule, site, "turned round", tree.Not(node, node.text), f"not {node.text}", BOTH)


def _given(rule: tree.BoundRule, site: Site, _: Surroundings) -> Iterator[Flip]:
    node: Any = site.node
    now = node.text.replace("none:", "given:", 1) if node.none else node.text.replace("given:", "none:", 1)
    yield _becoming(rule, site, "turned round", replace(node, none=not node.none), now, BOTH)


def _not(rule: tree.BoundRule, site: Site, _: Surroundings) -> Iterator[Flip]:
    node: Any = site.node
    yield _becoming(rule, site, "turned round", node.condition, node.text.strip().removeprefix("not "), BOTH)


def _any_of(rule: tree.BoundRule, site: Site, _: Surroundings) -> Iterator[Flip]:
    node: Any = site.node
    if len(node.branches) == 1:
        return
    flipped = put(rule, site.path, to(tree.All(tuple(branch.condition for branch in node.branches))))
    what = "No example would notice all of these being required, and not any one of them."
    hint = "Add one that meets one of them and not the others."
    yield Flip("all of them", site.path, "", "any_of", site.at, 1, what, hint, flipped)


def _nothing(rule: tree.BoundRule, site: Site, around: Surroundings) -> Iterator[Flip]:
    """A group of which the lines inside say it all. What another rule asks, its own cases try."""
    if site.at[-1] == "met":
        flipped = put(rule, site.path, to(tree.NoneOf((site.node,))))
        what = f"No example would notice '{words(site)}' becoming 'none_of: [{words(site)}]'."
        yield Flip("turned round", site.path, "", words(site), site.at, 1, what, BOTH, flipped)


def _edition(rule: tree.BoundRule, site: Site, around: Surroundings) -> Iterator[Flip]:
    """A question for the edition in force: turned round, and asked of the edition before and after."""
    match = EDITION.fullmatch(" ".join(site.node.text.split()))  # type: ignore[union-attr]
    if match is None:
        return
    code, operator, year = match.groups()
    hint = f"Add one under an edition of {code} for which it makes the difference."
    for other_operator, other in [
        (ROUND[operator], year),
        *((operator, y) for y in _beside(year, around.editions[code])),
    ]:
        held = _holds(around.in_force.get(code), other_operator, other)
        node = site.node if held is None else tree.Constantly(held, site.node.text)  # type: ignore[union-attr]
        kind = "limit" if other != year else "turned round"
        now = f"edition({code}) {other_operator} {other}"
        yield _becoming(rule, site, kind, node, now, hint, f"{other_operator} {other}")


def _beside(year: str, editions: list[str]) -> list[str]:
    """The editions next to a year, before and after it."""
    before, after = [e for e in editions if e < year], [e for e in editions if e > year]
    return [*before[-1:], *after[:1]]


def _holds(edition: str | None, operator: str, year: str) -> bool | None:
    if edition is None:
        return None
    order = {"<": edition < year, "<=": edition <= year, ">": edition > year, ">=": edition >= year}
    return {**order, "==": edition == year, "!=": edition != year}[operator]


_TURNS: dict[type, Callable[[tree.BoundRule, Site, Surroundings], Iterator[Flip]]] = {
    tree.Compare: _compare,
    tree.Member: _member,
    tree.Truth: _truth,
    tree.Given: _given,
    tree.Not: _not,
    tree.AnyOf: _any_of,
    tree.All: _nothing,
    tree.NoneOf: _nothing,
    tree.Constantly: _edition,
    tree.Unsettled: _edition,
}
