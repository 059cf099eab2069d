"""The authority's answers that a job records: which rule asked, what was answered, by whom, when, and where it is written.

An answer is one of those that the rule prints with its question, and what it means stands in the rule. It counts only if
it is complete, was given by the day that is looked at, and by an office that may let the rule off. One that does not
count changes nothing and is told.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from checker.binding.authority_answers import plain
from checker.problems.problem import did_you_mean
from checker.reading.job import Job
from checker.rulesets.chain import Chain
from checker.rulesets.layering import Answered
from checker.rulesets.models import Answer

OF_THE_JOB = "(answer in this job)"  # behind an answer that the job itself records
ROLE = "authority_answers"  # of the list in the job schema
TEXTS = {
    "rule": "which rule asked",
    "answer": "the answer",
    "told_by": "who answered",
    "reference": "where it is written",
}


class Told(NamedTuple):
    """The answers of a job that count, by rule, and why each of the others does not."""

    answers: Mapping[str, tuple[Answered, ...]]
    notes: tuple[str, ...]


def told(job: Job, chain: Chain, on: datetime.date) -> Told:
    """The answers of a job as they stand on a day."""
    answers: dict[str, tuple[Answered, ...]] = {}
    notes = []
    for index, key in enumerate(job.lists.get(job.at(ROLE), ())):
        found = _lacking(index, job) or _counted(index, job, chain, on)
        if isinstance(found, str):
            notes.append(f"The authority's answer '{key}' does not count: {found}.")
        else:
            answers[found.answer.rule] = (*answers.get(found.answer.rule, ()), found)
    return Told(answers, tuple(notes))


def _text(job: Job, index: int, field: str) -> str:
    """What an answer says in one of its fields."""
    return job.text(job.at(f"{ROLE}.{field}", index))


def _lacking(index: int, job: Job) -> str:
    lacking = [said for field, said in TEXTS.items() if not _text(job, index, field)]
    lacking += [] if isinstance(job.value(job.at(f"{ROLE}.on", index)), int) else ["the day it was given"]
    return f"it lacks {' and '.join(lacking)}" if lacking else ""


def _counted(index: int, job: Job, chain: Chain, on: datetime.date) -> Answered | str:
    """An answer that counts, or why it does not."""
    rule_id, label = _text(job, index, "rule"), _text(job, index, "answer").lower()
    home = chain.homes.get(("rules", rule_id))
    if home is None:
        hint = did_you_mean(rule_id, chain.rule_ids)
        return f"no rule here is called '{rule_id}'" + (f" ({hint.rstrip('.')})" if hint else "")
    rule = home.rules[rule_id]
    meanings = {name.lower(): means for name, means in rule.answers.items()}
    day = job.value(job.at(f"{ROLE}.on", index))
    assert isinstance(day, int)
    if not rule.answers:
        return f"'{rule_id}' leaves nothing to an answer"
    if label not in meanings:
        return f"'{label}' is none of the answers to its question ({_listed(rule.answers)})"
    if home.header.owner_kind == "federal" or rule.acceptable_by == "none":
        return f"'{rule_id}' is not for a local office to accept"
    if rule.acceptable_by == "state" and _text(job, index, "office_level") != "state":
        return f"only a state office may answer for '{rule_id}', and it does not say that one did"
    if day > on.toordinal():
        return f"it was given on {datetime.date.fromordinal(day).isoformat()}, after the day of this check"
    return _answered(index, job, plain(rule.ask), meanings[label], datetime.date.fromordinal(day))


def _listed(answers: Iterable[str]) -> str:
    return " or ".join(answers)


def _answered(index: int, job: Job, question: str, means: str | dict[str, str], day: datetime.date) -> Answered:
    who, where = _text(job, index, "told_by"), _text(job, index, "reference")
    answer = Answer(
        rule=_text(job, index, "rule"),
        question=question,
        answer=means if isinstance(means, str) else "as_written",
        in_words=_text(job, index, "in_words") or f"to '{question}', {_text(job, index, 'answer')}",
        values={} if isinstance(means, str) else means,
        meaning={},
    )
    return Answered("", answer, stale=False, said_by=f"{who}, {day.isoformat()}, {where} {OF_THE_JOB}")
