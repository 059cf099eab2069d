"""The layers around a ruleset that is edited: those below it, the editions in force there, and what a rule means by then."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from checker.authoring.cases import place_of
from checker.engine.checker import Checker
from checker.problems.problem import did_you_mean, refused
from checker.rulesets.applicability import days_of
from checker.rulesets.chain import Chain
from checker.rulesets.fingerprint import meaning
from checker.rulesets.layering import NO_EDITION, Effective, effective, meaning_of
from checker.rulesets.limits import day_number
from checker.rulesets.models import Limit, Rule
from checker.rulesets.periods import FIRST_DAY
from checker.rulesets.ruleset import Ruleset, edition_within


class Layers(NamedTuple):
    """A ruleset among the layers of its place: the whole chain, and `below`, the chain without it and what lies above it."""

    checker: Checker
    ruleset: Ruleset
    place: str
    chain: Chain
    below: Chain

    @property
    def folder(self) -> str:
        """The ruleset's folder as messages name it."""
        return self.ruleset.parts["header", ""].document.file.removesuffix("/ruleset.yaml")

    def home(self, section: str, name: str) -> Ruleset:
        return self.below.homes[section, name]


def layers_around(checker: Checker, ruleset: Ruleset) -> Layers:
    """The layers of a ruleset: at the place that it covers, or that a ruleset it uses covers.

    Raises:
        ProblemsFound: Its layers cannot be put together.
    """
    place = place_of(checker, ruleset)
    chain = checker.using(ruleset.id).chain(place)
    return Layers(checker, ruleset, place, chain, chain.below(ruleset))


def layers_with(layers: Layers, rule_id: str) -> list[Layers]:
    """The layers of a ruleset wherever they have a rule: at its place, then at each place of a group's; else as they are."""
    checker = layers.checker.using(layers.ruleset.id)
    chains = [checker.chain(place) for place in checker.library.worked_at(layers.ruleset) if place != layers.place]
    others = [Layers(layers.checker, layers.ruleset, one.place, one, one.below(layers.ruleset)) for one in chains]
    return [one for one in (layers, *others) if ("rules", rule_id) in one.below.homes] or [layers]


def rule_below(layers: Layers, rule_id: str) -> Rule:
    """A rule of the layers below, as it stands in its own ruleset.

    Raises:
        ProblemsFound: There is none there.
    """
    home = layers.below.homes.get(("rules", rule_id))
    if home is None or not layers.chain.uses(layers.ruleset.id, home.id):
        known = did_you_mean(rule_id, layers.below.rule_ids) or "'changeout rules overview' names the rules."
        what = f"There is no rule '{rule_id}' below {layers.ruleset.id}: in none of the rulesets that it uses."
        raise refused(rule_id, what, known)
    return home.rules[rule_id]


def editions_from(layers: Layers, home: Ruleset, starts: str) -> list[tuple[str, int]]:
    """The editions of a ruleset that are in force here on or after a day, each with the first such day.

    Without a day: every edition that is or was adopted. Where nothing is adopted: every edition that there is. A ruleset
    without editions has the one called `any`.
    """
    first = day_number(starts) if starts else FIRST_DAY
    if not home.header.editions:
        return [(NO_EDITION, first)]
    adopted = layers.chain.adoptions(home.id)
    if not adopted:
        return [(edition, first) for edition in home.header.editions]
    ends = [day_number(later.starts) for later in adopted[1:]]
    first_days = {
        adoption.edition: max(first, day_number(adoption.starts))
        for adoption, end in zip(adopted, [*ends, None], strict=True)
        if end is None or end > first
    }
    return [(edition, first_days[edition]) for edition in home.header.editions if edition in first_days]


def edition_of(layers: Layers, code: str, day: int) -> str:
    """The edition of a ruleset that is in force here on a day; the newest where none is; `any` where it has none."""
    editions = layers.chain.by_id[code].header.editions
    return layers.chain.edition_on(code, day) or (editions[-1] if editions else NO_EDITION)


def editions_on(layers: Layers, home: Ruleset, edition: str, day: int) -> dict[str, str | None]:
    """The edition of each code that is in force here on a day; that of one ruleset as if it were in force."""
    return {code: edition_of(layers, code, day) for code in layers.chain.codes} | {
        home.id: None if edition == NO_EDITION else edition
    }


def below_on(layers: Layers, section: str, name: str, edition: str, day: int) -> Effective:
    """A rule or limit as the layers below leave it."""
    home = layers.home(section, name)
    return effective(layers.below, section, name, {home.id: None if edition == NO_EDITION else edition}, day)


def changed_below(layers: Layers, names: Iterable[str]) -> str:
    """The last day on which a dated change of these rules or limits in the layers below begins or ends; empty: none."""
    days = [
        day
        for ruleset in layers.below.rulesets
        for changes in (ruleset.amend, ruleset.withdraw, ruleset.restore)
        for name in names
        if (change := changes.get(name)) is not None
        for day in (change.starts, change.until)
        if day
    ]
    return max(days, default="")


def meanings(layers: Layers, section: str, name: str, starts: str) -> dict[str, str]:
    """The digest of what a rule or limit means as the layers below leave it, by edition in force from a day on."""
    home = layers.home(section, name)
    data = home.rules[name] if section == "rules" else home.limits[name]
    return {
        edition: meaning_of(layers.below, below_on(layers, section, name, edition, day), edition)
        for edition, day in editions_from(layers, home, starts)
        if edition == NO_EDITION or isinstance(data, Limit) or edition_within(data.editions, edition)
    }


def meanings_at_home(layers: Layers, section: str, name: str, starts: str) -> dict[str, str]:
    """The digest of what a rule or limit means as its own ruleset wrote it, by every edition in force at some place of a
    group's ruleset: what a change is bound to that stands on top of whatever a place makes of it."""
    checker, home = layers.checker.using(layers.ruleset.id), layers.home(section, name)
    chains = [checker.chain(place) for place in checker.library.worked_at(layers.ruleset)] or [layers.chain]
    around = [Layers(checker, layers.ruleset, one.place, one, one.below(layers.ruleset)) for one in chains]
    found: dict[str, str] = {}
    for one in (one for one in around if (section, name) in one.below.homes):
        data = home.rules[name] if section == "rules" else home.limits[name]
        for edition, _ in editions_from(one, home, starts):
            if edition == NO_EDITION or isinstance(data, Limit) or edition_within(data.editions, edition):
                found[edition] = meaning(data, edition, one.below.limits)
    return {edition: found[edition] for edition in (*home.header.editions, NO_EDITION) if edition in found}


def date_that_counts(layers: Layers, rule_id: str) -> str:
    """The path of the date of a job that decides which version of a rule holds here; empty where none does."""
    return days_of(layers.chain).that_count[rule_id]
