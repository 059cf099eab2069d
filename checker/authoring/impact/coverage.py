"""What an archive of jobs exercised of the rules: which of them, which of their lines and branches, which editions and days.

A rule is exercised where it passed or failed some job; being asked is not enough. Jobs come one at a time, and what is
kept of them is counts.
"""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Iterator
from typing import NamedTuple

from checker.engine.checker import Checker
from checker.ir import tree
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.ir.visitor import inner_conditions
from checker.judging.conditions import truth
from checker.judging.generated_code import DOES_NOT_APPLY
from checker.judging.judge import Judged
from checker.reading.job import Job
from checker.rulesets.applicability import Versions
from checker.rulesets.chain import Chain
from checker.rulesets.periods import first_days
from checker.rulesets.ruleset import Ruleset, edition_within

HOLDS, BROKEN, OPEN = "holds", "broken", "open"


class Version(NamedTuple):
    """An edition of the rule's own code ("" where it has none) and the first day (a day number) of a period of the rule."""

    edition: str
    starts: int


class Branch(NamedTuple):
    """One way to meet an `any_of`, and in how many jobs it was met, not met, or could not be told."""

    words: str
    met: int
    unmet: int
    open: int


class Line(NamedTuple):
    """A line of `require`, in how many jobs it held, was broken or could not be told, and the branches inside it."""

    words: str
    held: int
    broken: int
    open: int
    branches: tuple[Branch, ...]

    @property
    def decided(self) -> bool:
        return bool(self.held or self.broken)


class Covered(NamedTuple):
    """What jobs exercised of one rule: numbers of jobs; one that passes on one item and fails on another counts for both.

    `applied` counts the jobs with a finding; `used` and `unused` are versions of the rule, those used with their jobs.
    """

    rule: str
    ruleset: str
    title: str
    applied: int
    passed: int
    failed: int
    open: int
    lines: tuple[Line, ...]
    used: tuple[tuple[Version, int], ...]
    unused: tuple[Version, ...]

    @property
    def exercised(self) -> bool:
        return bool(self.passed or self.failed)


# What happened to a rule in a job: its kind, and of what part of the rule.
Mark = tuple[str, str, str]


