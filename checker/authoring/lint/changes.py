"""Amendments, withdrawals and restorations that are out of date, out of order or of no effect, or that nobody comes under."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from typing import NamedTuple

from checker.authoring.lint.periods import backwards, in_force
from checker.ir import tree
from checker.problems.problem import Problem
from checker.rulesets.chain import Chain
from checker.rulesets.layering import NO_EDITION, NO_MORE, Effective, effective
from checker.rulesets.limits import in_period
from checker.rulesets.models import Amendment, Change
from checker.rulesets.periods import first_days
from checker.rulesets.ruleset import Part, Ruleset
from checker.rulesets.standing import stands_over_all
from checker.rulesets.stricter import On, asks_no_more


class Layered(NamedTuple):
    """A change of a rule or limit: who makes it, where it stands, and the chain without and with that ruleset."""

    ruleset: Ruleset
    operation: str
    section: str
    name: str
    change: Change
    part: Part
    below: Chain
    here: Chain

    @property
    def home(self) -> Ruleset:
        return self.below.homes[self.section, self.name]

    def settings(self) -> Iterator[tuple[str, int]]:
        """Every edition of the rule's ruleset, and the first day of each period in which a layer says something else."""
        yield from product(self.home.header.editions or [NO_EDITION], first_days(self.here, {self.name}))

    def holds(self, edition: str, day: int) -> bool:
        named = edition in self.change.meaning or NO_EDITION in self.change.meaning
        return named and in_period(self.change.starts, self.change.until, day)

    def without_and_with(self, edition: str, day: int) -> tuple[Effective, Effective]:
        in_force = {self.home.id: None if edition == NO_EDITION else edition}
        below, here = (effective(layers, self.section, self.name, in_force, day) for layers in (self.below, self.here))
        return below, here


def layered(chain: Chain) -> Iterator[Layered]:
    """Every change that a chain makes to what stands below it."""
    for ruleset in chain.rulesets:
        below, here = chain.below(ruleset), chain.up_to(ruleset)
        for operation in ("amend", "withdraw", "restore"):
            for name, change in getattr(ruleset, operation).items():
                section = "rules" if ("rules", name) in below.homes else "limits"
                if (section, name) in below.homes:
                    part = ruleset.parts[operation, name]
                    yield Layered(ruleset, operation, section, name, change, part, below, here)


def change_problems(chain: Chain) -> Iterator[Problem]:
    """What is wrong with the changes of one chain."""
    for change in layered(chain):
        yield from backwards(change.part, ("until",), change.change.starts, change.change.until)
        yield from _editions_not_there(change)
        yield from _stale(change)
        yield from _undecided(change)
        yield from _of_no_effect(change)


def _editions_not_there(change: Layered) -> Iterator[Problem]:
    for named in change.change.meaning:
        if named not in (*change.home.header.editions, NO_EDITION):
            what, hint = (
                f"{change.home.id} has no edition {named}.",
                f"Editions: {', '.join(change.home.header.editions)}.",
            )
            yield change.part.problem(("meaning", named, "="), what, hint)


def _stale(change: Layered) -> Iterator[Problem]:
    stale: dict[str, list[str]] = {}
    for edition, day in change.settings():
        below, here = change.without_and_with(edition, day)
        if below.stale != here.stale and not here.undecided:
            stale.setdefault(edition if edition in change.change.meaning else NO_EDITION, []).append(edition)
    for key, editions in stale.items():
        under = f" (edition {', '.join(dict.fromkeys(editions))})" if editions != [NO_EDITION] else ""
        what = f"'{change.name}' has changed since this was written{under}."
        hint = f"Read it again, then copy the meaning that 'changeout explain {change.name}' shows."
        yield change.part.problem(("meaning", key), what, hint)


def _undecided(change: Layered) -> Iterator[Problem]:
    """A limit that a group and a place both set, where nobody can tell which is stricter."""
    found = (change.without_and_with(edition, day) for edition, day in change.settings())
    said = next((here.stale for below, here in found if here.undecided and not below.undecided), "")
    if said:
        hint = f"Say under 'places:' where yours applies; leave {change.here.place or 'that place'} out."
        yield change.part.problem(("set", "="), f"{said}.", hint)


def set_aside(chain: Chain, rule: tree.BoundRule, on: On) -> Iterator[Problem]:
    """A group's limit in whose place a ruleset below asks by another limit of its own, which asks less."""
    for held in rule.limits:
        named = held.below.name if held.below else held.name
        for group in (one for one in chain.rulesets if stands_over_all(one) and named != held.name):
            change, first = group.amend.get(named), chain.limits[named]
            if change is None or change.direction != "stricter":
                continue
            if asks_no_more(first, chain.limits[held.name], first.changed(change.set), on) is False:
                where = f" at {chain.place}" if chain.place else ""
                what = f"'{rule.id}' is held against '{held.name}'{where}, which stands in the place of '{named}' and asks less."
                hint = f"Move '{held.name}' too, or add a line there: 'add:' with 'places:'."
                yield group.parts["amend", named].problem(("set", "="), what, hint)


def _of_no_effect(change: Layered) -> Iterator[Problem]:
    """Tell of a change that leaves everything as it was, under every edition and in every period that it names."""
    pairs = [change.without_and_with(edition, day) for edition, day in change.settings() if change.holds(edition, day)]
    if not pairs:
        return
    if isinstance(change.change, Amendment):
        if all(below.data == here.data and here.steps[-1].what != NO_MORE for below, here in pairs):
            fields = ", ".join(f"'{field}'" for field in sorted(change.change.fields_changed))
            what = (
                f"This changes nothing: {fields} of '{change.name}' already {'say' if ',' in fields else 'says'} this."
            )
            at = ("set" if change.change.set else "add", "=")
            yield change.part.problem(at, what, "Take the amendment out, or write what it should change.")
    elif all(below.withdrawn == here.withdrawn for below, here in pairs):
        so_already = "withdrawn already" if change.operation == "withdraw" else "not withdrawn"
        what = f"This changes nothing: '{change.name}' is {so_already} where this applies."
        yield change.part.problem(
            ("=",), what, f"Take it out, or look at whether '{change.name}' is the one that is meant."
        )


class NeverAdopted:
    """Collects, for each change, the editions in force at the places that it applies to, and the days on which they begin."""

    def __init__(self) -> None:
        self._adopted: dict[Part, tuple[Layered, set[str], set[str]]] = {}

    def look(self, chain: Chain) -> None:
        for change in layered(chain):
            _, adopted, days = self._adopted.setdefault(change.part, (change, set(), set()))
            adopted.update(in_force(chain, change.home.id))
            days.update(one.starts for one in chain.adoptions(change.home.id) if one.edition in change.change.meaning)

    def problems(self) -> Iterator[Problem]:
        """The changes of a code for editions alone that none of these places adopts, or adopts when the change has ended."""
        for change, adopted, days in self._adopted.values():
            named, until = list(change.change.meaning), change.change.until
            if until and days and NO_EDITION not in named and min(days) >= until:
                what = f"This ends on {until}, before {change.home.id} {' or '.join(named)} begins on {min(days)}."
                yield change.part.problem(("until",), what, "Correct the day, or take the change out: it never holds.")
            if adopted and set(named) <= set(change.home.header.editions) - adopted:
                editions = " or ".join(filter(None, (", ".join(named[:-1]), named[-1])))
                what = f"No place under {change.ruleset.id} adopts {change.home.id} {editions}."
                hint = f"Adopted there: {', '.join(sorted(adopted))}. Name one of these, or take this out."
                yield change.part.problem(("meaning", "="), what, hint)
