"""Cases for a line that an amendment adds or changes: it is met, it is not, and its first fact is not recorded."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from checker.authoring.cases import job_path
from checker.authoring.editing import boundary_cases as moving
from checker.authoring.editing.amend import Amendable, Ground, case_from
from checker.authoring.editing.file_edits import OneLine
from checker.authoring.editing.layer_context import Layers
from checker.authoring.editing.tried import Tried
from checker.reading.fact_shapes import pattern
from checker.rulesets.expression_words import names_in_text
from checker.rulesets.models import Case, Rule


class NewFact(NamedTuple):
    """A fact of a new line: as cases write it and by its path in a job, and its value where the line is met and is not."""

    path: str
    in_job: str
    passing: str
    failing: str


def cases_of_line(
    layers: Layers,
    rule_id: str,
    at: Amendable,
    ground: Ground,
    data: dict[str, Any],
    facts: Sequence[NewFact],
    met: str,
) -> list[OneLine]:
    """The cases of a new line that come out as they say, made from the case of the rule that serves most of them.

    Args:
        data: The amendment without its cases.
        met: The outcome where the line is not met.
    """
    tried, best = Tried(layers, rule_id, data, ground.new_document), list[OneLine]()
    for base in moving.bases(layers, rule_id, "", at.edition):
        made = _made(layers, rule_id, at, ground, base, facts, met)
        good = [case for case in made if tried.comes_out(case)]
        best = good if len(good) > len(best) else best
        if len(best) == len(made):
            break
    return best


def _made(
    layers: Layers, rule_id: str, at: Amendable, ground: Ground, base: Case, facts: Sequence[NewFact], met: str
) -> list[OneLine]:
    passing, failing = ({fact.path: fact[value] for fact in facts} for value in (2, 3))
    made = [
        case_from(layers, rule_id, at, ground, base, "as this place asks", passing, "pass"),
        case_from(layers, rule_id, at, ground, base, "not as this place asks", failing, met),
    ]
    if facts and met == "fail":
        missing = case_from(layers, rule_id, at, ground, base, "not recorded", passing, "verify_locally")
        missing["given"].pop(facts[0].path)
        made.append(OneLine({**missing, "needs": [facts[0].in_job]}))
    return made


def facts_in(layers: Layers, rule: Rule, line: str) -> list[tuple[str, str]]:
    """The facts that a line names: as cases write them, and by their paths in a job of one item."""
    vocabulary = layers.checker.vocabulary
    named = [(word, job_path(word, rule.for_each, vocabulary)) for word in names_in_text(line)]
    return [(word, path) for word, path in named if pattern(path) in vocabulary.leaves]
