"""What the pages of rules are made from: the rulesets of a place, or all there are, each with what it stands on."""

from __future__ import annotations

import datetime
import functools
from collections.abc import Mapping

from checker.authoring.comparing.text import CHANGELOG
from checker.authoring.docs.history import Layer
from checker.authoring.docs.words import Words
from checker.authoring.limit_words import Here
from checker.authoring.rule_index import in_order
from checker.engine.checker import Checker
from checker.rulesets.chain import Chain, chain
from checker.rulesets.layering import NO_EDITION, Effective, effective, meaning_of
from checker.rulesets.models import Limit, Rule
from checker.rulesets.ruleset import Ruleset


class Desk:
    """The rulesets that pages are made of; `here` is the chain of the place, None where all are shown as they are."""

    def __init__(self, checker: Checker, place: str, on: datetime.date) -> None:
        self.checker, self.vocabulary, self.day = checker, checker.vocabulary, on.toordinal()
        self.here = checker.chain(place) if place or checker.wanted else None
        self.rulesets = in_order(self.here.rulesets if self.here else checker.library.rulesets.values())
        self.names = {one.id: next(iter(one.header.documents.values()), one.id) for one in self.rulesets}
        self._chains: dict[str, Chain] = {}
        self._limits: dict[str, dict[str, Here]] = {}

    @functools.cached_property
    def layers(self) -> list[Layer]:
        """Each ruleset with the chain that what it changes is looked at in."""
        return [Layer(ruleset, self.chain_of(ruleset)) for ruleset in self.rulesets]

    def chain_of(self, ruleset: Ruleset) -> Chain:
        """The chain of the place, or without one a ruleset and what it stands on."""
        if self.here:
            return self.here
        if ruleset.id not in self._chains:
            self._chains[ruleset.id] = chain(self.checker.library, "", (ruleset.id,))
        return self._chains[ruleset.id]

    def edition(self, ruleset: Ruleset) -> str | None:
        """The edition in force at the place; None without a place, or where none is in force."""
        return self.here.edition_on(ruleset.id, self.day) if self.here else None

    def standing(self, section: str, name: str, chain: Chain) -> Effective:
        """A rule or limit as it is shown: at a place after every layer, else as its own ruleset writes it."""
        home = chain.homes[section, name]
        if self.here:
            edition = self.edition(home) or (home.header.editions or [NO_EDITION])[-1]
            return effective(chain, section, name, {home.id: edition}, self.day)
        data: Rule | Limit = (home.rules if section == "rules" else home.limits)[name]
        return Effective(name, home, data, False, (), {"": home.parts[section, name]}, "")

    def limits(self, home: Ruleset) -> Mapping[str, Here]:
        """Every limit that a rule of a ruleset can name, as it is shown."""
        if home.id not in self._limits:
            one = self.chain_of(home)
            self._limits[home.id] = {name: self._limit(name, one) for name in sorted(one.limit_names)}
        return self._limits[home.id]

    def _limit(self, name: str, chain: Chain) -> Here:
        layered = self.standing("limits", name, chain)
        assert isinstance(layered.data, Limit)
        documents = chain.documents(layered.set_by("values"))
        if not self.here:
            return Here(layered.data, layered.home.id, documents)
        edition = self.edition(layered.home) or next(reversed(layered.home.header.editions), None)
        return Here(layered.data, layered.home.id, documents, edition, self.day)

    def changelog(self, home: Ruleset) -> str:
        """The changelog of a ruleset; nothing where it has none or comes out of a release."""
        folder = self.checker.library.folders.get(home.id)
        file = folder / CHANGELOG if folder else None
        return file.read_text(encoding="utf-8", errors="replace") if file and file.is_file() else ""

    def words(self, rule: Rule, home: Ruleset) -> Words:
        """What turns the lines of a rule into sentences."""
        return Words(rule, self.vocabulary, self.limits(home), self.names)

    def lapsed(self, rule_id: str, meanings: Mapping[str, str]) -> list[str]:
        """The editions for which what somebody read no longer fits what the rule means."""
        home = next((one for one in self.rulesets if rule_id in one.rules), None)
        if home is None:
            return list(meanings)
        one = self.chain_of(home)
        now = {e: effective(one, "rules", rule_id, {home.id: e}, self.day) for e in meanings}
        return [edition for edition, meaning in meanings.items() if meaning_of(one, now[edition], edition) != meaning]
