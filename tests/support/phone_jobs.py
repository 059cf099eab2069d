"""Jobs as the reader in JavaScript gets them, and what the report of a job says, told the same way."""

from __future__ import annotations

import itertools
import random
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from checker.engine.checker import Checker
from checker.engine.for_browser import handed_over
from checker.engine.job_run import OneJob
from checker.fieldwork.interview import as_text
from checker.findings.citations import section
from checker.findings.finding import Finding, LimitUsed
from checker.judging.generated_code import DOES_NOT_APPLY
from checker.problems.problem import ProblemsFound
from checker.reading.job import Job
from checker.reporting.words import sections_of
from checker.rulesets.chain import Chain
from tests.long.random_jobs import Facts, leaves, random_job, read, without
from tests.support.javascript import InJavaScript
from tests.support.rulesets import ON


class Phone:
    """Reads and judges jobs in JavaScript, by what is handed over of each place."""

    def __init__(self, checker: Checker, javascript: InJavaScript) -> None:
        self.checker, self.javascript = checker, javascript
        self._opened: dict[str, int] = {}
        self.held = Counter[str]()  # findings by outcome

    def opened(self, place: Chain) -> int:
        """The number by which a place is known in JavaScript."""
        if place.digest not in self._opened:
            self._opened[place.digest] = self.javascript.open(handed_over(self.checker, place))
        return self._opened[place.digest]

    def judged(self, job: Job, text: str = "") -> Any:
        """What is said of a job, or of another text at the same place."""
        opened = self.opened(self.checker.chain_of(job))
        said = self.javascript.of_opened("reportOf", text or as_text(job.data), ON.isoformat(), opened=opened)
        return [
            {"headline": said["headline"], "not_judged": said["notJudged"]},
            *({name: one.get(name) for name in FIELDS} for one in said["findings"]),
        ]

    def outcomes(self, jobs: Sequence[Job]) -> list[Any]:
        """What is said of each finding of some jobs at one place, as `outcomes_here` has it."""
        texts, opened = [as_text(job.data) for job in jobs], self.opened(self.checker.chain_of(jobs[0]))
        told = self.javascript.of_opened("outcomesOf", texts, ON.isoformat(), opened=opened)
        return [{(rule, item): outcome for rule, item, outcome, *_ in job} for job in told]

    def reasons(self, job: Job) -> Any:
        """The findings of a job without words, as `reasons_here` has them."""
        opened = self.opened(self.checker.chain_of(job))
        return self.javascript.of_opened("outcomesOf", [as_text(job.data)], ON.isoformat(), opened=opened)[0]


def outcomes_here(checker: Checker, job: Job) -> dict[tuple[str, str], str]:
    """The outcome of each rule at each item where it applies: what a batch without words is made of."""
    return {
        (rule, row.item): outcome
        for row in checker.outcomes(job, ON)
        for rule, outcome in zip(row.rules, row.outcomes, strict=True)
        if outcome != DOES_NOT_APPLY
    }


def reasons_here(checker: Checker, job: Job) -> list[list[Any]]:
    """Of each finding the rule, the item, the outcome, why, what it needs, whether that is exact, and if it is accepted."""
    return [
        [one.rule, one.item, one.outcome, one.reason, [need.fact for need in one.needs], one.needs_exact, one.accepted]
        for one in checker.check_job(job, ON).findings
    ]


def judged_here(checker: Checker, job: Job) -> list[dict[str, Any]]:
    """The headline of a job's report, what was not judged, and its findings in words."""
    report = checker.check_job(job, ON)
    not_judged = [{**one._asdict(), "why": list(one.why), "rules": list(one.rules)} for one in report.not_judged]
    return [
        {"headline": report.headline, "not_judged": not_judged},
        *(_finding(checker, one) for one in report.findings),
    ]


def _finding(checker: Checker, one: Finding) -> dict[str, Any]:
    return {
        "rule": one.rule, "item": one.item, "outcome": one.outcome, "reason": one.reason,
        "alternatives": [other._asdict() for other in one.alternatives],
        "needs": [need.fact for need in one.needs], "exact": one.needs_exact,
        "title": one.title, "headline": one.headline, "message": one.message, "remedy": one.remedy,
        "record": [{name: getattr(need, name) for name in ("fact", "title", "ask", "detail")} for need in one.needs],
        "workings": [{name: listed(getattr(made, name)) for name in WORKING} for made in one.workings],
        "notes": list(one.notes), "bring": one.bring, "photograph": one.photograph,
        "ask": one.ask, "question": one.question, "asked_of": one.asked_of,
        "answers": [reply._asdict() for reply in one.answers], "sections": [section(cited) for cited in one.citations],
        "cited": sections_of(one),
        "limits": [_limit(limit) for limit in one.limits],
        "station": checker.vocabulary.stations[one.station].name, "weight": one.weight,
        "lifeSafety": one.life_safety, "practice": one.practice, "id": one.finding_id, "evidence": one.evidence_digest,
        "acceptance": one.acceptance and one.acceptance._asdict(), "accepted": one.accepted,
    }  # fmt: skip


def _limit(used: LimitUsed) -> dict[str, Any]:
    before = used.instead_of
    return {
        "name": used.name, "title": used.title, "value": used.value, "own": used.own, "set_by": used.set_by.source,
        "instead_of": before
        and {"name": before.name, "title": before.title, "value": before.value, "set_by": before.set_by.source},
    }  # fmt: skip


FIELDS = (
    "rule", "item", "outcome", "reason", "alternatives", "needs", "exact", "title", "headline", "message", "remedy", "record",
    "workings", "notes", "bring", "photograph", "ask", "question", "asked_of", "answers", "sections", "cited", "limits",
    "station", "weight", "lifeSafety", "practice", "id", "evidence", "acceptance", "accepted",
)  # fmt: skip
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


def difference(wanted: list[Any], said: list[Any]) -> tuple[Any, Any] | None:
    """The first two findings that differ; None where all are the same."""
    return next((pair for pair in itertools.zip_longest(wanted, said) if pair[0] != pair[1]), None)


def at_one_place(checker: Checker, jobs: Iterable[Job]) -> Iterator[list[Job]]:
    """Jobs together with all others of the same place."""
    found: dict[str, list[Job]] = {}
    for job in jobs:
        found.setdefault(checker.chain_of(job).digest, []).append(job)
    yield from found.values()


def differing(phone: Phone, jobs: Sequence[Job], *, reasons_every: int, words_every: int) -> Iterator[tuple[str, Any]]:
    """The jobs of which JavaScript says something else, each with what both say: outcomes of all, of some all that is said.

    Args:
        reasons_every: Of every so many jobs at a place the reasons and needs are held as well.
        words_every: Of every so many every word.
    """
    for some in at_one_place(phone.checker, jobs):
        for number, (job, there) in enumerate(zip(some, phone.outcomes(some), strict=True)):
            here = outcomes_here(phone.checker, job)
            phone.held.update(here.values())
            if here != there:
                keys = sorted(here.keys() | there.keys())
                yield job.id, [(key, here.get(key), there.get(key)) for key in keys if here.get(key) != there.get(key)]
                continue
            each = [(reasons_every, reasons_here, phone.reasons), (words_every, judged_here, phone.judged)]
            due = ((told(phone.checker, job), said(job)) for every, told, said in each if number % every == 0)
            if found := next(filter(None, itertools.starmap(difference, due)), None):
                yield job.id, found


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
            OneJob(checker, job, checker.chain_of(job), ON)  # none is judged by an edition that its place does not have
            return job
        except ProblemsFound:
            continue
