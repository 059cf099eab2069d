"""What proofs find: hits, each at its place in a ruleset and with a job that shows it, and what could not be decided."""

from __future__ import annotations

from typing import NamedTuple

from checker.authoring.proofs.standing import Witness
from checker.problems.problem import Problem

# The sorts of hits, and what is wrong with those of a sort.
SORTS = {
    "never-applies": "A rule applies to no job",
    "never-fails": "A rule fails on no job",
    "never-passes": "A rule is passed by no job",
    "contradiction": "Two rules that no job can pass together",
    "twice": "Two rules ask the same",
    "shadowed": "An option is never the one that decides",
    "idle-fact": "No value of a fact changes what a rule says",
    "idle-change": "A change of a rule or limit changes no outcome",
    "idle-question": "A question to the authority never comes up",
    "idle-limit": "No condition or text of a rule reads a limit",
    "gap": "No rule of a topic looks at some jobs",
    "untried-change": "A change has no worked cases",
    "given-twice": "A case gives a fact twice",
    "title-figure": "A title says another figure than the limit",
}


class Hit(NamedTuple):
    """One thing that is proved: a problem of its sort, a short name of what it is about, and the job that shows it."""

    sort: str
    name: str
    problem: Problem
    witness: Witness | None = None


class Findings(NamedTuple):
    """What was found, how many claims were decided, and which were not, with why."""

    hits: list[Hit]
    undecided: list[tuple[str, str, str]]
    decided: list[str]

    def tell(self, sort: str, name: str, problem: Problem, witness: Witness | None = None) -> None:
        """Keep a hit, once."""
        hit = Hit(sort, name, problem._replace(sort=sort), witness)
        if (sort, name) not in {(one.sort, one.name) for one in self.hits}:
            self.hits.append(hit)
