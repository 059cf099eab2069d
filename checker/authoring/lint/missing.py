"""What people go by and a ruleset does not say: the station of a fact, the headline of a rule."""

from __future__ import annotations

from collections.abc import Iterator

from checker.binding.rule_text import HOLE
from checker.problems.problem import Problem
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.ruleset import Ruleset

LONGEST_HEADLINE = 70  # characters on one line, a value between braces counted as VALUE
VALUE = "12 in"


def missing_problems(ruleset: Ruleset, vocabulary: Vocabulary, headlines: bool) -> Iterator[Problem]:
    """Facts without a station where the job schema has stations, and rules without a short headline.

    With `headlines` rules have them here, and one that has none is told.
    """
    stations = [station.name for station in vocabulary.stations if station.name]
    for name, fact in ruleset.facts.items():
        if stations and not fact.station:
            what = f"The fact '{name}' does not say where you stand when you see it."
            yield ruleset.parts["facts", name].problem(("=",), what, f"Add station:, one of {', '.join(stations)}.")
    for rule_id in ruleset.rules if headlines else ():
        yield from _headline_problems(ruleset, rule_id)


def _headline_problems(ruleset: Ruleset, rule_id: str) -> Iterator[Problem]:
    """A rule that does not say in one line what is wrong where it fails."""
    part, failed = ruleset.parts["rules", rule_id], ruleset.rules[rule_id].failed
    if not failed:
        what = f"The rule '{rule_id}' has no headline for a failure."
        hint = "Add failed: what is wrong, in a few words, with the reading and the limit: 'Too long: {reading}, max {limit}'."
        yield part.problem(("=",), what, hint)
        return
    lines = (
        [((), failed)] if isinstance(failed, str) else [((at, "say"), line["say"]) for at, line in enumerate(failed)]
    )
    for at, text in lines:
        length = len(HOLE.sub(VALUE, text))
        if length > LONGEST_HEADLINE:
            what = f"This headline takes about {length} characters; {LONGEST_HEADLINE} fit on one line."
            yield part.problem(
                ("failed", *at),
                what,
                "Say only what is wrong, with the reading and the limit. The rest goes in on_fail.",
            )
