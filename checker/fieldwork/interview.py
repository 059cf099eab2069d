"""The interview: after every answer the job is judged again, and what the open findings still need is asked.

What is asked is what partial evaluation finds: a fact that can no longer change an outcome is never asked. Nothing here
prints or reads a file; a position holds the text that the job file should have.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Collection, Iterator
from typing import NamedTuple

from checker.engine.checker import Checker
from checker.fieldwork import changing, short_start, tick_list
from checker.fieldwork.open_readings import still_open, to_know_before
from checker.fieldwork.open_requirements import wanted
from checker.fieldwork.order_of_asking import CORE, Open, Order
from checker.fieldwork.place_question import Places
from checker.fieldwork.position import Position, position
from checker.fieldwork.prompts import Facts, NotAnAnswer, Question, clean, placed, said
from checker.fieldwork.questions import on_one_line, question_of
from checker.fieldwork.settled import Settled, settled
from checker.findings.finding import Finding
from checker.ir.outcomes import FAIL, VERIFY
from checker.problems import json_out
from checker.problems.document import Document, is_position
from checker.problems.problem import ProblemsFound
from checker.reading import known_by
from checker.reading.files import read_text
from checker.reading.job import Loading


class Where(NamedTuple):
    """Where an interview stands: in which station of how many, about how many prompts are left there, and in which round.

    `core` tells that a core rule still waits for what is asked, `round` about how many prompts the round takes.
    """

    heading: str
    number: int
    of: int
    left: int
    core: bool
    round: int


class Interview:
    """An interview about one job: a stack of positions, the last one being where it stands, and the question there.

    `question` is None where nothing that could still change an outcome is left to ask.
    """

    def __init__(
        self,
        checker: Checker,
        document: Document,
        on: datetime.date,
        load: Loading,
        station: str = "",
        sheets: bool = False,
    ) -> None:
        """Begin, or go on, with a job.

        Args:
            load: How a job is loaded, with whatever it inherits.
            station: The name of the one station to ask about; all of them where it is empty.
            sheets: Whether there are manufacturers' sheets that the job could inherit from.

        Raises:
            ProblemsFound: The job, or a ruleset it needs, cannot be used as it is.
        """
        self.checker, self.on, self.load = checker, on, load
        self.setting = short_start.Setting(Places(checker.library, checker.vocabulary), sheets)
        self.found: list[changing.Fit] = []
        self.order, self.station = Order(checker.vocabulary), station
        self.positions = [position(checker, load(document), document.text, on)]
        self.headed = ""  # the fact that the question leads to: itself, or the reading that it has to come before
        self.question = self._next()

    @property
    def now(self) -> Position:
        return self.positions[-1]

    @property
    def where(self) -> Where | None:
        """The station that the next question belongs to; None while it is about the job as a whole, and at the end."""
        path, among = self.headed, self.open_now()
        if path in among.deciding or path not in among.needed:
            return None
        core, here = among.core(path), self.order.station(path)
        coming = [one for one in among.paths if among.core(one) == core]
        there = [one for one in coming if self.order.station(one) == here]
        stations = {self.order.station(one).place for one in among.paths} | self.now.visited | {here.place}
        number = sum(place <= here.place for place in stations)
        left = self.order.prompts(among, there)
        return Where(here.heading, number, len(stations), left, core, self.order.prompts(among, coming))

    def open_at(self, stage: int) -> list[Finding]:
        """The open findings about what is read, or could be seen, at one stage of the visit."""
        return still_open(self.now.report, stage, self.order.stages, self.checker.vocabulary)

    def left_behind(self, stage: int) -> list[Finding]:
        """The open findings of a stage that no coming question is about; none while something of the stage is to come."""
        coming = {*self.open_now().paths}
        if any(self.order.own_stage(path) == stage for path in coming):
            return []
        return [one for one in self.open_at(stage) if not coming & {need.fact for need in one.needs}]

    @property
    def core_failed(self) -> int:
        """How many core findings failed."""
        return sum(finding.weight == CORE for finding in self.now.report.with_outcome(FAIL))

    @property
    def core_open(self) -> int:
        """How many core findings are open."""
        return sum(finding.weight == CORE for finding in self.now.report.with_outcome(VERIFY))

    def not_asked(self) -> list[Finding]:
        """The open findings that no question of the interview could settle, such as one about a picture that is missing."""
        asked = {finding.finding_id for findings in self.now.needed.values() for finding in findings}
        return [finding for finding in self.now.report.with_outcome(VERIFY) if finding.finding_id not in asked]

    def why(self) -> tuple[tuple[Finding, ...], tuple[str, ...]]:
        """The findings that the next question could settle, each rule once (none where it decides which rules hold), and
        the limits in words that its answer has to meet."""
        question = self.question
        paths = question.paths if question else ()
        found = {finding.rule: finding for path in paths for finding in self.now.needed.get(path, ())}
        read = [one for one in wanted(self.checker.looked_at(self.now.job, self.on), self.now.job) if one.path in paths]
        return tuple(found.values()), tuple(dict.fromkeys(limit for one in read for limit in one.limits))

    # --- moves ---

    def answer(self, answer: str) -> Settled:
        """Record an answer to the next question.

        Raises:
            NotAnAnswer: It cannot be used; nothing was recorded.
            ProblemsFound: The rulesets for the place that it names cannot be used; nothing was recorded.
        """
        question = self.question
        assert question is not None, "there is no question left"
        now, told = self.now, said(question, self._with_today(question, clean(answer)))
        over = now.passed_over | ({question.text} if question.opens else frozenset())
        left_open = _left_open(question, told)
        after = self._with(self._not_moot(question, told), bool(question.lines))._replace(
            passed_over=over | left_open, apart=now.apart
        )
        self._move(after, question)
        job = after.job
        return settled(now.report, after.report, {*job.readings, *job.not_known}, self.checker.vocabulary)

    def _with_today(self, question: Question, answer: str) -> str:
        """An answer about days in which today and yesterday stand as the days that they are."""
        leaves = [self.checker.vocabulary.leaf(path) for path in question.paths]
        if not any(leaf and leaf.form == "date" for leaf in leaves):
            return answer
        for word, day in (("today", self.on), ("yesterday", self.on - datetime.timedelta(days=1))):
            answer = re.sub(rf"\b{word}\b", day.isoformat(), answer, flags=re.IGNORECASE)
        return answer

    def record(self, facts: Facts) -> None:
        """Record facts that no question of the interview asked for.

        Raises:
            NotAnAnswer: They cannot be used; nothing was recorded.
        """
        now = self.now
        after = self._with(facts)
        self.positions.append(
            after._replace(passed_over=now.passed_over, apart=now.apart, last=now.last, visited=now.visited)
        )
        self.question = self._next()

    def _with(self, facts: Facts, ticked: bool = False) -> Position:
        """The position with some facts recorded.

        Args:
            ticked: Whether they come from a tick list.

        Raises:
            NotAnAnswer: They cannot be used.
        """
        now = self.now
        how = known_by.answers(self.checker.vocabulary, facts, ticked)
        written = as_text(known_by.noted(placed(now.job.data, facts), self.checker.vocabulary, how))
        try:
            job = self.load(read_text(written.encode(), now.job.file, now.job.folder))
        except ProblemsFound as found:
            raise NotAnAnswer(" ".join(f"{problem.what} {problem.hint}" for problem in found.problems)) from None
        return position(self.checker, job, written, self.on)

    def _not_moot(self, question: Question, facts: Facts) -> Facts:
        """What a tick list says, without a yes to what no longer matters once its noes are known: nobody meant it."""
        noes = {path: value for path, value in facts.items() if value is False}
        if not question.lines or not noes:
            return facts
        needed = self._with(noes).needed
        return {path: value for path, value in facts.items() if path in noes or path in needed}

    def _move(self, after: Position, question: Question) -> None:
        where = self.where
        here = {self.order.station(self.headed).place} if where else set()
        last = self.headed or question.paths[-1]
        self.positions.append(after._replace(last=last, visited=self.now.visited | here))
        self.question = self._next()

    def skip(self) -> None:
        """Pass the next question over for the rest of this interview."""
        question = self.question
        assert question is not None, "there is no question left"
        over = self.now.passed_over | {question.text, *question.paths}
        self._move(self.now._replace(passed_over=over), question)

    def fits(self, words: str) -> list[changing.Fit]:
        """The facts and lists whose question some words fit, or the one with a number in the list that was found last."""
        if is_position(words) and 0 < int(words) <= len(self.found):
            return [self.found[int(words) - 1]]
        self.found = changing.fits(self.now.job, (*self.now.deciding, *self.now.needed), words)
        return self.found

    def change(self, path: str) -> None:
        """Ask about a fact again, or for more items of a list; what is recorded stays until it is answered."""
        self.question, self.headed = changing.question(self.now.job, path), path

    def take_apart(self) -> bool:
        """Ask for what stands on one line or in one list one by one; False where the next question asks for one thing."""
        question, now = self.question, self.now
        if question is None or len(question.paths) < 2:
            return False
        over = now.passed_over | ({question.text} if question.opens else frozenset())
        self._move(now._replace(passed_over=over, apart=now.apart | {*question.paths}), question)
        return True

    def back(self) -> bool:
        """Take the last answer, or the last skip, back; False where there is none."""
        if len(self.positions) == 1:
            return False
        self.positions.pop()
        self.question = self._next()
        return True

    # --- what is asked next ---

    def _next(self) -> Question | None:
        """The question of this position. What a reading has to meet is asked before the reading."""
        self.headed = ""
        if self.now.report.nothing_judged:
            return None
        for question in self._opening("start"):
            if self._opens(question) and (question.decides or not self.station):
                return question
        among = self.open_now()

        def rank(path: str) -> tuple[object, ...]:
            return self.order.rank(path, among)

        self.headed = path = min(among.paths, key=rank, default="")
        if not path:
            return None
        before = self._before(path, among)
        path = min(before, key=lambda one: (not self.order.on_paper(one), rank(one)), default=path)
        aside = self.order.station(path) != self.order.station(self.headed)
        for question in self._opening("together"):
            if path in question.paths and self._opens(question):
                return question
        if path in self.now.apart:
            return question_of(self.now.job, path)
        together = [path] if aside else self.order.tick_list(path, among)
        if len(together) > 1:
            return tick_list.question(self.now.job, together, self.order.station(path).heading)
        on_line = self.order.one_line(path, among, self._may_join)
        return on_one_line(self.now.job, on_line) if len(on_line) > 1 else question_of(self.now.job, path)

    def _opening(self, of: str) -> Iterator[Question]:
        setting = self.setting._replace(needed=self.now.needed, published=self.now.report.ask_first)
        return short_start.of_job(self.now.job, setting, of)

    def _may_join(self, path: str, on_line: Collection[str], among: Open) -> bool:
        """Whether a fact may be asked with others: nothing else has to be known before it."""
        return path not in self.now.apart and {*self._before(path, among)} <= {*on_line}

    def _before(self, path: str, among: Open) -> list[str]:
        """What is to be asked before a fact: what its reading has to meet."""
        return to_know_before(path, among.needed, among.paths, self.order.stages, self.checker.vocabulary)

    def open_now(self) -> Open:
        """Every fact that could still be asked about."""
        now = self.now
        paths = [path for path in dict.fromkeys((*now.deciding, *now.needed)) if path not in now.passed_over]
        here = [path for path in paths if not self.station or self.order.station(path).name == self.station]
        return Open(tuple(here), now.needed, now.deciding, now.readings, now.last)

    def _opens(self, question: Question) -> bool:
        """Whether an opening question is still to be asked: none of its facts recorded, and some of them wanted."""
        over = self.now.passed_over
        if question.text in over or any(self.now.job.speaks_of(path) or path in over for path in question.paths):
            return False
        needed = [path for path in question.paths if path in self.now.needed]
        return question.decides or len(needed) > (len(question.paths) > 1 and bool(question.several))


def _left_open(question: Question, told: Facts) -> set[str]:
    """What an answer to several facts leaves for later: what a tick list does not tell, what a line has a dash for."""
    silent = [path not in told for path in question.paths]
    if question.parts and not all(silent):
        silent = silent[: len(silent) - silent[::-1].index(False)]
    several = question.lines or question.parts
    return {path for path, left in zip(question.paths, silent, strict=False) if left and several}


def new_job(name: str) -> str:
    """The text of a job in which nothing is answered."""
    return as_text({"job_id": name, "schema_version": 1})


def as_text(data: object) -> str:
    """A job as it is written to its file."""
    return json_out.document(data)
