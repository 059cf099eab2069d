"""Under which editions and in which periods a rule can ask something else: what to look at to have seen all of it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from checker.rulesets import limits
from checker.rulesets.fingerprint import WORD
from checker.rulesets.layering import Chain
from checker.rulesets.models import Change, LimitValue
from checker.trade import functions

FIRST_DAY = 1


def settings(one: Chain, rule_id: str) -> Iterator[tuple[dict[str, str], int]]:
    """Every edition of the codes that a rule depends on, with the first day of each of its periods."""
    home = one.homes["rules", rule_id]
    rule = home.rules[rule_id]
    changed = [change.set for ruleset in one.rulesets if (change := ruleset.amend.get(rule_id))]
    text = str([rule.applies_when, rule.verify_when, rule.require, rule.where, rule.mend, changed])
    codes = [name for name, r in one.by_id.items() if r.header.editions and (r is home or f"edition({name})" in text)]
    days = first_days(one, {rule_id, *limits_in(text, one)})
    for editions, day in product(product(*(one.by_id[code].header.editions for code in codes)), days):
        yield dict(zip(codes, editions, strict=True)), day


def limits_in(text: str, one: Chain) -> set[str]:
    """The limits that a rule's text names, and those that the functions it calls read."""
    words, called = set(WORD.findall(text)), functions()
    tables = {table for name in words & set(called) for table in called[name].tables}
    return (words | tables) & one.limit_names


def first_days(one: Chain, names: set[str]) -> list[int]:
    """The first day of each period in which one of these rules or limits says something else."""
    found = {FIRST_DAY}
    for ruleset in one.rulesets:
        dated: list[LimitValue | Change] = [
            value for name in names if name in ruleset.limits for value in ruleset.limits[name].values
        ]
        for operation in (ruleset.amend, ruleset.withdraw, ruleset.restore):
            dated += [change for name, change in operation.items() if name in names]
        found |= {limits.day_number(day) for part in dated for day in (part.starts, part.until) if day}
        answers = [answer for answer in ruleset.answers.values() if answer.rule in names]
        found |= {limits.day_number(day) for one in answers for day in (one.first_day, one.until) if day}
    return sorted(found)
