"""Jobs as the reader in JavaScript gets them, and what the report of a job says, told the same way."""

from __future__ import annotations

import itertools
import random
from typing import Any

import orjson

from checker.authoring.vectors import as_facts
from checker.engine.checker import Checker
from checker.engine.job_run import OneJob
from checker.findings.citations import section
from checker.findings.finding import LimitUsed
from checker.ir.program import document
from checker.problems.problem import ProblemsFound
from checker.reading.job import Job
from checker.rulesets.chain import Chain
from tests.long.random_jobs import Facts, leaves, random_job, read, without
from tests.support.javascript import InJavaScript
from tests.support.rulesets import ON


class Phone:
    """Judges jobs in JavaScript, by the whole program of each place."""

    def __init__(self, checker: Checker, javascript: InJavaScript) -> None:
        self.checker, self.javascript = checker, javascript
        self._programs: dict[str, int] = {}

    def program(self, place: Chain) -> int:
        if place.digest not in self._programs:
            data = document(self.checker.whole_program(place))
            self._programs[place.digest] = self.javascript.load(orjson.loads(orjson.dumps(data)))
        return self._programs[place.digest]

    def judged(self, job: Job, **values: Any) -> Any:
        """What is said of a job, of which some facts are handed over with other values."""
        facts = handed(self.checker, job)
        facts["values"] |= values
        return self.javascript.by_program("judged", self.program(self.checker.chain_of(job)), facts)


def handed(checker: Checker, job: Job) -> dict[str, Any]:
    """A job in base units and as it was written."""
    read_so = dict(job.readings)
    return {
        **as_facts(OneJob(checker, job, checker.chain_of(job), ON)),
        "written": {path: reading.written for path, reading in read_so.items()},
        "origins": {path: reading.origin for path, reading in read_so.items() if reading.origin},
        "not_known": dict(job.not_known),
    }


def judged_here(checker: Checker, job: Job) -> list[dict[str, Any]]:
    """The findings of a job's report, in words."""
    return [
        {
            "rule": one.rule, "item": one.item, "outcome": one.outcome, "reason": one.reason,
            "alternatives": [other._asdict() for other in one.alternatives],
            "needs": [need.fact for need in one.needs], "exact": one.needs_exact,
            "title": one.title, "headline": one.headline, "message": one.message, "remedy": one.remedy,
            "record": [{name: getattr(need, name) for name in ("fact", "title", "ask", "detail")} for need in one.needs],
            "workings": [{name: listed(getattr(made, name)) for name in WORKING} for made in one.workings],
            "notes": list(one.notes), "bring": one.bring, "photograph": one.photograph,
            "ask": one.ask, "question": one.question, "asked_of": one.asked_of,
            "answers": [reply._asdict() for reply in one.answers], "sections": [section(cited) for cited in one.citations],
            "limits": [_limit(limit) for limit in one.limits],
        }
        for one in checker.check_job(job, ON).findings
    ]  # fmt: skip


def _limit(used: LimitUsed) -> dict[str, Any]:
    before = used.instead_of
    return {
        "name": used.name, "title": used.title, "value": used.value, "own": used.own, "set_by": used.set_by.source,
        "instead_of": before
        and {"name": before.name, "title": before.title, "value": before.value, "set_by": before.set_by.source},
    }  # fmt: skip


WORKING = (
    "text",
    "values",
    "operators",
    "holds",
    "margin",
    "uncertainty",
    "probability",
    "note",
    "amounts",
    "unit",
    "spread",
)


def listed(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value


def difference(wanted: list[dict[str, Any]], said: list[dict[str, Any]]) -> tuple[Any, Any] | None:
    """The first two findings that differ; None where all are the same."""
    return next((pair for pair in itertools.zip_longest(wanted, said) if pair[0] != pair[1]), None)


def less_recorded(rng: random.Random, bases: list[Facts], checker: Checker, place: str = "") -> Job:
    """A random job, in a place if one is named, of which a random share of facts is left out."""
    while True:
        facts = random_job(rng, bases, checker).facts
        if place:
            facts["site"] = {**facts["site"], "jurisdiction": place, "adopted": []}
        spots = [spot for spot in leaves(facts, checker) if spot[0] != "instruments"]  # readings name them
        for spot in rng.sample(spots, int(len(spots) * rng.choice([0, 0.1, 0.3, 0.6]))):
            facts = without(facts, spot)
        try:
            job = read(facts, checker)
            handed(checker, job)  # no job is judged that tells of an edition which its place does not have
            return job
        except ProblemsFound:
            continue
