"""The limits that a finding rests on: the value of each on this job, who set it, and what it was before."""

from __future__ import annotations

from typing import Any

from checker.findings.finding import LimitBefore, LimitUsed
from checker.ir import tree
from checker.ir.kleene import Nothing, Range, Scope, Unknown
from checker.ir.node import kept, replace
from checker.ir.visitor import walk_through
from checker.judging.values import evaluate
from checker.rulesets import limits


def of_rule(rule: tree.BoundRule, scope: Scope) -> tuple[LimitUsed, ...]:
    """Every limit that a rule names, in the order in which it names them."""
    return _used(rule.limits, rule, scope)


def compared(node: tree.Condition | tree.Value, rule: tree.BoundRule, scope: Scope) -> tuple[LimitUsed, ...]:
    """The limits in one condition or value, through names under `where` too."""
    if not rule.limits:
        return ()
    known = _by_part(rule)
    if node not in known:
        names = {_name(part) for part in _limits_in(node, rule)}
        known[node] = tuple(held for held in rule.limits if held.name in names)
    return _used(known[node], rule, scope)


@kept
def _by_part(_: tree.BoundRule) -> dict[tree.Condition | tree.Value, tuple[tree.Held, ...]]:
    """The limits in each part of a rule that was asked for."""
    return {}


def _used(several: tuple[tree.Held, ...], rule: tree.BoundRule, scope: Scope) -> tuple[LimitUsed, ...]:
    return tuple([_of(held, rule, scope) for held in several])


def _of(held: tree.Held, rule: tree.BoundRule, scope: Scope) -> LimitUsed:
    fixed = _fixed(rule)
    if held.name in fixed:
        return fixed[held.name]
    return _made(
        held, rule, _shown(held, held, rule, scope), _shown(held.below, held, rule, scope) if held.below else ""
    )


@kept
def _fixed(rule: tree.BoundRule) -> dict[str, LimitUsed]:
    """The limits of a rule that are the same on every job: all but the rows of tables."""
    plain = [held for held in rule.limits if not held.rows and not (held.below and held.below.rows)]
    return {held.name: _made(held, rule, _value(held), _value(held.below) if held.below else "") for held in plain}


def _made(held: tree.Held, rule: tree.BoundRule, value: str, value_below: str) -> LimitUsed:
    below = held.below
    before = LimitBefore(below.name, below.title, value_below, below.set_by) if below else None
    own = held.set_by.ruleset == rule.ruleset and below is None
    return LimitUsed(held.name, held.title, value, own, held.set_by, before)


def _shown(held: tree.Held, upper: tree.Held, rule: tree.BoundRule, scope: Scope) -> str:
    """The value of a limit, of a table the row that is looked up (under the name of `upper`); nothing where not known."""
    if not held.rows:
        return _value(held)
    tables = [table for table in _tables(rule) if table.table == upper.name]
    rows = [evaluate(table if held is upper else replace(table, rows=held.rows), scope) for table in tables]
    known = [row for row in rows if not isinstance(row, Unknown | Range)]
    said = ["none" if isinstance(row, Nothing) else limits.shown(row, held.kind, held.unit) for row in known]
    return "; ".join(dict.fromkeys(said))


def _value(held: tree.Held) -> str:
    return limits.shown(held.value, held.kind, held.unit)


@kept
def _tables(rule: tree.BoundRule) -> tuple[tree.Lookup, ...]:
    """The tables that a rule looks into."""
    parts = (rule.require, rule.applies, rule.verify, tuple(rule.where.values()))
    return tuple(part for part in _limits_in(parts, rule) if isinstance(part, tree.Lookup))


def _limits_in(part: Any, rule: tree.BoundRule) -> list[tree.Constant | tree.Lookup]:
    """The limits and tables in a part of a rule, through names under `where` too."""
    return [one for one in walk_through(part, rule.where) if isinstance(one, tree.Constant | tree.Lookup)]


def _name(node: tree.Constant | tree.Lookup) -> str:
    return node.name if isinstance(node, tree.Constant) else node.table
