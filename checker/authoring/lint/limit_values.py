"""Limits that cannot be read, that have two values on one day, and tables with a gap or an overlap."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import combinations

from checker.authoring.lint.periods import backwards
from checker.judging.instruments import SHARE_FOR
from checker.problems.problem import Problem
from checker.rulesets import limits
from checker.rulesets.limits import LimitError
from checker.rulesets.models import Limit, LimitValue
from checker.rulesets.ruleset import Part, Ruleset, edition_within

SHARE_LIMIT = re.compile(SHARE_FOR.format("[a-z_]+"))


def limit_problems(ruleset: Ruleset, name: str) -> Iterator[Problem]:
    """What is wrong with a limit of a ruleset."""
    limit, part = ruleset.limits[name], ruleset.parts["limits", name]
    unread = list(limits.unreadable(limit))
    if unread:
        yield from (part.problem(at, error.what, error.hint) for at, error in unread)
        return
    if SHARE_LIMIT.fullmatch(name) and limit.kind != "number":
        what = (
            f"The limit '{name}' is an accuracy as a share of the reading, and '{limit.unit}' alone may be a slope too."
        )
        yield part.problem(("unit",) if limit.unit else ("=",), what, "Add 'kind: number'.")
    if not limit.values and not limit.open:
        yield part.problem(("=",), f"The limit '{name}' has no value.", "Add 'values:', or 'open: jurisdiction'.")
    for index, value in enumerate(limit.values):
        yield from _value_problems(limit, value, part, index)
    for (_, first), (index, second) in combinations(enumerate(limit.values), 2):
        if _both_hold(first, second, ruleset.header.editions):
            what = f"Two values of '{name}' hold on the same day: {_shown(first)} and {_shown(second)}."
            yield part.problem(("values", index), what, "Set their dates or their editions apart.")


def _value_problems(limit: Limit, value: LimitValue, part: Part, index: int) -> Iterator[Problem]:
    at = ("values", index)
    yield from backwards(part, (*at, "until"), value.starts, value.until)
    if (value.rows is None) is bool(limit.keys) or (value.value is None) is not bool(limit.keys):
        wanted, other = ("rows", "value") if limit.keys else ("value", "rows")
        yield part.problem(at, f"This needs '{wanted}:' and no '{other}:'.", "A limit with 'keys:' is a table of rows.")
        return
    if value.rows is not None:
        yield from limits.table_problems(limit, value, part, at)
        return
    for text in [value.value] if isinstance(value.value, str) else value.value or ():
        try:
            limits.read(limit, text)
        except LimitError as error:
            yield part.problem((*at, "value"), error.what, error.hint)


def _both_hold(first: LimitValue, second: LimitValue, editions: list[str]) -> bool:
    shared = not editions or any(
        edition_within(first.editions, edition) and edition_within(second.editions, edition) for edition in editions
    )
    return shared and limits.periods_meet((first.starts, first.until), (second.starts, second.until))


def _shown(value: LimitValue) -> str:
    written = f"'{value.value}'" if isinstance(value.value, str) else "the list or table"
    return f"{written} from {value.starts}" if value.starts else written
