"""What a rule of a chain can hang on: the rulesets that it can look into, and the days on which one of these changes it.

Places stand on the same codes. A rule that the ruleset of a county neither changes nor lends a limit is the same rule with
and without the county. So a rule is bound before the rulesets in its reach alone, and what was bound there serves every
chain that holds the same rulesets.
"""

from __future__ import annotations

import bisect
import re
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from checker.rulesets.by_identity import kept_by_identity
from checker.rulesets.chain import Chain
from checker.rulesets.expression_words import codes_asked
from checker.rulesets.models import Amendment, Rule
from checker.rulesets.periods import first_days
from checker.rulesets.ruleset import Ruleset
from checker.rulesets.standing import stands_over_all
from checker.trade import functions

# A word that may be a name, in conditions, messages or prose alike: one too many only widens a reach.
WORD = re.compile(r"local\.[a-z0-9-]+(?:\.[a-z0-9_]+)+|[a-z_][a-z0-9_.]*")
NAMELESS = {"title", "intent", "citation", "cases"}  # fields of a rule in which no limit or code is named
MOST_RULES = 20_000
MOST_LAYERS = 500


class Reach(NamedTuple):
    """The rulesets that a rule can look into, those that change it last, and the first day of each period of it."""

    layers: Chain
    starts: tuple[int, ...]

    def editions(self, editions: Mapping[str, str | None]) -> dict[str, str | None]:
        """The editions of the codes in reach, as far as they are known."""
        return {code: edition for code, edition in editions.items() if edition and code in self.layers.by_id}

    def first_day(self, day: int) -> int:
        """The first day of the period that a day lies in."""
        return self.starts[max(bisect.bisect_right(self.starts, day) - 1, 0)]


class _Text(NamedTuple):
    """The words of a rule or an amendment, the codes whose editions it asks for, and the laws that it names."""

    words: frozenset[str]
    codes: frozenset[str]
    law: str


class Reaches:
    """The reach of each rule of a chain, found once."""

    def __init__(self, chain: Chain) -> None:
        self.chain = chain
        self._known: dict[str, Reach] = {}
        self._near: dict[str, frozenset[str]] = {}
        self._by: dict[str, set[str]] = {}  # for each rule and limit, the rulesets that say something of it
        for ruleset in chain.rulesets:
            for name in _spoken_of(ruleset):
                self._by.setdefault(name, set()).add(ruleset.id)

    def of(self, rule_id: str) -> Reach:
        """The reach of a rule."""
        if rule_id not in self._known:
            self._known[rule_id] = self._found(rule_id)
        return self._known[rule_id]

    def _found(self, rule_id: str) -> Reach:
        chain = self.chain
        home = chain.homes["rules", rule_id]
        rules = chain.leans_on(rule_id)
        texts = [_text_of_rule(chain.homes["rules", one].rules[one]) for one in rules]
        texts += [_text_of_change(r.amend[one]) for r in chain.rulesets for one in rules if one in r.amend]
        words = frozenset[str]().union(*(text.words for text in texts))
        called = functions()
        words |= {table for name in words & called.keys() for table in called[name].tables}
        limits = words & chain.limit_names
        laws = [law for text in texts for law in home.header.made_law_by.get(text.law, ())]
        named = {*chain.homes_of_rules(rule_id), *(law.code for law in laws)}.union(*(text.codes for text in texts))
        named |= {chain.homes["limits", name].id for name in limits}
        speaking = set[str]().union(*(self._by.get(name, ()) for name in (*rules, *limits)))
        near = frozenset[str]().union(*(self._stood_on(name) for name in (named | speaking) & chain.by_id.keys()))
        silent = (chain.by_id[name] for name in sorted(near - speaking))  # the order of these does not count
        layers = _layers(*silent, *(ruleset for ruleset in chain.rulesets if ruleset.id in speaking))
        return Reach(layers, tuple(first_days(layers, {*rules, *limits})))

    def _stood_on(self, name: str) -> frozenset[str]:
        """A ruleset of the chain and all that it stands on."""
        if name not in self._near and stands_over_all(self.chain.by_id[name]):
            self._near[name] = frozenset(self.chain.by_id)
        if name not in self._near:
            below = (other for other in self.chain.by_id[name].header.uses if other in self.chain.by_id)
            self._near[name] = frozenset({name}).union(*(self._stood_on(other) for other in below))
        return self._near[name]


def reach_of(chain: Chain, rule_id: str) -> Reach:
    """What a rule of a chain can hang on."""
    found: Reaches | None = chain.worked_out.get(Reaches)
    if found is None:
        found = chain.worked_out[Reaches] = Reaches(chain)
    return found.of(rule_id)


@kept_by_identity(MOST_LAYERS)
def _layers(*rulesets: Ruleset) -> Chain:
    """One chain for the same rulesets, whichever place they are looked at from."""
    return Chain(list(rulesets), "", covered=True)


def _spoken_of(ruleset: Ruleset) -> Iterator[str]:
    """The rules and limits that a ruleset changes, confirms or answers for."""
    yield from (*ruleset.amend, *ruleset.withdraw, *ruleset.restore)
    yield from (one.rule for one in ruleset.confirm.values())
    yield from (one.rule for one in ruleset.answers.values())


@kept_by_identity(MOST_RULES)
def _text_of_rule(rule: Rule) -> _Text:
    return _text([value for name, value in vars(rule).items() if name not in NAMELESS], rule.made_law_by)


@kept_by_identity(MOST_RULES)
def _text_of_change(change: Amendment) -> _Text:
    return _text(change.said, str(change.set.get("made_law_by", "")))


def _text(parts: Any, law: str) -> _Text:
    text = str(parts)
    return _Text(frozenset(WORD.findall(text)), codes_asked(text), law)
