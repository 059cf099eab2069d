"""Whole jobs in JavaScript: the findings of the report, under every edition and day that could hold, and every word of them.

Outcome, reason, needs, what the versions say, headline, message, remedy, question with what follows from each answer, what to
bring, photograph and record, sections, limits, workings with margins, and notes.
"""

from __future__ import annotations

import contextlib
import copy
import datetime
import random
from collections.abc import Iterable
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.fieldwork.interview import as_text
from checker.ir.kleene import Range
from checker.problems.problem import ProblemsFound
from checker.reading.job import Job
from tests.long.random_jobs import Facts, Spot, at, changed, leaves, put, read, without, worked, written
from tests.support.javascript import InJavaScript
from tests.support.phone_jobs import Phone, difference, differing, judged_here, less_recorded
from tests.support.rulesets import ON

SEED, FEW, MANY, PARTS = 26, 15, 1000, 4


@pytest.fixture(scope="module")
def phone(shipped: Checker) -> Phone:
    return Phone(shipped, InJavaScript())


def in_every_word(phone: Phone, jobs: Iterable[Job]) -> list[Any]:
    """The first finding of each job that is another in JavaScript."""
    found = ((job.id, difference(judged_here(phone.checker, job), phone.judged(job))) for job in jobs)
    return [one for one in found if one[1]]


def test_jobs_of_a_county_come_to_what_their_reports_say(phone: Phone) -> None:
    """The outcomes of all, reasons and needs of every twentieth, every word of the first; `long` has many more."""
    bases = worked()
    whole = read({**bases[0], "site": {**bases[0]["site"], "jurisdiction": "xx-sorrel"}}, phone.checker)
    rng = random.Random(SEED)
    jobs = [whole, *(less_recorded(rng, bases, phone.checker, "xx-sorrel") for _ in range(FEW))]
    assert [*differing(phone, jobs, reasons_every=20, words_every=len(jobs))] == []


def test_a_job_that_tells_of_no_edition_that_is_shipped_is_refused(phone: Phone) -> None:
    """The page must not judge by another edition than the one that the job names."""
    adopted = [{"key": "nec", "code": "nec", "edition": "2020"}]
    facts = {"job_id": "a", "schema_version": 1, "site": {"jurisdiction": "xx-sorrel", "adopted": adopted}}
    job = read(facts, phone.checker)
    with pytest.raises(Exception, match="'nec 1066' is not an edition that is shipped"):
        phone.judged(job, as_text({**facts, "site": {**facts["site"], "adopted": [{**adopted[0], "edition": "1066"}]}}))


def test_a_job_that_records_answers_of_the_authority_is_refused(phone: Phone) -> None:
    told = {"key": "one", "rule": "disconnect-within-sight", "answer": "yes"}
    facts = {"job_id": "a", "schema_version": 1, "site": {"jurisdiction": "xx-sorrel"}, "authority_answers": [told]}
    with pytest.raises(Exception, match="not read here: judge this job with changeout check"):
        phone.judged(read(facts, phone.checker))


def test_a_day_between_two_days_in_a_list_is_asked_for_where_it_stands(phone: Phone) -> None:
    """In both readers; the second of two permits is not any permit."""
    permits = [
        {"key": "mechanical", "trade": "mechanical", "expires": "2030-01-01"},
        {"key": "electrical", "trade": "electrical", "expires": {"between": ["2025-01-01", "2027-01-01"]}},
    ]
    facts = {"job_id": "a", "schema_version": 1, "site": {"jurisdiction": "xx-sorrel"}, "permit": {"obtained": True}}
    job = read({**facts, "permits": permits, "dates": {"work_finished": "2026-05-01"}}, phone.checker)
    between = job.value("permits.1.expires")
    assert isinstance(between, Range)
    assert [cause.fact for cause in between.causes] == ["permits.1.expires"]
    assert in_every_word(phone, [job]) == []


CHANGES = 6


