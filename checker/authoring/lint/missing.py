"""What people go by and a ruleset does not say: the station of a fact."""

from __future__ import annotations

from collections.abc import Iterator

from checker.problems.problem import Problem
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.ruleset import Ruleset


def missing_problems(ruleset: Ruleset, vocabulary: Vocabulary) -> Iterator[Problem]:
    """Facts of a ruleset without a station, where the job schema has stations."""
    stations = [station.name for station in vocabulary.stations if station.name]
    for name, fact in ruleset.facts.items():
        if stations and not fact.station:
            what = f"The fact '{name}' does not say where one stands when one sees it."
            yield ruleset.parts["facts", name].problem(("=",), what, f"Add station:, one of {', '.join(stations)}.")
