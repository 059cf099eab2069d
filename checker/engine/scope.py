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
from checker.judging.conditions import truth
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
