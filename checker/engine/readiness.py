"""What has to be right with the rulesets of a place before anybody is judged by them."""

from __future__ import annotations

from collections.abc import Iterator

from checker.problems.problem import ProblemsFound, did_you_mean
from checker.reading import units
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.chain import Chain
from checker.rulesets.ruleset import TO_FILL_IN, Ruleset


def refuse_misplaced_facts(ruleset: Ruleset, vocabulary: Vocabulary) -> None:
    """
    Raises:
        ProblemsFound: A local fact has a stage or a station that the job schema does not have.
    """
    stages = [stage.name for stage in vocabulary.stages]
    stations = [station.name for station in vocabulary.stations]
    problems = [
        ruleset.parts["facts", name].problem(
            (field,), f"'{said}' is {what}.", did_you_mean(said, names) or f"One of: {', '.join(filter(None, names))}."
        )
        for name, fact in ruleset.facts.items()
        for field, said, names, what in (
            ("known", fact.known, stages, "no stage of the work"),
            ("station", fact.station, ["", *stations], "no station"),
        )
        if names not in ([""], ["", ""]) and said not in names
    ]
    if problems:
        raise ProblemsFound(problems)


def refuse_unfinished(place: Chain) -> None:
    """Nobody is judged by what its keeper has not filled in yet: it binds as law, and nobody has read it."""
    problems = []
    for ruleset in place.rulesets:
        what = f"'{TO_FILL_IN}' is still here: {ruleset.id} is not finished, and no job is judged by it."
        hint = "Fill it in, or delete the entry. If you don't want the example, delete its file."
        problems += [ruleset.documents[name].problem(at, what, hint) for name, at in ruleset.to_fill_in]
    if problems:
        raise ProblemsFound(problems)


def ranges_of(place: Chain, vocabulary: Vocabulary) -> Iterator[tuple[str, tuple[float, float]]]:
    """The possible values that the rulesets give for a place, such as its lowest and highest elevation."""
    for ruleset in place.rulesets:
        for path, (low, high) in ruleset.header.possible.items():
            leaf = vocabulary.leaves.get(path)
            if leaf is None:
                part = ruleset.parts["header", ""]
                raise ProblemsFound(
                    [part.problem(("possible", path, "="), f"'{path}' is not a fact.", "Name a fact of a job.")]
                )
            yield (
                path,
                (units.read_amount(low, leaf.kind, leaf.unit)[0], units.read_amount(high, leaf.kind, leaf.unit)[0]),
            )
