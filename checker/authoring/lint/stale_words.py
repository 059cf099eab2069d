"""What an amendment leaves behind: a title or a text that still tells of the limit whose place another took."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from checker.ir import tree
from checker.ir.visitor import walk
from checker.problems.problem import Problem
from checker.rulesets import limits
from checker.rulesets.amounts_in_words import told
from checker.rulesets.chain import Chain
from checker.rulesets.layering import Effective

TEXTS = ("failed", "on_fail", "remedy", "bring", "photograph", "ask")


def left_over(chain: Chain, layered: Effective, bound: tree.BoundRule) -> Iterator[Problem]:
    """Tell of texts of a rule that still name a limit, or its value, where another one holds."""
    for held in bound.limits:
        below = held.below
        if below is None:
            continue
        if told(bound.title, below) and not told(bound.title, held):
            was, now = (limits.shown(limit.value, limit.kind, limit.unit) for limit in (below, held))
            what = f"The title of '{bound.id}' still says {was}; here the limit is {now}."
            yield _problem(chain, layered, "title", held, what, "Amend the title too.")
        if below.name != held.name:
            for field in TEXTS:
                if below.name in _named((*getattr(bound, field), *(bound.parts if field == "bring" else ()))):
                    what = f"'{field}' of '{bound.id}' still names '{below.name}'; here '{held.name}' took its place."
                    yield _problem(chain, layered, field, held, what, f"Amend '{field}' too.")


def _named(part: Any) -> Iterator[str]:
    """The limits and words that a part of a rule names."""
    yield from (one.name for one in walk(part) if isinstance(one, tree.Constant))


def _problem(chain: Chain, layered: Effective, field: str, held: tree.Held, what: str, hint: str) -> Problem:
    """At the field where a layer wrote it, or else at the amendment that brought the limit in."""
    if layered.set_by(field) != layered.home.id:
        return layered.part(field).problem((field,), what, hint)
    writer = chain.by_id[held.set_by.ruleset]
    part = writer.parts.get(("amend", held.name)) or writer.parts.get(("amend", layered.id)) or layered.part(field)
    return part.problem(("=",), what, hint)
