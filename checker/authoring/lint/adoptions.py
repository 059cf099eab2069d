"""Editions that nobody meant: an older one that follows a newer one, one that is asked for and never adopted, two rulesets for
one place."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import combinations, pairwise
from typing import Any, NamedTuple

from checker.authoring.lint.periods import in_force
from checker.problems.document import Path_
from checker.problems.problem import Problem
from checker.rulesets.chain import Chain
from checker.rulesets.headers import Adoption
from checker.rulesets.library import Library
from checker.rulesets.ruleset import Part, Ruleset
from checker.rulesets.standing import BASES

ASKED = re.compile(r"edition\(\s*([a-z0-9-]+)\s*\)\s*(<=|>=|==|!=|<|>)\s*(\S+)")
FIELDS = ("applies_when", "verify_when", "require")


class Adopted(NamedTuple):
    """An adoption, the ruleset that makes it, and where it stands there."""

    ruleset: Ruleset
    at: int
    adoption: Adoption

    def problem(self, what: str, hint: str) -> Problem:
        return self.ruleset.parts["header", ""].problem(("adopts", self.at, "edition"), what, hint)


def older_after_newer(chain: Chain) -> Iterator[Problem]:
    """An older edition of a code that takes the place of a newer one, of its own ruleset or of one that stands on it."""
    for code in sorted(chain.codes):
        editions = chain.by_id[code].header.editions
        for before, after in pairwise(_in_order(chain, code, editions)):
            ended = before.adoption.until and before.adoption.until <= after.adoption.starts
            if ended or editions.index(after.adoption.edition) >= editions.index(before.adoption.edition):
                continue
            new, old, day = before.adoption.edition, after.adoption.edition, after.adoption.starts
            if before.ruleset is after.ruleset:
                what = f"{code} {old} is adopted from {day}, after {new}, which is newer."
                yield after.problem(
                    what, "Correct the day or the edition. If it is so, end the newer one by 'until' that day."
                )
            elif chain.uses(before.ruleset.id, after.ruleset.id):
                what = (
                    f"From {day} the older {code} {old} that {after.ruleset.id} adopts takes the place of this {new}."
                )
                yield before.problem(what, f"If {new} stays in force here, adopt it once more from {day}.")


def _in_order(chain: Chain, code: str, editions: list[str]) -> list[Adopted]:
    """The adoptions of a code by day; of those from one day the uppermost."""
    found = [
        Adopted(ruleset, at, adoption)
        for ruleset in chain.rulesets
        for at, adoption in enumerate(ruleset.header.adopts)
        if adoption.code == code and adoption.edition in editions and not adoption.by_report
    ]
    by_day = {one.adoption.starts: one for one in found}
    return [by_day[day] for day in sorted(by_day)]


def covered_twice(library: Library, chain: Chain) -> Iterator[Problem]:
    """Two rulesets that cover a chain's place, neither of which uses the other."""
    place = chain.place
    for first, second in combinations(library.covering(place) if place else (), 2):
        if not (chain.uses(first.id, second.id) or chain.uses(second.id, first.id)):
            what = f"{second.id} and {first.id} both cover '{place}', and neither uses the other."
            at = ("covers", second.header.covers.index(place))
            yield second.parts["header", ""].problem(at, what, "Let one of them use the other, or correct the place.")


class NeverAsked:
    """Collects, for each condition on an edition in a rule of a place, the editions that are in force where it is asked.

    A condition that no edition of the code meets at all is `Impossible`'s to tell.
    """

    def __init__(self) -> None:
        self._found: dict[tuple[Part, Path_], tuple[str, set[str]]] = {}

    def look(self, chain: Chain) -> None:
        """Look at the rules and amendments of a chain's places and groups."""
        for ruleset in chain.rulesets:
            if ruleset.header.owner_kind not in BASES:
                for part, at, text in _lines(ruleset):
                    match = ASKED.fullmatch(" ".join(text.split()))
                    if match and any(_meets(one, match[2], match[3]) for one in _editions(chain, match[1])):
                        self._found.setdefault((part, at), (text, set()))[1].update(in_force(chain, match[1]))

    def problems(self) -> Iterator[Problem]:
        """The conditions that no edition in force at any of the places meets."""
        for (part, at), (text, editions) in self._found.items():
            code, operator, asked = ASKED.fullmatch(" ".join(text.split())).groups()  # type: ignore[union-attr]
            if editions and not any(_meets(edition, operator, asked) for edition in editions):
                what = f"No place here adopts an edition of {code} for which this is true."
                yield part.problem(at, what, f"Adopted: {', '.join(sorted(editions))}. Correct it, or take it out.")


def _editions(chain: Chain, code: str) -> list[str]:
    return chain.by_id[code].header.editions if code in chain.codes else []


def _meets(edition: str, operator: str, asked: str) -> bool:
    order = {"<": edition < asked, "<=": edition <= asked, ">": edition > asked, ">=": edition >= asked}
    return {**order, "==": edition == asked, "!=": edition != asked}[operator]


def _lines(ruleset: Ruleset) -> Iterator[tuple[Part, Path_, str]]:
    """Every single condition of a ruleset's rules and amendments, with its place in the text."""
    for name, rule in ruleset.rules.items():
        for field in FIELDS:
            yield from _texts(ruleset.parts["rules", name], (field,), getattr(rule, field) or [])
    for name, change in ruleset.amend.items():
        for field in FIELDS:
            yield from _texts(ruleset.parts["amend", name], ("set", field), change.set.get(field, []))


def _texts(part: Part, at: Path_, lines: Any) -> Iterator[tuple[Part, Path_, str]]:
    if isinstance(lines, str):
        yield part, at, lines
    elif isinstance(lines, list | dict):
        for step, inside in enumerate(lines) if isinstance(lines, list) else lines.items():
            if step not in ("ask", "on_fail", "remedy", "option", "none_of"):
                yield from _texts(part, (*at, step), inside)
