"""Where a ruleset stands: the place, the layers below it, the editions in force there, and what a rule means by then."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from checker.authoring.cases import place_of
from checker.engine.checker import Checker
from checker.problems.problem import Problem, ProblemsFound, Where, did_you_mean
from checker.rulesets.applicability import days_of
from checker.rulesets.layering import NO_EDITION, Chain, Effective, effective, meaning_of
from checker.rulesets.limits import day_number
from checker.rulesets.models import Limit, Rule
from checker.rulesets.periods import FIRST_DAY
from checker.rulesets.ruleset import Ruleset, edition_within


class Standing(NamedTuple):
    """A ruleset, the chain it stands in, and that chain without it and what lies above it."""

    checker: Checker
    ruleset: Ruleset
    place: str
    chain: Chain
    below: Chain

    def home(self, section: str, name: str) -> Ruleset:
        return self.below.homes[section, name]


def standing(checker: Checker, ruleset: Ruleset) -> Standing:
    """Where a ruleset stands: at the place it covers, or that a ruleset it uses covers.

    Raises:
        ProblemsFound: Its layers cannot be put together.
    """
    place = place_of(checker, ruleset)
    chain = checker.using(ruleset.id).chain(place)
    return Standing(checker, ruleset, place, chain, chain.below(ruleset))


def rule_below(one: Standing, rule_id: str) -> Rule:
    """A rule of the layers below, as it stands in its own ruleset.

    Raises:
        ProblemsFound: There is none there.
    """
    home = one.below.homes.get(("rules", rule_id))
    if home is None or not one.chain.uses(one.ruleset.id, home.id):
        known = did_you_mean(rule_id, one.below.rule_ids) or "'changeout rules list' names the rules."
        what = f"There is no rule '{rule_id}' below {one.ruleset.id}: in none of the rulesets that it uses."
        raise ProblemsFound([Problem(Where(rule_id), what, known)])
    return home.rules[rule_id]


def editions_from(one: Standing, home: Ruleset, starts: str) -> list[tuple[str, int]]:
    """The editions of a ruleset that are in force here on or after a day, each with the first such day.

    Without a day: every edition that is or was adopted. Where nothing is adopted: every edition that there is. A ruleset
    without editions has the one called `any`.
    """
    first = day_number(starts) if starts else FIRST_DAY
    if not home.header.editions:
        return [(NO_EDITION, first)]
    adopted = one.chain.adoptions(home.id)
    if not adopted:
        return [(edition, first) for edition in home.header.editions]
    ends = [day_number(later.starts) for later in adopted[1:]]
    found = {
        adoption.edition: max(first, day_number(adoption.starts))
        for adoption, end in zip(adopted, [*ends, None], strict=True)
        if end is None or end > first
    }
    return [(edition, found[edition]) for edition in home.header.editions if edition in found]


def below_on(one: Standing, section: str, name: str, edition: str, day: int) -> Effective:
    """A rule or limit as the layers below leave it."""
    home = one.home(section, name)
    return effective(one.below, section, name, {home.id: None if edition == NO_EDITION else edition}, day)


def changed_below(one: Standing, names: Iterable[str]) -> str:
    """The last day on which a dated change of these rules or limits in the layers below begins or ends; empty: none."""
    days = [
        day
        for ruleset in one.below.rulesets
        for changes in (ruleset.amend, ruleset.withdraw, ruleset.restore)
        for name in names
        if (change := changes.get(name)) is not None
        for day in (change.starts, change.until)
        if day
    ]
    return max(days, default="")


def meanings(one: Standing, section: str, name: str, starts: str) -> dict[str, str]:
    """The digest of what a rule or limit means as the layers below leave it, by edition in force from a day on."""
    home = one.home(section, name)
    data = home.rules[name] if section == "rules" else home.limits[name]
    return {
        edition: meaning_of(one.below, below_on(one, section, name, edition, day), edition)
        for edition, day in editions_from(one, home, starts)
        if edition == NO_EDITION or isinstance(data, Limit) or edition_within(data.editions, edition)
    }


def date_that_counts(one: Standing, rule_id: str) -> str:
    """The path of the date of a job that decides which version of a rule holds here; empty where none does."""
    return days_of(one.chain).that_count[rule_id]
