"""The ids of rules: what was released keeps its id for ever, so that findings of different years can be laid side by side.

A rule that takes another's place names it under `formerly`; one that is gone with nothing in its place is named under
`retired` in the header. No id is used again. Compared is what stands here with the newest release of each ruleset.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import NamedTuple

from checker.problems.document import Path_
from checker.problems.problem import Problem, ProblemsFound, did_you_mean
from checker.rulesets.library import Library
from checker.rulesets.record import Baseline, newest
from checker.rulesets.ruleset import Part, Ruleset

NEVER_AGAIN = "Don't use an id again: older reports mean another rule by it. Give the rule a new one."


class Laid(NamedTuple):
    """A former id, and where it is laid aside: by a rule under `formerly`, or by a header (`rule` is "") under `retired`."""

    id: str
    rule: str
    part: Part
    at: Path_


def identity_problems(library: Library, about: Collection[str] = ()) -> Iterator[Problem]:
    """Ids that are used again, claimed by two rules, or gone since the newest release without a word.

    Args:
        about: The rulesets whose releases are looked at; all where none is named.
    """
    rules = {rule: ruleset for ruleset in library.rulesets.values() for rule in ruleset.rules}
    laid: dict[str, Laid] = {}
    for former in (former for ruleset in library.rulesets.values() for former in _laid_aside(ruleset)):
        if former.id in rules:
            here = rules[former.id].parts["rules", former.id].place
            what = f"'{former.id}' is retired here, but it is the id of the rule at {here}."
            yield former.part.problem(former.at, what, NEVER_AGAIN)
        elif former.id in laid:
            first = laid[former.id]
            who = f"by '{first.rule}'" if first.rule else "under 'retired'"
            what = f"'{former.id}' is retired twice; the first time {who}, at {first.part.place}."
            yield former.part.problem(former.at, what, "One rule takes another's place: keep one of the two.")
        laid.setdefault(former.id, former)
    for ruleset in (one for name, one in library.rulesets.items() if not about or name in about):
        try:
            released = newest(library, ruleset.id)
        except ProblemsFound as error:
            yield from error.problems
            continue
        if released:
            yield from _since(ruleset, released, set(rules), set(laid))


def _laid_aside(ruleset: Ruleset) -> Iterator[Laid]:
    for index, former in enumerate(ruleset.header.retired):
        yield Laid(former, "", ruleset.parts["header", ""], ("retired", index))
    for name, rule in ruleset.rules.items():
        for index, former in enumerate(rule.formerly):
            yield Laid(former, name, ruleset.parts["rules", name], ("formerly", index))


def _since(ruleset: Ruleset, released: Baseline, rules: set[str], laid: set[str]) -> Iterator[Problem]:
    before = released.data["rules"]
    header = ruleset.parts["header", ""]
    for rule in sorted(set(before) - rules - laid):
        what = f"The rule '{rule}' was released in {released.name} and is gone."
        near = did_you_mean(rule, set(ruleset.rules) - set(before))
        hint = "Name it under 'formerly' of the rule that takes its place; where none does, under 'retired' here."
        yield header.problem(("version",), what, f"{near} {hint}".strip())
    for former in _laid_aside_by(released):
        if former in ruleset.rules:
            what = f"'{former}' was retired by {released.name} already, but it is the id of a rule again."
            yield ruleset.parts["rules", former].problem(("=",), what, NEVER_AGAIN)
        elif former not in laid:
            what = f"'{former}' was retired by {released.name}, and nothing here says so any more."
            yield header.problem(("version",), what, "Name it again where it was: under 'formerly', or 'retired' here.")


def _laid_aside_by(released: Baseline) -> Iterator[str]:
    """The ids that a released state had laid aside."""
    yield from released.data["header"].get("retired", ())
    for rule in released.data["rules"].values():
        yield from rule.get("formerly", ())
