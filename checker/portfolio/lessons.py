"""What notices taught: each correction beside the outcome given here, and how often inspections passed.

Of a job that was compared, only lines and counts are kept.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from checker.engine.checker import Checker
from checker.findings.finding import WEIGHTS, Finding
from checker.findings.report import Report
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.portfolio.notice_rules import Candidate, of_place
from checker.portfolio.notice_words import alike, gist
from checker.portfolio.notices import NOT_READY, First, Inspection, firsts, inspections, passes_after
from checker.portfolio.rates import Tally
from checker.problems.problem import did_you_mean
from checker.reading.job import Job

DOES_NOT_APPLY, NO_RULE, NOT_COMPARED = "does_not_apply", "no_rule", "not_compared"
OFTEN = 3  # notices about one rule at one place from which it is proposed as core there
LIKE = 2 / 3  # share of words in common from which two corrections are put together
WORST_FIRST = (FAIL, VERIFY, PASS)
OUTSIDE = "the rulesets are not written for this job"
LATER_PASS = "a later inspection passed; perhaps measured again after the fix"
MONTH_UNKNOWN, PLACE_UNKNOWN = "month not known", "place not recorded"


class ComparedCorrection(NamedTuple):
    """One correction of a notice: where and in which words, and the outcome that this program gave its rule (`ours`).

    `rule` is as the job names it; `title` is empty where it is no rule of ours for the place. `candidates` are the rules
    that the words may be about, where the job names none.
    """

    job: str
    day: str
    place: str
    trade: str
    words: str
    rule: str
    title: str
    ours: str
    note: str
    candidates: tuple[Candidate, ...] = ()

    @property
    def about(self) -> str:
        """The rule that it names, or else the likeliest one; empty where there is none."""
        return self.rule if self.title else next((one.rule for one in self.candidates), "")


class Unmentioned(NamedTuple):
    """A rule that failed here and that no notice of the job named. `unnamed`: corrections that name no rule."""

    job: str
    notices: str
    unnamed: int


class Reweigh(NamedTuple):
    """A rule that notices of a place come back to, and that weighs less than core there."""

    place: str
    rule: str
    title: str
    weight: str
    notices: int


class Comparison(NamedTuple):
    """One job beside its notices."""

    inspections: tuple[Inspection, ...]
    place: str
    told: tuple[ComparedCorrection, ...]
    outcomes: dict[str, str]
    titles: dict[str, str]
    weights: dict[str, str]
    named: frozenset[str]
    accepted: frozenset[str]
    uncompared: tuple[str, ...]
    firsts: tuple[First, ...]


class Group:
    """Corrections that are about no rule of ours, and whose words are like those of the first."""

    def __init__(self, words: str, gist_of: frozenset[str]) -> None:
        self.words, self.said, self.count, self.jobs = words, gist_of, 0, set[str]()


class Lessons:
    """What all jobs so far have taught."""

    def __init__(self, checker: Checker) -> None:
        self.checker = checker
        self.jobs = self.with_inspections = self.inspections = self.with_word = 0
        self.seen_ids: set[str] = set()
        self.twice: list[str] = []
        self.titles: dict[str, str] = {}
        self.told: dict[str, list[ComparedCorrection]] = {}
        self.not_mentioned: dict[str, list[Unmentioned]] = {}
        self.uncompared: list[str] = []
        self.not_counted: list[str] = []
        self.all_firsts, self.by_month, self.by_place, self.by_rule = Tally(), Tally(), Tally(), Tally()
        self.left_open = Tally()  # by rule: how often a notice mentioned what was left to verify here
        self.groups: list[Group] = []
        self.about: dict[tuple[str, str], set[tuple[str, str, str]]] = {}  # by place and rule, the notices about it
        self.weights: dict[tuple[str, str], str] = {}

    def add(self, job: Job) -> None:
        """Learn from one job.

        Raises:
            ProblemsFound: The job cannot be judged; then nothing of it is kept.
        """
        compared = compare(job, self.checker)
        self.jobs += 1
        if job.id in self.seen_ids:
            self.twice.append(job.id)
        self.seen_ids.add(job.id)
        self.with_inspections += bool(compared.inspections)
        self.inspections += len(compared.inspections)
        self.titles.update(compared.titles)
        self.weights |= {(compared.place, rule): weight for rule, weight in compared.weights.items()}
        self.uncompared += compared.uncompared
        self._corrections(compared)
        self._rules(job.id, compared)
        self._first_passes(job.id, compared)

    def rules_to_write(self) -> list[Group]:
        """Groups of corrections that are about no rule of ours, the most frequent first."""
        return sorted(self.groups, key=lambda group: (-group.count, group.words.casefold()))

    def to_weigh_more(self) -> list[Reweigh]:
        """The rules that notices of a place come back to, and that are not core there; the most frequent first."""
        found = [
            Reweigh(place, rule, self.titles[rule], self.weights[place, rule], len(notices))
            for (place, rule), notices in self.about.items()
            if len(notices) >= OFTEN and self.weights[place, rule] != WEIGHTS[0]
        ]
        return sorted(found, key=lambda one: (-one.notices, one.place, one.rule))

    def _corrections(self, compared: Comparison) -> None:
        for correction in compared.told:
            self.told.setdefault(correction.ours, []).append(correction)
            if correction.about:
                notice = (correction.job, correction.day, correction.trade)
                self.about.setdefault((correction.place, correction.about), set()).add(notice)
            elif correction.ours == NO_RULE and not correction.rule:
                group = self._group(correction.words)
                group.count += 1
                group.jobs.add(correction.job)

    def _group(self, words: str) -> Group:
        """The group whose first words are most like these, or a new one."""
        core = gist(words)
        likest = max(self.groups, key=lambda group: alike(group.said, core), default=None)
        if likest is None or alike(likest.said, core) < LIKE:
            likest = Group(words, core)
            self.groups.append(likest)
        return likest

    def _rules(self, job: str, compared: Comparison) -> None:
        spoken = sorted((one for one in compared.inspections if one.told), key=_day)
        notices = ", ".join(one.called for one in spoken)
        unnamed = sum(not correction.rule for one in spoken for correction in one.corrections or ())
        for rule, outcome in compared.outcomes.items():
            mentioned = rule in compared.named
            self.by_rule.add(rule, mentioned)
            if outcome == VERIFY:
                self.left_open.add(rule, mentioned)
            elif outcome == FAIL and rule in compared.accepted:
                self.with_word += not mentioned
            elif outcome == FAIL and not mentioned:
                self.not_mentioned.setdefault(rule, []).append(Unmentioned(job, notices, unnamed))

    def _first_passes(self, job: str, compared: Comparison) -> None:
        for first in compared.firsts:
            if first.unknown:
                self.not_counted.append(f"{job}, {first.trade or 'first inspection'}: {first.unknown}")
                continue
            self.all_firsts.add("all", first.passed)
            self.by_month.add(first.month or MONTH_UNKNOWN, first.passed)
            self.by_place.add(compared.place, first.passed)


def _day(inspection: Inspection) -> tuple[bool, int]:
    """Known days first, in their order."""
    return inspection.days is None, inspection.days.first if inspection.days else 0


def compare(job: Job, checker: Checker) -> Comparison:
    """One job beside what its notices said; each correction as of its inspection's day.

    Raises:
        ProblemsFound: The job cannot be judged.
    """
    seen = inspections(job)
    reports: dict[int, Report] = {}
    for day in {one.days.first for one in seen if one.told and one.days and one.days.known}:
        reports[day] = checker.check_job(job, datetime.date.fromordinal(day))
    corrections = [line for one in seen for line in _told(job, one, seen, _report_of(one, reports), checker)]
    about = {one.about for one in corrections if one.about}
    rules = {rule: checker.chain_of(job).homes["rules", rule].rules[rule] for rule in about}
    first = reports[min(reports)] if reports else None
    judged = first.findings if first else ()
    return Comparison(
        seen,
        job.place or PLACE_UNKNOWN,
        tuple(corrections),
        _outcomes(judged),
        {rule: one.title for rule, one in rules.items()} | {finding.rule: finding.title for finding in judged},
        {rule: one.weight for rule, one in rules.items()} | {finding.rule: finding.weight for finding in judged},
        frozenset[str]().union(*(one.named for one in seen)),
        frozenset(finding.rule for finding in judged if finding.accepted),
        tuple(_uncompared(job.id, seen, first)),
        tuple(firsts(seen)),
    )


def _report_of(inspection: Inspection, reports: dict[int, Report]) -> Report | None:
    return reports.get(inspection.days.first) if inspection.days and inspection.days.known else None


def _outcomes(findings: Iterable[Finding]) -> dict[str, str]:
    """Each rule's outcome, the worst of its items."""
    worst: dict[str, str] = {}
    for finding in findings:
        worst[finding.rule] = min(worst.get(finding.rule, PASS), finding.outcome, key=WORST_FIRST.index)
    return worst


