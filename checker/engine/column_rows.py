"""How packed jobs stand, rule by rule: the outcomes that `outcome_rows` gives for one job, for many at once.

Jobs that are asked the same are judged together, over columns. What these leave open the walk settles, place by place; a job
whose own answers, doubted readings or uncertain dates make it unlike all others is the walk's alone.
"""

from __future__ import annotations

import datetime
import functools
from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

import numpy as np

from checker.engine.checker import Checker
from checker.engine.job_columns import JobRows, Packed, places
from checker.engine.job_run import OneJob
from checker.engine.plan import Plan
from checker.ir import tree
from checker.ir.references import patterns_read
from checker.judging.columns import trial
from checker.judging.columns.column import Column, Flags, Numbers, alike
from checker.judging.columns.outcomes import NAMES, NONE_APPLY, WALK, Outcomes, Ready, agreed, unlisted
from checker.judging.judge import Place
from checker.problems.problem import ProblemsFound
from checker.reading.packed_jobs import DOUBTED, JOBS, KEY
from checker.rulesets.applicability import days_of
from checker.rulesets.chain import Chain

CODES = {name: code for code, name in enumerate(NAMES)}
MOST_HELD = 2000  # jobs of a part that are held ready for the walk


class Said(NamedTuple):
    """What a rule says at some places: the job of each place by its row, the key of the list item there (or nothing), and the
    outcome as a number of `outcomes.NAMES`."""

    rule: str
    jobs: Numbers
    items: Sequence[str]
    outcomes: Outcomes


class Asked(NamedTuple):
    """A rule under each edition and day that could hold, and the jobs that are asked it so, in order."""

    name: str
    rules: tuple[tree.BoundRule | None, ...]
    jobs: Numbers


class Counts:
    """How many places columns settled, and how many the walk did; how many jobs were the walk's alone."""

    def __init__(self) -> None:
        self.by_columns = self.by_walk = self.jobs_by_walk = 0


