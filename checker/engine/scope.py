"""Which rulesets of a place speak of a job: each says itself what it is written for.

A line may be about some rules `only`. They do not concern a job that does not meet it, as if their own conditions said so.

A ruleset of a place or a group that says nothing of it follows the codes that it stands on: it speaks of the jobs that one of
them at least is written for.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from checker.ir import tree
from checker.ir.kleene import Scope, Truth, Unknown
from checker.ir.references import patterns_read
from checker.judging.conditions import truth
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.chain import Chain
from checker.rulesets.ruleset import Ruleset

FOLLOW = ("state", "local", "group")  # kinds of owners whose rulesets follow the codes that they stand on


Lines = Mapping[str, tuple[tree.Line, ...]]  # what each ruleset is written for, by its id


class Spoken(NamedTuple):
    """Of one job: each ruleset that is not written for it, with the lines that it does not meet; and what is not known.

    `apart` are the lines about some rules only that the job does not meet, by ruleset.
    """

    outside: dict[str, tuple[tree.Line, ...]]
    apart: dict[str, tuple[tree.Line, ...]]
    unknown: list[tuple[str, Unknown]]

    def leaves_out(self, ruleset: str, rule: str) -> bool:
        """Whether a rule of a ruleset is not judged."""
        return bool(self.why_of(ruleset, rule))

    def why(self, ruleset: str) -> tuple[str, ...]:
        """Why a ruleset is not written for the job, in words."""
        return tuple(dict.fromkeys(line.otherwise for line in self.outside[ruleset]))

    def why_of(self, ruleset: str, rule: str) -> tuple[str, ...]:
        """Why a rule of a ruleset is not judged, in words; nothing where it is."""
        lines = [line for line in self.outside.get(ruleset, ()) if rule not in line.hold_beyond]
        lines += [line for line in self.apart.get(ruleset, ()) if rule in line.only]
        return tuple(dict.fromkeys(line.otherwise for line in lines))


def spoken_of(chain: Chain, lines: Lines, scope: Scope) -> Spoken:
    """Which rulesets of a chain speak of a job."""
    found = Spoken({}, {}, [])
    for ruleset in chain.rulesets:
        every = [(line, truth(line.condition, scope)) for line in lines[ruleset.id]]
        said = [(line, holds) for line, holds in every if not line.only]
        apart = tuple(line for line, holds in every if line.only and holds is False)
        if apart:
            found.apart[ruleset.id] = apart
        found.unknown.extend(_unknown(every))
        unmet = tuple(line for line, holds in said if holds is False)
        followed = () if said else _followed(ruleset, chain)
        if followed and all(code in found.outside for code in followed):
            why = f"It follows the codes that it stands on ({', '.join(followed)}), which are not written for this job."
            unmet = (tree.Line(tree.Constantly(False, ""), why, ()),)
        if unmet:
            found.outside[ruleset.id] = unmet
    return found


def _unknown(every: Sequence[tuple[tree.Line, Truth]]) -> Iterator[tuple[str, Unknown]]:
    """The lines of which nobody knows whether the job meets them; one about some rules only where no other asks the same."""
    named: set[str] = set()
    for line, holds in sorted(every, key=lambda one: bool(one[0].only)):
        if isinstance(holds, Unknown):
            facts = {cause.fact for cause in holds.causes}
            if not (line.only and facts <= named):
                yield line.otherwise, holds
            named |= facts


def _followed(ruleset: Ruleset, chain: Chain) -> Sequence[str]:
    """The codes that a ruleset of a place or a group stands on, itself or through others."""
    if ruleset.header.owner_kind not in FOLLOW:
        return ()
    return [name for name in chain.by_id if name in chain.codes and chain.uses(ruleset.id, name)]


MOST_RULES = 2_000  # of which it is known what they ask of the work


class Work:
    """What rules ask of the work that was done: their conditions on the section of a job that says it."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary, self.section = vocabulary, f"{vocabulary.at('scope')}."
        self._asked: dict[int, tuple[tree.BoundRule, tree.All, tree.All]] = {}

    def asked_by(self, rule: tree.BoundRule) -> tuple[tree.All, tree.All]:
        """The conditions of a rule on the yes-or-no facts of that section alone, and those on its other facts."""
        if id(rule) not in self._asked:
            if len(self._asked) >= MOST_RULES:
                self._asked.clear()
            on_all = [(part, set(patterns_read(part, rule.where, rule.for_each))) for part in rule.applies.conditions]
            of_work = [(part, facts) for part, facts in on_all if facts and all(map(self._in_section, facts))]
            work = tuple(part for part, facts in of_work if all(map(self._is_flag, facts)))
            kinds = tuple(part for part, facts in of_work if not all(map(self._is_flag, facts)))
            self._asked[id(rule)] = rule, tree.All(work), tree.All(kinds)
        return self._asked[id(rule)][1:]

    def _in_section(self, fact: str) -> bool:
        return fact.startswith(self.section)

    def _is_flag(self, fact: str) -> bool:
        leaf = self.vocabulary.leaf(fact)
        return leaf is not None and leaf.kind == "flag"