def _told(
    job: Job, inspection: Inspection, all_of_job: tuple[Inspection, ...], report: Report | None, checker: Checker
) -> Iterator[ComparedCorrection]:
    """The corrections of one notice, each with what was said here of its rule."""
    chain = checker.chain_of(job)
    place = job.place or PLACE_UNKNOWN
    outcomes = _outcomes(report.findings) if report else {}
    for correction in inspection.corrections or ():
        rule = correction.rule
        candidates: tuple[Candidate, ...] = ()
        title = chain.homes["rules", rule].rules[rule].title if rule in chain.rule_ids else ""
        if not title:
            hint = did_you_mean(rule, chain.rule_ids) if rule else ""
            ours, note = NO_RULE, f"no rule here for this place. {hint}".strip() if rule else correction.unnamed
            if not rule and not note:
                candidates = of_place(chain, checker.vocabulary).about(correction.words)
        elif report is None or rule in report.left_out:
            ours, note = NOT_COMPARED, "the day is not known" if report is None else OUTSIDE
        else:
            ours, note = outcomes.get(rule, DOES_NOT_APPLY), ""
        if ours in (PASS, DOES_NOT_APPLY) and passes_after(inspection, all_of_job)[0]:
            note = LATER_PASS
        yield ComparedCorrection(
            job.id, inspection.written, place, inspection.trade, correction.words, rule, title, ours, note, candidates
        )


def _uncompared(job: str, seen: tuple[Inspection, ...], first: Report | None) -> Iterator[str]:
    """The inspections that could not be compared, and why."""
    if first and first.nothing_judged:
        yield f"{job}: {OUTSIDE}"
        return
    for one in seen:
        if not one.told:
            ready = "the work was not ready for inspection" if one.result == NOT_READY else ""
            yield f"{job}, {one.called}: {ready or 'what the notice said is not recorded'}"
        elif not (one.days and one.days.known):
            yield f"{job}, {one.called}: the day is not known"