class ColumnRun:
    """The packed jobs of one part before some rulesets."""

    def __init__(self, checker: Checker, packed: Packed, on: datetime.date, counts: Counts) -> None:
        self.checker, self.packed, self.on, self.counts = checker, packed, on, counts
        self.unusable: dict[int, ProblemsFound] = {}
        self.ready: dict[int, Ready] = {}
        self._job = functools.lru_cache(MOST_HELD)(self._made)

    def said(self) -> Iterator[Said]:
        """What the rules say of every job; jobs that cannot be judged are named in `unusable`."""
        asked, alone = self.asked()
        for one in asked.values():
            yield from self.judged(one, one.jobs)
        yield from self.walked(alone)

    def asked(self) -> tuple[dict[tuple[int, ...], Asked], Numbers]:
        """What jobs are asked: each rule under all that could hold, by the identity of its versions; and the walk's own jobs."""
        alone = self._alone()
        found: dict[tuple[int, ...], tuple[str, tuple[tree.BoundRule | None, ...], list[Numbers]]] = {}
        for rows in alike(self._of_place(), np.flatnonzero(~alone)):
            try:
                self._of_chain(rows, alone, found)
            except ProblemsFound:  # one of them says so of itself
                alone[rows] = True
        asked = {
            key: Asked(name, rules, np.sort(np.concatenate(jobs)[~alone[np.concatenate(jobs)]]))
            for key, (name, rules, jobs) in found.items()
        }
        return asked, np.flatnonzero(alone)

    def walked(self, jobs: Numbers) -> Iterator[Said]:
        """What the rules say of jobs by the walk alone."""
        for row in jobs.tolist():
            self.counts.jobs_by_walk += 1
            try:
                yield from self._walked(row)
            except ProblemsFound as found:
                self.unusable[row] = found

    # --- jobs that are asked the same ---

    def _alone(self) -> Flags:
        """The jobs that are the walk's alone."""
        found = np.zeros(len(self.packed), bool)
        answers = self.checker.vocabulary.at("authority_answers")
        if answers in self.packed.tables:
            found |= self.packed.inside(answers)[1] > 0
        doubted = self.packed.text(DOUBTED)
        found |= np.array([bool(one) for one in doubted], bool)
        return found

    def _of_place(self) -> list[Numbers | np.ndarray]:
        """What decides which rulesets hold for a job: its place, its state, and the editions that its office told."""
        vocabulary = self.checker.vocabulary
        keys = [
            _key(self.packed.column(JOBS, vocabulary.at(role))) for role in ("place", "state") if vocabulary.at(role)
        ]
        adopted = vocabulary.at("adopted")
        return [*keys, self._told(adopted)] if adopted in self.packed.tables else keys

    def _told(self, adopted: str) -> np.ndarray:
        """A number for each different list of editions that jobs say are adopted."""
        first, many = self.packed.inside(adopted)
        known = self.packed.tables[adopted].column_names
        fields = [self.checker.vocabulary.at(f"adopted.{field}", 0).rpartition(".")[2] for field in ("code", "edition")]
        texts = [self.packed.text(field, adopted) for field in fields if field in known]
        numbers: dict[object, int] = {}
        found = np.zeros(len(many))
        for row in np.flatnonzero(many > 0).tolist():
            at = range(first[row], first[row] + many[row])
            told = tuple(tuple(text[index] for text in texts) for index in at)
            found[row] = numbers.setdefault(told, len(numbers) + 1)
        return found

    def _of_chain(self, rows: Numbers, alone: Flags, asked: dict[tuple[int, ...], Any]) -> None:
        """Find what jobs are asked that are under the same rulesets; those that differ from all others are `alone`."""
        chain = self.checker.chain_of(self._job(int(rows[0])).job)
        calendar = days_of(chain)
        keys: list[np.ndarray] = []
        for path in filter(None, calendar.paths):
            day = self.packed.column(JOBS, path)
            cuts = np.searchsorted(np.array(calendar.cuts), day.values, side="right")
            keys.append(np.where(np.isnan(day.values), -1, cuts))
            keys.append(day.is_none)
            alone |= day.lies_between
        for path in sorted(self._in_lines(chain)):
            keys += [_key(self.packed.column(JOBS, path))]
        for jobs in alike(keys, rows[~alone[rows]]):
            plan: Plan = self._job(int(jobs[0])).plan
            versions: list[tuple[str, tuple[tree.BoundRule | None, ...]]] = [
                (one, (rule,))
                for for_each, group in plan.alone.items()
                for one, rule in zip(plan.names[for_each], group.rules, strict=True)
            ]
            versions += [(one.rule, tuple(variant.rule for variant in one.variants)) for one in plan.others]
            for name, rules in versions:
                asked.setdefault((*map(id, rules),), (name, rules, []))[2].append(jobs)

    def _in_lines(self, chain: Chain) -> set[str]:
        """The facts that decide which rulesets are written for a job."""
        lines = self.checker.written_for(chain, self.on.toordinal())
        return {path for many in lines.values() for line in many for path in patterns_read(line.condition, {}, ())}

    # --- judged together ---

    def judged(self, asked: Asked, jobs: Numbers) -> Iterator[Said]:
        """What a rule says of the jobs that are asked it; what its versions come to together, where several could hold."""
        lists = {rule.for_each for rule in asked.rules if rule}
        if len(lists) > 1:
            for row in jobs.tolist():
                yield from self._walked(row, frozenset([asked.name]))
        for for_each in lists if len(lists) == 1 else ():
            for rows in places(self.packed, for_each, jobs):
                if len(rows):
                    outcomes = agreed(self._settled(rule, for_each, rows) for rule in asked.rules)
                    yield Said(asked.name, rows.jobs, self._keys(for_each, rows), outcomes)

    def _settled(self, rule: tree.BoundRule | None, for_each: tuple[str, ...], rows: JobRows) -> Outcomes:
        """The outcomes of one rule at some places, each settled."""
        if rule is None:
            return np.full(len(rows), NONE_APPLY, np.int8)
        domain = self.checker.functions.domain
        inside = rows.path != for_each[0] if for_each else False
        found = unlisted(rule, rows, domain, inside) if rows.unlisted else trial.judged(self._ready(rule), rows)
        left = np.flatnonzero(found == WALK)
        self.counts.by_columns += len(rows) - len(left)
        self.counts.by_walk += len(left)
        for same in alike(self._hangs_on(rule, rows.taken(left)), np.arange(len(left))):
            at = int(left[same[0]])
            one = self._job(int(rows.jobs[at]))
            found[left[same]] = CODES[one.outcome_at(rule, self._place(for_each, rows, at))]
        return found

    def _hangs_on(self, rule: tree.BoundRule, rows: JobRows) -> list[np.ndarray]:
        """All that the outcome of a rule hangs on at some places: its facts, or the place itself where they are not all."""
        ready = self._ready(rule)
        if ready.hangs_on_more:
            return [np.arange(len(rows))]
        return [_key(rows.fact(fact)) for fact in ready.exactness.facts] or [np.zeros(len(rows))]

    def _ready(self, rule: tree.BoundRule) -> Ready:
        if id(rule) not in self.ready:
            self.ready[id(rule)] = Ready(rule, self.checker.functions.domain)
        return self.ready[id(rule)]

    # --- the walk ---

    def _made(self, row: int) -> OneJob:
        job = self.packed.job(row, self.checker.vocabulary)
        return OneJob(self.checker, job, self.checker.chain_of(job), self.on)

    def _walked(self, row: int, rules: frozenset[str] | None = None) -> Iterator[Said]:
        """What the rules say of one job, by the walk alone."""
        job = self.packed.job(row, self.checker.vocabulary)
        for one in self.checker.outcomes(job, self.on):
            for name, outcome in zip(one.rules, one.outcomes, strict=True):
                if rules is None or name in rules:
                    yield Said(name, np.array([row]), [one.item], np.array([CODES[outcome]], np.int8))

    # --- places ---

    def _keys(self, for_each: tuple[str, ...], rows: JobRows) -> Sequence[str]:
        """The key of the item at each place, behind that of the item around it."""
        if not for_each or (rows.unlisted and len(for_each) == 1) or (rows.unlisted and rows.path == for_each[0]):
            return [""] * len(rows)
        if len(for_each) == 1 or rows.unlisted:
            keys = self.packed.text(KEY, for_each[0])
            return [keys[row] for row in rows.rows.tolist()]
        around, inside = self.packed.text(KEY, for_each[0]), self.packed.text(KEY, rows.path)
        owners = self.packed.owners(rows.path)[rows.rows].tolist()
        return [f"{around[owner]}/{inside[row]}" for owner, row in zip(owners, rows.rows.tolist(), strict=True)]

    def _place(self, for_each: tuple[str, ...], rows: JobRows, at: int) -> Place:
        """A place as the walk names it."""
        row = int(rows.rows[at])
        key = self._keys(for_each, rows.taken(np.array([at])))[0]
        if not for_each:
            return Place()
        if rows.unlisted:
            if rows.path == for_each[0]:
                return Place(missing=for_each[0])
            outer = self._item(for_each[0], row)
            return Place("", outer, key, f"{outer}.{for_each[1]}")
        item = self._item(rows.path, row)
        return Place(
            item, self._item(for_each[0], int(self.packed.owners(rows.path)[row])) if len(for_each) > 1 else "", key
        )

    def _item(self, path: str, row: int) -> str:
        """The full path of an item."""
        owner = int(self.packed.owners(path)[row])
        around, name = self.packed.around(path)
        index = row - int(self.packed.inside(path)[0][owner])
        return f"{self._item(around, owner)}.{name}.{index}" if around else f"{name}.{index}"


def _key(column: Column) -> np.ndarray:
    """A column as numbers to be told apart by: what is not known, a known none and a day between two are numbers too."""
    marks = [column.is_none, column.lies_between, np.isnan(column.values)]
    return np.select(marks, [-2e300, -3e300, -1e300], column.values)
