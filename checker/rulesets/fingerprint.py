"""What a rule asks, apart from how it is laid out: the digest that amendments hold on to and evidence is bound by.

It covers conditions, names, obligation, sections, the values of the limits it names and the versions of the functions
it calls, under one edition; not prose, cases or other editions.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from checker.ir.digests import digest
from checker.rulesets.expression_words import PROSE, names_in
from checker.rulesets.models import Limit, LimitValue, Rule
from checker.rulesets.ruleset import edition_within
from checker.trade import functions


def meaning(data: Rule | Limit, edition: str, limits: Mapping[str, Limit]) -> str:
    """The digest of what a rule or a limit means under an edition (`any`: its ruleset has none)."""
    if isinstance(data, Limit):
        return digest(_limit(data, edition))
    asked = {
        "applies_when": _plain(data.applies_when),
        "verify_when": _plain(data.verify_when),
        "require": _plain(data.require),
        "where": {name: _squeezed(text) for name, text in data.where.items()},
        "for_each": data.for_each,
        "obligation": data.obligation,
        "judged": data.judged,
        "life_safety": data.life_safety,
        "date": data.date,
        "sections": sorted([c.document, c.section] for c in data.citation if _in(c.editions, edition)),
    }
    words = names_of(data)
    asked["limits"] = {name: _limit(limits[name], edition) for name in sorted(words & limits.keys())}
    called = functions()
    asked["functions"] = {name: called[name].version for name in sorted(words & set(called))}
    for name in asked["functions"]:
        asked["limits"] |= {table: _limit(limits[table], edition) for table in called[name].tables if table in limits}
    return digest(asked)


def _limit(limit: Limit, edition: str) -> Any:
    values = [_value(value) for value in limit.values if _in(value.editions, edition)]
    return {"unit": limit.unit, "kind": limit.kind, "keys": limit.keys, "open": limit.open, "values": values}


def _value(value: LimitValue) -> dict[str, Any]:
    """A value of a limit without where it stands and how sure it is."""
    rows = None if value.rows is None else [{"value": row.value, **row.others} for row in value.rows]
    found = {"value": value.value, "rows": rows, "starts": value.starts, "until": value.until}
    return {name: one for name, one in found.items() if one is not None} | {"editions": value.editions}


def _in(editions: str, edition: str) -> bool:
    return edition == "any" or edition_within(editions, edition)


def _plain(part: Any) -> Any:
    """Conditions without their prose, and without accidents of spacing."""
    if isinstance(part, str):
        return _squeezed(part)
    if isinstance(part, dict):
        return {key: _plain(value) for key, value in part.items() if key not in PROSE}
    return [_plain(value) for value in part] if isinstance(part, list) else part


def _squeezed(text: str) -> str:
    return " ".join(text.split())


def names_of(rule: Rule) -> frozenset[str]:
    """The names that a rule's conditions and values use: facts, limits and functions are among them."""
    return names_in([rule.applies_when, rule.verify_when, rule.require, list(rule.where.values())])
