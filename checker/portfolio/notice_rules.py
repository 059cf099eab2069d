"""Which rules a notice may be about: its words beside those of each rule of the place, by what is rare among them.

A word that few rules have says more than one that many have (inverse document frequency). Nothing is decided here: the
candidates are shown, and a person names the rule in the job.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from checker.findings.finding import WEIGHTS
from checker.portfolio.notice_words import stems
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.chain import Chain
from checker.rulesets.models import Rule

MOST = 3  # candidates shown
LEAST = 0.45  # the share of what a notice says that a candidate has to know
NEAR = 0.75  # the share of the best candidate's score from which another is shown too
# Words that every notice may have, whatever it is about.
EMPTY = frozenset(stems("missing no not install installed correct code inspector verify fix add repair replace see within "
                        "than more less least most ft feet inch inches min max"))  # fmt: skip
NAMED, TOLD = 1.0, 0.6  # what a word counts in a rule's names, and in what it reads and says to do
FIELD = re.compile(r"\{[^{}]*\}")


class Candidate(NamedTuple):
    """A rule that a notice may be about, and how much of the notice it knows, from 0 to 1."""

    rule: str
    title: str
    share: float


class _Words(NamedTuple):
    """The words of a rule, each with what it counts."""

    rule: str
    title: str
    weight: int
    counts: dict[str, float]

    @property
    def names(self) -> int:
        """How many words name it: of two rules that know a notice alike, the one that says less besides is meant."""
        return sum(count == NAMED for count in self.counts.values())


class NoticeRules:
    """The rules of one place as notices are held against them.

    Args:
        alike: Words that mean the same, in groups; the first of each stands for all.
    """

    def __init__(self, chain: Chain, alike: Sequence[Sequence[str]]) -> None:
        self.alike = [(_any_of(words[1:]), words[0]) for words in alike]
        rules = {rule: chain.homes["rules", rule].rules[rule] for rule in chain.rule_ids}
        self.rules = [self._words(name, rule) for name, rule in rules.items()]
        many = Counter(word for one in self.rules for word in one.counts)
        self.unknown = math.log(len(self.rules) + 1)
        self.rare = {word: math.log((len(self.rules) + 1) / (count + 0.5)) for word, count in many.items()}

    def about(self, words: str) -> tuple[Candidate, ...]:
        """The rules that a notice may be about, the likeliest first; none where it says much that no rule knows."""
        said = self._stems(words) - EMPTY
        whole = sum(self.rare.get(word, self.unknown) for word in said)
        if not whole or not self.rules:
            return ()
        known = [(self._known(said, one) / whole, one) for one in self.rules]
        least = max(LEAST, NEAR * max(share for share, _ in known))
        likely = [(share, one) for share, one in known if share >= least]
        likely.sort(key=lambda pair: (-round(pair[0], 2), pair[1].weight, pair[1].names, pair[1].rule))
        return tuple(Candidate(one.rule, one.title, round(share, 2)) for share, one in likely[:MOST])

    def _known(self, said: Iterable[str], one: _Words) -> float:
        return sum(self.rare[word] * one.counts[word] for word in said if word in one.counts)

    def _words(self, name: str, rule: Rule) -> _Words:
        headlines = [rule.failed] if isinstance(rule.failed, str) else [one["say"] for one in rule.failed]
        named = self._stems(FIELD.sub(" ", " ".join([rule.title, name, *headlines])))
        told = self._stems(FIELD.sub(" ", f"{rule.on_fail} {rule.remedy} {rule.require}"))
        return _Words(
            name, rule.title, WEIGHTS.index(rule.weight), dict.fromkeys(told, TOLD) | dict.fromkeys(named, NAMED)
        )

    def _stems(self, text: str) -> frozenset[str]:
        plain = text.casefold().replace("_", " ").replace("-", " ").replace(".", " ")
        for pattern, word in self.alike:
            plain = pattern.sub(f" {word} ", plain)
        return stems(plain)


def of_place(chain: Chain, vocabulary: Vocabulary) -> NoticeRules:
    """The rules of a place, made ready once; the job schema says which words mean the same."""
    found: NoticeRules | None = chain.worked_out.get(NoticeRules)
    if found is None:
        found = chain.worked_out[NoticeRules] = NoticeRules(chain, vocabulary.commands.get("same_words", ()))
    return found


def _any_of(words: Sequence[str]) -> re.Pattern[str]:
    """Any of some words or phrases, whole, the longest first; in the plural too."""
    ordered = sorted((word.casefold().replace("-", " ") for word in words), key=len, reverse=True)
    return re.compile(rf"\b(?:{'|'.join(map(re.escape, ordered))})s?\b")
