"""Periods and editions in which nothing can hold: dates out of order, editions that are not there, spans that take in none."""

from __future__ import annotations

from collections.abc import Iterator

from checker.problems.document import Path_
from checker.problems.problem import Problem
from checker.rulesets.chain import Chain
from checker.rulesets.limits import day_number
from checker.rulesets.ruleset import Part, Ruleset, edition_within


def backwards(part: Part, at: Path_, starts: str | None, until: str | None) -> Iterator[Problem]:
    """What is wrong with a period whose last day does not come after its first."""
    if starts and until and day_number(until) <= day_number(starts):
        what = f"This ends on {until}, before it begins on {starts}."
        yield part.problem(at, what, "'from' is the first day and 'until' the first day after.")


def edition_problems(ruleset: Ruleset, amended: set[str]) -> Iterator[Problem]:
    """Editions of limits that their ruleset does not have; spans of rules, citations and limits that take in none.

    Args:
        amended: The rules whose editions an amendment changes; they are looked at where it is bound.
    """
    shipped = ruleset.header.editions
    for name, limit in ruleset.limits.items():
        part = ruleset.parts["limits", name]
        for index, value in enumerate(limit.values):
            at = ("values", index, "editions")
            unknown = list(_unknown(part, at, value.editions, ruleset))
            yield from unknown or _empty(part, at, value.editions, ruleset.id, shipped)
    for name, rule in ruleset.rules.items():
        if name in amended or not shipped:
            continue
        part = ruleset.parts["rules", name]
        holding = [edition for edition in shipped if edition_within(rule.editions, edition)]
        yield from _empty(part, ("editions",), rule.editions, ruleset.id, shipped)
        for index, cited in enumerate(rule.citation):
            of = f"'{name}'" if len(holding) < len(shipped) else ruleset.id
            yield from _empty(part, ("citation", index, "editions"), cited.editions, of, holding) if holding else ()


def _unknown(part: Part, at: Path_, editions: str, ruleset: Ruleset) -> Iterator[Problem]:
    if editions and not ruleset.header.editions:
        what = f"{ruleset.id} has no editions."
        yield part.problem(at, what, "Leave 'editions' out; a value of a day has 'from' and 'until'.")
        return
    for end in editions.replace("-", ",").split(","):
        if end.strip() and end.strip() not in ruleset.header.editions:
            what = f"'{end.strip()}' is not an edition of {ruleset.id}."
            yield part.problem(at, what, _as_written(ruleset.header.editions))


def _empty(part: Part, at: Path_, editions: str, of: str, holding: list[str]) -> Iterator[Problem]:
    if editions and holding and not any(edition_within(editions, edition) for edition in holding):
        yield part.problem(at, f"'{editions}' takes in no edition of {of}.", _as_written(holding))


def _as_written(editions: list[str]) -> str:
    span = f"; a span is written {editions[0]}-{editions[-1]}, the older one first" if len(editions) > 1 else ""
    return f"Editions: {', '.join(editions)}{span}."


def in_force(chain: Chain, code: str) -> set[str]:
    """The editions of a code that are in force on some day at a chain's place."""
    days = {day_number(day) for adoption in chain.adoptions(code) for day in (adoption.starts, adoption.until) if day}
    return {edition for day in days if (edition := chain.edition_on(code, day))}
