"""Cases for a limit that is moved: one exactly at the new limit, one past it, one with the reading not recorded.

Each is made from a case that the rule has already, with the reading that is compared with the limit put at the new value.
What it expects follows from the comparison, not from the rule's own word: `<=` and `>=` hold at the limit, `<` and `>` not.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator
from typing import Any, NamedTuple

from checker.authoring.editing.file_edits import OneLine
from checker.authoring.editing.layer_context import Layers, below_on, date_that_counts, edition_of, editions_on
from checker.authoring.lint.case_gaps import OTHER_SIDE
from checker.binding.bound_once import bound_rule
from checker.ir import tree
from checker.ir.visitor import single_conditions
from checker.reading import units
from checker.rulesets import limits as limit_values
from checker.rulesets.fingerprint import names_of
from checker.rulesets.layering import NO_EDITION
from checker.rulesets.limits import LimitError
from checker.rulesets.models import Case, Limit, LimitValue, Rule
from checker.rulesets.standing import stands_over_all
from checker.trade import functions


class Movable(NamedTuple):
    """A limit that a rule compares with one value, and what it is now."""

    name: str
    limit: Limit
    now: LimitValue | None


class Held(NamedTuple):
    """When a change is tried: its first day (empty: none), and the edition and day that it is tried under."""

    starts: str
    edition: str
    day: int


class Against(NamedTuple):
    """A reading compared with a limit: its path as cases write it and in a job of one item, and the operator with the
    reading first."""

    path: str
    full: str
    operator: str
    digits: int | None


def movable(layers: Layers, rule_id: str, edition: str, day: int) -> list[Movable]:
    """The limits that a rule names, with their values on a day as the layers below leave them; tables are left out."""
    limits = []
    for name in sorted(layers.below.limits_named(rule_id)):
        home = layers.home("limits", name)
        of_home = edition if home is layers.home("rules", rule_id) else edition_of(layers, home.id, day)
        limit = below_on(layers, "limits", name, of_home, day).data
        if stands_over_all(layers.ruleset):  # its value is held against that of each place
            limit = home.limits[name]
        assert isinstance(limit, Limit)
        if not limit.keys and home.header.owner_kind != "federal":
            now = limit_values.pick(limit, None if of_home == NO_EDITION else of_home, day)
            if now is None or isinstance(now.value, str):
                limits.append(Movable(name, limit, now))
    return limits


def named_by(layers: Layers, rule: Rule) -> frozenset[str]:
    """The limits that one version of a rule names or hands to a function."""
    called = functions()
    words = names_of(rule)
    return (words | {table for name in words & set(called) for table in called[name].tables}) & layers.below.limit_names


def bound(layers: Layers, rule_id: str, edition: str, day: int) -> tree.BoundRule | None:
    """A rule as the layers below leave it, under an edition and on a day."""
    editions = editions_on(layers, layers.home("rules", rule_id), edition, day)
    return bound_rule(layers.below, layers.checker.vocabulary, rule_id, editions, day)[0]


def against(layers: Layers, rule: tree.BoundRule, limit: str) -> Against | None:
    """The first reading that a rule requires to lie on one side of a limit."""
    for node in single_conditions(rule.require):
        if isinstance(node, tree.Compare) and node.kind in {*units.kinds(), "date"}:
            for index, operator in enumerate(node.operators):
                left, right = node.operands[index : index + 2]
                if isinstance(left, tree.Fact) and isinstance(right, tree.Constant) and right.name == limit:
                    return _against(layers, rule, left, operator)
                if isinstance(right, tree.Fact) and isinstance(left, tree.Constant) and left.name == limit:
                    return _against(layers, rule, right, tree.MIRRORED[operator])
    return None


def _against(layers: Layers, rule: tree.BoundRule, fact: tree.Fact, operator: str) -> Against:
    path = fact.path if fact.frame == "job" else f"{fact.frame}.{fact.path}"
    lists = {"job": (), "item": rule.for_each, "outer": rule.for_each[:1]}[fact.frame]
    full = "".join(f"{name}.0." for name in lists) + fact.path
    leaf = layers.checker.vocabulary.leaf(full)
    return Against(path, full, operator, leaf.digits if leaf else None)


def cases(
    layers: Layers, rule_id: str, moved: Movable, read: Against, base: Case, value: str, at: Held
) -> list[OneLine]:
    """The three cases, made from one that the rule has.

    Args:
        value: The new value, as the limit is written.
    """
    around = {path: given for path, given in base.given.items() if path != read.path}
    given = {**around, **dated(layers, rule_id, at.starts, at.day)}
    reading, past = _at_and_past(moved.limit, read, value)
    holds = read.operator in ("<=", ">=", "==")
    wanted: list[tuple[str, dict[str, str], dict[str, Any]]] = [
        ("at the limit of this place", {read.path: reading}, {"expect": "pass" if holds else "fail"}),
        ("just past it", {read.path: past}, {"expect": "fail" if holds else "pass"}),
        ("not recorded", {}, {"expect": "verify_locally", "needs": [read.full]}),
    ]
    stated = stated_editions(layers, rule_id, at.edition, base)
    editions = {"editions": stated} if stated else {}
    return [
        OneLine({"name": name, "rule": rule_id, "given": given | reading, **editions, **end})
        for name, reading, end in wanted
    ]


def stated_editions(layers: Layers, rule_id: str, edition: str, base: Case) -> dict[str, str]:
    """The editions that a case states: that of the rule's own ruleset, and those of others as the case it is taken from."""
    own = {} if edition == NO_EDITION else {layers.home("rules", rule_id).id: edition}
    return {**base.editions, **own}