@pytest.mark.parametrize("seed", ["quick", *(pytest.param(f"long {n}", marks=pytest.mark.long) for n in range(10))])
def test_a_job_that_changes_fact_by_fact_is_judged_as_if_it_were_new(phone: Phone, seed: str) -> None:
    """Only rules that read the fact are judged again in JavaScript: the words of all others are those of the job as it is."""
    rng, facts = random.Random(f"{SEED} {seed}"), copy.deepcopy(worked()[rng_of(seed)])
    facts["site"] = {**facts.get("site", {}), "jurisdiction": "xx-sorrel", "adopted": []}
    jobs = [read(facts, phone.checker)]
    for _ in range(CHANGES):
        spots = [spot for spot in leaves(facts, phone.checker) if spot[0] not in ("site", "instruments")]
        facts = changed_at(rng, facts, rng.choice(spots), phone.checker)
        with contextlib.suppress(ProblemsFound):
            jobs.append(read(facts, phone.checker))
    assert in_every_word(phone, jobs) == []


def rng_of(seed: str) -> int:
    """Which of the worked jobs a run begins with."""
    return sum(map(ord, seed)) % len(worked())


def changed_at(rng: random.Random, facts: Facts, spot: Spot, checker: Checker) -> Facts:
    """A job with another value for one fact, or without it."""
    leaf = checker.vocabulary.leaf(written(spot))
    if leaf is None or rng.random() < 0.4:
        return without(facts, spot)
    other = copy.deepcopy(facts)
    put(other, spot, changed(rng, leaf, at(facts, spot)))
    return other


@pytest.mark.long
def test_every_worked_job_comes_to_what_its_report_says(phone: Phone) -> None:
    jobs = [read(facts, phone.checker) for facts in (*worked(), *accepted_no_longer())]
    assert in_every_word(phone, jobs) == []
    said = [one for job in jobs for one in phone.judged(job)[1:]]
    assert sum(bool(one["acceptance"]) for one in said) > 1
    assert sum("Settle first: " in one["remedy"] for one in said) > 1
    for field in ("message", "remedy", "record", "notes", "alternatives", "answers", "bring", "limits"):
        assert sum(bool(one[field]) for one in said) > 30, field
    assert sum(bool(made["uncertainty"]) for one in said for made in one["workings"]) > 30


def accepted_no_longer() -> list[Facts]:
    """A failure that an office accepted: until yesterday, and by a letter about another finding."""
    (job,) = [facts for facts in worked() if facts.get("acceptances")]
    (accepted,) = job["acceptances"]
    others = ({"until": str(ON - datetime.timedelta(days=1))}, {"evidence_digest": "0" * 16})
    return [{**job, "acceptances": [{**accepted, **other}]} for other in others]


STATES = ("GA", "CA", "XN", "XE", "XW")  # of one code, of another, and the invented ones


def in_state(phone: Phone, state: str, told: dict[str, str]) -> Job:
    """The first worked job, at a place of which the state alone is known, with the editions that the office told."""
    site = {name: value for name, value in worked()[0]["site"].items() if name not in ("jurisdiction", "adopted")}
    adopted = [{"key": code, "code": code, "edition": edition} for code, edition in told.items()]
    return read({**worked()[0], "site": {**site, "state": state, "adopted": adopted}}, phone.checker)


@pytest.mark.parametrize("told", [{}, {"nec": "2023"}], ids=str)
def test_an_edition_that_is_only_published_is_marked_until_the_office_told_it(
    phone: Phone, told: dict[str, str]
) -> None:
    job = in_state(phone, "OH", told)
    assert [] == in_every_word(phone, [job])
    cited = [one["cited"] for one in phone.judged(job)[1:]]
    assert (not told) == any("NEC 2023 (as published for Ohio, ask the office), " in one for one in cited)


@pytest.mark.long
@pytest.mark.parametrize("told", [{}, {"nec": "2017"}, {"umc-mechanical": "2021"}], ids=str)
def test_so_does_a_job_that_names_its_state_alone(phone: Phone, told: dict[str, str]) -> None:
    """What is published of a state counts there, and the office's word before it."""
    assert [] == in_every_word(phone, [in_state(phone, state, told) for state in STATES])


@pytest.mark.long
@pytest.mark.parametrize("part", range(PARTS))
def test_a_thousand_jobs_at_random_come_to_what_their_reports_say(phone: Phone, part: int) -> None:
    """With facts left out. `tests/long/phone.py` goes on with as many as there is time for."""
    rng, bases = random.Random(f"{SEED} {part}"), worked()
    jobs = [less_recorded(rng, bases, phone.checker) for _ in range(MANY // PARTS)]
    assert [*differing(phone, jobs, reasons_every=10, words_every=50)] == []
