"""Answers that a contractor could give to one question of an interview, and whether it makes a difference which.

A difference is another verdict, another fact still needed, or another note. It is looked for in the job as far as it is
recorded; where that says the same, in the job as the contractor will have recorded it.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from checker.engine.checker import Checker
from checker.fieldwork.interview import Interview
from checker.fieldwork.prompts import Facts, NotAnAnswer, Question, placed
from checker.problems.problem import ProblemsFound
from checker.reading import units
from checker.reading.fact_shapes import Leaf, pattern
from checker.reading.files import read_text
from checker.reading.job import load
from tests.support.interviews import at_path
from tests.support.rulesets import ON

NONE = {"none": "there is none"}
DAYS = ("1990-01-01", "2026-10-30", "2039-01-01")


def makes_a_difference(talk: Interview, full: dict[str, Any]) -> bool:
    """Whether it matters how the question of an interview is answered.

    Args:
        full: The job as the contractor will have recorded it.
    """
    question = talk.question
    assert question is not None
    answers = list(_answers(talk, question, full))
    return _differ(talk.checker, talk.now.job.data, answers) or _differ(talk.checker, full, answers)


def _answers(talk: Interview, question: Question, full: dict[str, Any]) -> Iterator[Facts]:
    if question.opens and question.choices:
        yield from (question.facts(choice) for choice in question.choices)
    elif question.several:
        yield from (question.facts(said) for said in ("none", "1 2 3"))
    elif question.lines:
        yield from (dict.fromkeys(question.paths, said) for said in (True, False))
    else:
        for path in question.paths:
            yield from ({path: value} for value in _values(talk.checker, path, at_path(full, path)))


def _values(checker: Checker, path: str, recorded: Any) -> list[Any]:
    """What may be recorded of one fact or list: what the job has, and what lies far from it."""
    leaf = checker.vocabulary.leaf(path)
    own = [] if recorded is None else [recorded]
    if leaf is None:
        return [*own, [], *_lists(checker, path)]
    far: list[Any] = [True, False] if leaf.form == "flag" else list(leaf.possible)
    if leaf.form in ("quantity", "count"):
        far = _ends(leaf)
    elif leaf.form == "date":
        far = list(DAYS)
    elif not far:
        far = ["another"]
    return [*own, *far, *([NONE] if leaf.may_be_none else [])]


def _lists(checker: Checker, path: str) -> list[list[Facts]]:
    """A list with one item more than none: a named one, or readings that agree and readings as far apart as can be."""
    entry = checker.vocabulary.lists[pattern(path)]
    if entry.keyed:
        return [[{"key": "another"}]]
    inside = [leaf for leaf in checker.vocabulary.leaves.values() if leaf.path.startswith(f"{entry.path}.")]
    ends = [(leaf.path.rpartition(".")[2], *_ends(leaf)) for leaf in inside]
    low, high = ({name: pair[at] for name, *pair in ends} for at in (0, 1))
    return [[low, high, low, high], [high] * 4]


def _ends(leaf: Leaf) -> list[float]:
    unit = units.find_unit(leaf.kind, leaf.unit) or units.base_unit(leaf.kind)
    ends = (units.from_base(end, unit) for end in (leaf.bounds.usual_lowest, leaf.bounds.usual_highest))
    return [round(end) if leaf.form == "count" else end for end in ends]


def _differ(checker: Checker, job: Mapping[str, Any], answers: Iterable[Facts]) -> bool:
    """Whether a job is told of differently with one of the answers than with the first that can be recorded."""
    told = (_told(checker, job, facts) for facts in answers)
    known = (one for one in told if one is not None)
    first = next(known, None)
    return any(one != first for one in known)


def _told(checker: Checker, job: Mapping[str, Any], facts: Facts) -> object:
    """What is said of a job with these facts; None where it cannot hold them."""
    try:
        data = json.dumps(placed(job, facts)).encode()
        report = checker.check_job(load(read_text(data, "job.json"), checker.vocabulary), ON)
    except (NotAnAnswer, ProblemsFound, IndexError, TypeError, AttributeError):
        return None
    findings = {(one.rule, one.item): (one.outcome, {need.fact for need in one.needs}) for one in report.findings}
    return findings, report.notes, report.nothing_judged