def bases(layers: Layers, rule_id: str, path: str, edition: str) -> list[Case]:
    """The cases of a rule that another can be made from: those that pass and give a reading at a path first, of these
    those of the edition and at a limit."""
    home = layers.home("rules", rule_id)
    here = ("", layers.place)
    cases = [case for case in [*_amended(layers, rule_id), *home.rules[rule_id].cases] if case.place in here]

    def rank(case: Case) -> tuple[bool, ...]:
        other = case.editions.get(home.id, edition) != edition
        return case.expect != "pass", bool(path) and path not in case.given, other, "at " not in case.name

    return sorted(cases, key=rank)


def _amended(layers: Layers, rule_id: str) -> Iterator[Case]:
    """The cases of changes that try a rule: of the ruleset itself, then of those below it."""
    for ruleset in (layers.ruleset, *reversed(layers.below.rulesets)):
        for name, change in ruleset.amend.items():
            yield from (case for case in change.cases if (case.rule or name) == rule_id)


def dated(layers: Layers, rule_id: str, starts: str, day: int) -> dict[str, Any]:
    """The date of a job that decides which version holds, set so that the change is in force; {} where none is needed."""
    path = date_that_counts(layers, rule_id)
    dates = [starts, datetime.date.fromordinal(day).isoformat() if day > 1 else ""]
    return {path: max(dates)} if path and any(dates) else {}


def _at_and_past(limit: Limit, read: Against, value: str) -> tuple[str, str]:
    """A reading exactly at a value, and one just past it, as text: past by the smallest step that a rule can tell."""
    kind = limit_values.kind_of(limit)
    at = limit_values.read(limit, value)
    upward = OTHER_SIDE.get(read.operator, "over") == "over"
    if kind == "date":
        days = [int(at), int(at) + (1 if upward else -1)]
        return datetime.date.fromordinal(days[0]).isoformat(), datetime.date.fromordinal(days[1]).isoformat()
    unit = limit.unit or units.base_unit(kind).name
    number = units.from_base(float(at), units.find_unit(kind, unit) or units.base_unit(kind))
    step = _step(number, kind, unit, read.digits)
    return _amount(number, unit), _amount(number + step * (1 if upward else -1), unit)


def _step(number: float, kind: str, unit: str, digits: int | None) -> float:
    step = 10.0**-digits if digits is not None else 1.0 if abs(number) >= 100 else 0.1
    its = units.find_unit(kind, unit) or units.base_unit(kind)
    while abs(units.to_base(number + step, its) - units.to_base(number, its)) <= 2 * units.grain(kind, unit):
        step *= 10
    return step


def _amount(number: float, unit: str) -> str:
    text = f"{round(number, 6):.10g}"
    label = units.shown(unit)
    return f"{text} {label}".rstrip() if unit != "one" else text


def checked_value(moved: Movable, text: str) -> str:
    """A new value as the limit is written: without its unit where it is the limit's own.

    Raises:
        LimitError: It is not a value of the limit, or is what it is already.
    """
    kind = limit_values.kind_of(moved.limit)
    plain = " ".join(text.split())
    read = limit_values.read(moved.limit, plain)
    if kind in units.kinds():
        unit = units.find_unit(kind, moved.limit.unit) or units.base_unit(kind)
        plain = f"{round(units.from_base(float(read), unit), 6):.10g}"
    now = moved.now.value if moved.now else None
    if isinstance(now, str) and _same(limit_values.read(moved.limit, now), read):
        raise LimitError(f"It is {shown(moved)} already.", "Give another value.")
    return plain


def _same(one: Any, other: Any) -> bool:
    if isinstance(one, float) and isinstance(other, float):
        return math.isclose(one, other, rel_tol=1e-9)
    return bool(one == other)


def shown(moved: Movable) -> str:
    """What a limit is now, as a person reads it."""
    if moved.now is None or not isinstance(moved.now.value, str):
        return "left to the place" if moved.limit.open else "without a value"
    kind = limit_values.kind_of(moved.limit)
    if kind in ("word", "date"):
        return moved.now.value.replace("_", " ")
    return units.write_amount(float(limit_values.read(moved.limit, moved.now.value)), kind, moved.limit.unit)


def direction(layers: Layers, rule_id: str, moved: Movable, value: str, edition: str, day: int) -> str:
    """Whether a new value asks more (`stricter`), less (`looser`), or neither can be told (`different`)."""
    rule = bound(layers, rule_id, edition, day)
    read = against(layers, rule, moved.name) if rule else None
    now = moved.now.value if moved.now else None
    if read is None or not isinstance(now, str):
        return "different"
    before, after = (limit_values.read(moved.limit, text) for text in (now, value))
    if isinstance(before, str) or isinstance(after, str) or read.operator in ("==", "!="):
        return "different"
    less = after < before
    return "stricter" if less == read.operator.startswith("<") else "looser"


def also_named_by(layers: Layers, rule_id: str, limit: str) -> list[str]:
    """The other rules below that name a limit, and change with it."""
    return [other for other in layers.below.rule_ids if other != rule_id and limit in layers.below.limits_named(other)]