class Coverage:
    """Counts over an archive, for every rule of the places that its jobs are in."""

    def __init__(self, checker: Checker, on: datetime.date) -> None:
        self.checker, self.on = checker, on
        self.jobs = self.not_judged = 0
        self._marks: Counter[tuple[str, Mark]] = Counter()
        self._versions: Counter[tuple[str, Version]] = Counter()
        self._homes: dict[str, Ruleset] = {}
        self._possible: dict[str, dict[Version, None]] = {}
        self._lines: dict[str, dict[str, dict[str, None]]] = {}
        self._chains: set[str] = set()
        self._met: set[str] = set()
        self._starts: dict[tuple[str, str], list[int]] = {}

    def add(self, job: Job) -> None:
        """Take in one job.

        Raises:
            ProblemsFound: It cannot be judged.
        """
        chain = self.checker.chain_of(job)
        report = self.checker.check_job(job, self.on)
        outcomes: dict[str, set[str]] = {}
        for finding in report.findings:
            outcomes.setdefault(finding.rule, set()).add(finding.outcome)
        versions = Versions(job, chain)
        marked = {rule: set(self._marks_of(job, rule, its_outcomes)) for rule, its_outcomes in outcomes.items()}
        used = {rule: self._used(chain, rule, versions) for rule in outcomes}
        self._meet(chain)
        self.jobs += 1
        self.not_judged += bool(report.not_judged)
        self._marks.update((rule, mark) for rule, marks in marked.items() for mark in marks)
        self._versions.update((rule, version) for rule, versions in used.items() for version in versions)

    def rules(self) -> Iterator[Covered]:
        """Every rule of the places met, by ruleset, in the order in which they are written."""
        by_rule: dict[str, dict[Mark, int]] = {}
        for (rule, mark), jobs in self._marks.items():
            by_rule.setdefault(rule, {})[mark] = jobs
        for rule, home in self._homes.items():
            counted = by_rule.get(rule, {})
            used = tuple((v, self._versions[rule, v]) for v in self._possible[rule] if self._versions[rule, v])
            passed, failed, left_open = (counted.get(("outcome", outcome, ""), 0) for outcome in (PASS, FAIL, VERIFY))
            yield Covered(
                rule,
                home.id,
                home.rules[rule].title,
                counted.get(("applied", "", ""), 0),
                passed,
                failed,
                left_open,
                tuple(self._counted_lines(rule, counted)),
                used,
                tuple(v for v in self._possible[rule] if not self._versions[rule, v]),
            )

    def places_not_met(self) -> list[str]:
        """The rulesets of which no job is in the place."""
        return sorted(set(self.checker.library.rulesets) - self._met)

    # --- one job ---

    def _marks_of(self, job: Job, rule_id: str, outcomes: set[str]) -> Iterator[Mark]:
        """What a job exercised of one rule, each thing once."""
        yield "applied", "", ""
        yield from (("outcome", outcome, "") for outcome in outcomes)
        for rule, judged in self.checker.judged(job, rule_id, self.on):
            if judged.verdict.outcome != DOES_NOT_APPLY and not judged.place.missing:
                yield from self._lines_of(rule, judged)

    def _lines_of(self, rule: tree.BoundRule, judged: Judged) -> Iterator[Mark]:
        known = self._lines.setdefault(rule.id, {})
        for condition in rule.require.conditions:
            line = words(condition)
            inside = known.setdefault(line, {})
            yield _told(condition, judged), line, ""
            for branch in _branches(condition):
                way = branch.option or words(branch.condition)
                inside.setdefault(way)
                yield _told(branch.condition, judged), line, way

    def _used(self, chain: Chain, rule_id: str, versions: Versions) -> set[Version]:
        """The versions of a rule that could hold for a job."""
        code = chain.homes["rules", rule_id].id
        starts = self._first_days(chain, rule_id)
        return {
            Version(dict(setting.editions).get(code) or "", max(day for day in starts if day <= setting.day))
            for setting in versions.settings(rule_id)
        }

    # --- what there is ---

    def _meet(self, chain: Chain) -> None:
        """Take in the rules of a place, exercised or not."""
        if chain.digest in self._chains:
            return
        self._chains.add(chain.digest)
        self._met.update(chain.by_id)
        for rule_id in chain.rule_ids:
            self._homes.setdefault(rule_id, chain.homes["rules", rule_id])
            possible = self._possible.setdefault(rule_id, {})
            starts = self._first_days(chain, rule_id)
            possible |= dict.fromkeys(Version(edition, day) for edition in _editions(chain, rule_id) for day in starts)

    def _first_days(self, chain: Chain, rule_id: str) -> list[int]:
        """The first day of each period of a rule at a place."""
        key = (chain.digest, rule_id)
        if key not in self._starts:
            self._starts[key] = first_days(chain, {rule_id, *chain.limits_named(rule_id)})
        return self._starts[key]

    def _counted_lines(self, rule: str, counted: dict[Mark, int]) -> Iterator[Line]:
        for line, branches in self._lines.get(rule, {}).items():
            inside = tuple(Branch(way, *_times(counted, line, way)) for way in branches)
            yield Line(line, *_times(counted, line, ""), inside)


def _times(counted: dict[Mark, int], line: str, branch: str) -> tuple[int, int, int]:
    """In how many jobs a line, or a branch in it, held, was broken, could not be told."""
    held, broken, unknown = (counted.get((ending, line, branch), 0) for ending in (HOLDS, BROKEN, OPEN))
    return held, broken, unknown


def _told(condition: tree.Condition, judged: Judged) -> str:
    holds = truth(condition, judged.scope)
    return OPEN if not isinstance(holds, bool) else HOLDS if holds else BROKEN


def _branches(condition: tree.Condition) -> Iterator[tree.Branch]:
    """The branches of every `any_of` in a line."""
    if isinstance(condition, tree.AnyOf):
        for branch in condition.branches:
            yield branch
            yield from _branches(branch.condition)
        return
    for part in inner_conditions(condition):
        yield from _branches(part)


def words(condition: tree.Condition) -> str:
    """A condition as its rule writes it, on one line."""
    if isinstance(condition, tree.AnyOf):
        return "any of: " + "; ".join(branch.option or words(branch.condition) for branch in condition.branches)
    if isinstance(condition, tree.NoneOf):
        return "none of: " + "; ".join(map(words, condition.conditions))
    if isinstance(condition, tree.All):
        return " and ".join(map(words, condition.conditions))
    return " ".join(condition.text.split())


def _editions(chain: Chain, rule_id: str) -> list[str]:
    home = chain.homes["rules", rule_id]
    within = home.rules[rule_id].editions
    return [edition for edition in home.header.editions if edition_within(within, edition)] or [""]
