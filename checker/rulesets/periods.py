"""Under which editions and in which periods a rule can ask something else: what to look at to have seen all of it."""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Set as AbstractSet
from itertools import product

from checker.rulesets import limits
from checker.rulesets.chain import Chain
from checker.rulesets.expression_words import names_in
from checker.rulesets.models import Amendment, Change
from checker.rulesets.ruleset import Ruleset

FIRST_DAY = 1


def settings(one: Chain, rule_id: str) -> Iterator[tuple[dict[str, str], int]]:
    """Every edition of the codes that a rule depends on, with the first day of each of its periods."""
    home = one.homes["rules", rule_id]
    asked = one.codes_asked(rule_id) | one.homes_of_rules(rule_id)
    codes = [name for name, r in one.by_id.items() if r.header.editions and name in asked]
    mended = names_in(list(home.rules[rule_id].mend.values())) & one.limit_names
    days = first_days(one, {*one.leans_on(rule_id), *one.limits_named(rule_id), *mended})
    for editions, day in product(product(*(one.by_id[code].header.editions for code in codes)), days):
        yield dict(zip(codes, editions, strict=True)), day


def first_days(one: Chain, names: AbstractSet[str]) -> list[int]:
    """The first day of each period in which one of these rules or limits says something else."""
    periods = [period for ruleset in one.rulesets for period in _periods(ruleset, names)]
    return sorted({FIRST_DAY, *(limits.day_number(day) for period in periods for day in period if day)})


def _periods(ruleset: Ruleset, names: AbstractSet[str]) -> Iterator[tuple[str | None, str | None]]:
    """The periods that a ruleset gives to what it says of these rules and limits."""
    for name in names & ruleset.limits.keys():
        yield from ((value.starts, value.until) for value in ruleset.limits[name].values)
    for operation in (ruleset.amend, ruleset.withdraw, ruleset.restore):
        for name in names & operation.keys():
            yield operation[name].starts, operation[name].until
            yield from ((value.get("from"), value.get("until")) for value in _new_values(operation[name]))
    yield from ((one.first_day, one.until) for one in ruleset.answers.values() if one.rule in names)


def _new_values(change: Change) -> list[dict[str, str]]:
    """The dated values that an amendment of a limit sets."""
    values = change.set.get("values", []) if isinstance(change, Amendment) else []
    return [value for value in values if isinstance(value, dict)]
