"""What a change of a ruleset does to jobs that were kept: which outcomes change, which way, for which rule.

Two checkers judge each job, one with the ruleset as it was and one as it is to be. Jobs come one at a time; what is kept
of them is counts and one example for each rule and way, so that an archive of any size takes the memory of one job.
"""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from checker.engine.checker import Checker
from checker.findings.report import Report
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.judging.generated_code import DOES_NOT_APPLY
from checker.reading.job import Job
from checker.rulesets.chain import Chain

NO_RULE = "no_rule"  # the rule is not among those of the place
NOT_JUDGED = "not_judged"  # its ruleset is not written for the job

# How bad an outcome is, the worst last: which way a change goes.
ORDER = (NOT_JUDGED, NO_RULE, DOES_NOT_APPLY, PASS, VERIFY, FAIL)


class Way(NamedTuple):
    """One rule changing from one outcome to another. `rule` is the name it has afterwards, or had if it is gone."""

    rule: str
    before: str
    after: str

    @property
    def order(self) -> tuple[int, int, str]:
        """Sort key: what newly fails first, then what is newly open, what no longer fails, and the rest."""
        return -ORDER.index(self.after), -ORDER.index(self.before), self.rule


class Change(NamedTuple):
    """One outcome of one job that changes. `formerly` is the rule's name before, where it had another."""

    job: str
    file: str
    rule: str
    formerly: str
    title: str
    item: str
    before: str
    after: str

    @property
    def way(self) -> Way:
        return Way(self.rule, self.before, self.after)


class Row(NamedTuple):
    """What becomes of one rule one way: in how many jobs, of how many items in them, and the first of those jobs."""

    way: Way
    title: str
    jobs: int
    items: int
    example: str


class Exits(NamedTuple):
    """Exit codes of `changeout check`, before and after."""

    before: int
    after: int


class Impact:
    """Counts over an archive.

    Args:
        before, after: The rulesets as they were and as they are to be.
        on: The day that acceptances and reviews are looked at.
    """

    def __init__(self, before: Checker, after: Checker, on: datetime.date) -> None:
        self.before, self.after, self.on = before, after, on
        self.jobs = self.changed = 0
        self.exits: Counter[Exits] = Counter()
        self._renamed: dict[str, dict[str, str]] = {}
        self._jobs: Counter[Way] = Counter()
        self._items: Counter[Way] = Counter()
        self._first: dict[Way, tuple[str, str]] = {}

    def add(self, was: Job, is_now: Job) -> list[Change]:
        """Take in one job, as each side reads it.

        Returns:
            What changes of it, in the order of rules.

        Raises:
            ProblemsFound: One of the sides cannot judge it.
        """
        reports = self._reports(was, is_now)
        changes = list(self._changes(is_now, *reports))
        self.jobs += 1
        self.changed += bool(changes)
        self._items.update(change.way for change in changes)
        self._jobs.update({change.way for change in changes})
        for change in changes:
            self._first.setdefault(change.way, (change.title, change.job))
        codes = Exits(*(report.exit_code(False) for report in reports))
        if codes.before != codes.after:
            self.exits[codes] += 1
        return changes

    def rows(self) -> list[Row]:
        """What changes, a row for each rule and way, those that newly fail first."""
        return [
            Row(way, self._first[way][0], self._jobs[way], self._items[way], self._first[way][1])
            for way in sorted(self._jobs, key=lambda way: way.order)
        ]

    def _reports(self, was: Job, is_now: Job) -> tuple[Report, Report]:
        """A job's reports; where the place has the same rulesets before and after, they are one."""
        after = self.after.check_job(is_now, self.on)
        if self.before.chain_of(is_now).digest == self.after.chain_of(is_now).digest:
            return after, after
        return self.before.check_job(was, self.on), after

    def _changes(self, job: Job, before: Report, after: Report) -> Iterator[Change]:
        chains = self.before.chain_of(job), self.after.chain_of(job)
        renamed = self._names(*chains)
        outcomes = _said(before, renamed), _said(after, {})
        formerly = {name: old for old, name in renamed.items()}
        for rule, item in sorted(outcomes[0].keys() | outcomes[1].keys()):
            old = formerly.get(rule, rule)
            was = outcomes[0].get((rule, item)) or _silent(before, chains[0], old)
            is_now = outcomes[1].get((rule, item)) or _silent(after, chains[1], rule)
            if was != is_now:
                title = _title(chains[1], rule) or _title(chains[0], old)
                yield Change(job.id, job.file, rule, old if old != rule else "", title, item, was, is_now)

    def _names(self, before: Chain, after: Chain) -> dict[str, str]:
        """The names afterwards of rules that had others before, at one place."""
        if before.place not in self._renamed:
            self._renamed[before.place] = renamed(before, after)
        return self._renamed[before.place]


def renamed(before: Chain, after: Chain) -> dict[str, str]:
    """Each rule's name before → its name afterwards, where it has another; `formerly` tells, on whichever side it stands."""
    old, new = set(before.rule_ids), set(after.rule_ids)
    forth = {name: rule for rule in new - old for name in _formerly(after, rule) if name in old - new}
    back = {rule: name for rule in old - new for name in _formerly(before, rule) if name in new - old}
    return back | forth


def _formerly(chain: Chain, rule: str) -> list[str]:
    return chain.homes["rules", rule].rules[rule].formerly


def _said(report: Report, renamed: Mapping[str, str]) -> dict[tuple[str, str], str]:
    """The outcome of each rule, by the name it has afterwards, at each item."""
    return {(renamed.get(finding.rule, finding.rule), finding.item): finding.outcome for finding in report.findings}


def _silent(report: Report, chain: Chain, rule: str) -> str:
    """Why a report has no finding of a rule."""
    if rule in report.left_out:
        return NOT_JUDGED
    return DOES_NOT_APPLY if ("rules", rule) in chain.homes else NO_RULE


def _title(chain: Chain, rule: str) -> str:
    home = chain.homes.get(("rules", rule))
    return home.rules[rule].title if home else ""
