"""The interview: after every answer the job is judged again, and what the open findings still need is asked.

What is asked is what partial evaluation finds: a fact that can no longer change an outcome is never asked. Nothing here
prints or reads a file; a position holds the text that the job file should have.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Collection, Iterator, Mapping
from typing import NamedTuple

from checker.engine.checker import Checker
from checker.fieldwork import short_start, tick_list
from checker.fieldwork.open_readings import good, holding_back, readings_of, still_open, to_know_before
from checker.fieldwork.open_requirements import wanted
from checker.fieldwork.order_of_asking import CORE, Open, Order
from checker.fieldwork.prompts import Facts, NotAnAnswer, Question, chosen, clean, placed, question_of
from checker.findings.finding import Finding
from checker.findings.report import Report
from checker.ir.kleene import Scope, Unknown
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.ir.references import reads
from checker.judging.conditions import truth
from checker.problems import json_out
from checker.problems.document import Document
from checker.problems.problem import ProblemsFound
from checker.reading.fact_reader import says_nothing
from checker.reading.files import read_text
from checker.reading.job import Job, JobFacts, Loading
from checker.reading.typed_input import unknown_why
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.applicability import Versions

WITHOUT = re.compile(r"(unknown|none)\s*(?::\s*(.*))?", re.IGNORECASE)
AGAIN = ("implausible", "too_close")


class Settled(NamedTuple):
    """What an answer settled: findings that failed or passed by it, those whose reading should be looked at again, how
    many rules turned out not to apply, and what is now to be said of the job as a whole.

    `passed` are only those of whose readings no rule is open; `holding_back` are the rules for which others wait."""

    failed: tuple[Finding, ...]
    passed: tuple[Finding, ...]
    holding_back: tuple[Finding, ...]
    again: tuple[Finding, ...]
    dropped: int
    notes: tuple[str, ...]


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


class Position(NamedTuple):
    """One point of the interview.

    `text` is what the job file holds, `needed` the unrecorded facts with the findings that they could still settle,
    `deciding` the unrecorded facts that decide whether the rulesets speak of the job, `passed_over` the facts and
    opening questions not to ask again, `last` the fact that was asked about before, `visited` the places of the stations
    where something was asked. `readings` are the measured facts of each open finding.
    """

    text: str
    job: Job
    report: Report
    needed: Mapping[str, tuple[Finding, ...]]
    deciding: tuple[str, ...]
    readings: Mapping[str, frozenset[str]]
    passed_over: frozenset[str] = frozenset()
    last: str = ""
    visited: frozenset[int] = frozenset()


class Interview:
    """An interview about one job: a stack of positions, the last one being where it stands, and the question there.

    `question` is None where nothing that could still change an outcome is left to ask.
    """

    def __init__(self, checker: Checker, document: Document, on: datetime.date, load: Loading) -> None:
        """Begin, or go on, with a job.

        Args:
            load: How a job is loaded, with whatever it inherits.

        Raises:
            ProblemsFound: The job, or a ruleset it needs, cannot be used as it is.
        """
        self.checker, self.on, self.load = checker, on, load
        self.places = tuple(sorted(place for r in checker.library.rulesets.values() for place in r.header.covers))
        self.order = Order(checker.vocabulary)
        self.positions = [self._position(document.text, load(document))]
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

    @property
    def first_stage(self) -> int:
        """The first stage that something belongs to which is asked at the station of the next question, of those at which
        the work goes on: plates and papers, read at any time, end no stage."""
        where, among = self.where, self.open_now()
        stages = [self.order.stage(one, among) for one in among.paths if where and self._at(one, where, among)]
        leaving = len(self.checker.vocabulary.stages) - 2
        return min([leaving, *stages]) if stages else 0

    def _at(self, path: str, where: Where, among: Open) -> bool:
        return self.order.station(path).heading == where.heading and among.core(path) == where.core

    def open_at(self, stage: int) -> list[Finding]:
        """The open findings about what is read, or could be seen, at one stage of the visit."""
        return still_open(self.now.report, stage, self.order.stages, self.checker.vocabulary)

    @property
    def core_failed(self) -> int:
        """How many core findings failed."""
        return sum(finding.weight == CORE for finding in self.now.report.with_outcome(FAIL))

    @property
    def core_open(self) -> int:
        """How many core findings are open."""
        return sum(finding.weight == CORE for finding in self.now.report.with_outcome(VERIFY))

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
        now, told = self.now, said(question, clean(answer))
        over = now.passed_over | ({question.text} if question.opens else frozenset())
        left_open = {path for path in question.paths if question.lines and path not in told}
        after = self._with(self._not_moot(question, told))._replace(passed_over=over | left_open)
        self._move(after, question)
        job = after.job
        return settled(now.report, after.report, {*job.readings, *job.not_known}, self.checker.vocabulary)

    def _with(self, facts: Facts) -> Position:
        """The position with some facts recorded.

        Raises:
            NotAnAnswer: They cannot be used.
        """
        now = self.now
        written = as_text(placed(now.job.data, facts))
        try:
            job = self.load(read_text(written.encode(), now.job.file, now.job.folder))
        except ProblemsFound as found:
            raise NotAnAnswer(" ".join(f"{problem.what} {problem.hint}" for problem in found.problems)) from None
        return self._position(written, job)

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

    def back(self) -> bool:
        """Take the last answer, or the last skip, back; False where there is none."""
        if len(self.positions) == 1:
            return False
        self.positions.pop()
        self.question = self._next()
        return True

    # --- what is asked next ---

    def _position(self, text: str, job: Job) -> Position:
        report = self.checker.check_job(job, self.on)
        needed, vocabulary = dict(_needed(self.checker, job, report)), self.checker.vocabulary
        readings = {one.finding_id: frozenset(readings_of(one, vocabulary)) for one in report.with_outcome(VERIFY)}
        return Position(text, job, report, needed, _deciding(self.checker, job, self.on), readings)

    def _next(self) -> Question | None:
        """The question of this position. What a reading has to meet is asked before the reading."""
        self.headed = ""
        if self.now.report.nothing_judged:
            return None
        for question in short_start.of_job(self.now.job, self.places):
            if self._opens(question):
                return question
        among, vocabulary = self.open_now(), self.checker.vocabulary

        def rank(path: str) -> tuple[object, ...]:
            return self.order.rank(path, among)

        self.headed = path = min(among.paths, key=rank, default="")
        if not path:
            return None
        before = to_know_before(path, among.needed, among.paths, self.order.stages, vocabulary)
        path = min(before, key=rank, default=path)
        aside = self.order.station(path) != self.order.station(self.headed)
        together = [path] if aside else self.order.tick_list(path, among)
        if len(together) > 1:
            return tick_list.question(self.now.job, together, self.order.station(path).heading)
        return question_of(self.now.job, path)

    def open_now(self) -> Open:
        """Every fact that could still be asked about."""
        now = self.now
        paths = (path for path in dict.fromkeys((*now.deciding, *now.needed)) if path not in now.passed_over)
        return Open(tuple(paths), now.needed, now.deciding, now.readings, now.last)

    def _opens(self, question: Question) -> bool:
        """Whether an opening question is still to be asked: none of its facts recorded, and some of them wanted."""
        over = self.now.passed_over
        if question.text in over or any(_recorded(self.now.job, path) or path in over for path in question.paths):
            return False
        return question.decides or any(path in self.now.needed for path in question.paths)


def new_job(name: str) -> str:
    """The text of a job in which nothing is answered."""
    return as_text({"job_id": name, "schema_version": 1})


def as_text(data: object) -> str:
    """A job as it is written to its file."""
    return json_out.document(data)


def said(question: Question, answer: str) -> Facts:
    """The facts that an answer says: a value, `unknown: why`, or `none: why` where the fact may be none.

    Raises:
        NotAnAnswer: It cannot be used.
    """
    without = WITHOUT.fullmatch(answer)
    if says_nothing(answer) and not without:
        raise NotAnAnswer(f"'{answer}' may mean several things. Write none: and why, or unknown: and why.")
    if unknown_why(answer) and not question.a_list:
        return {path: {"not_known": answer} for path in question.paths}
    listed = answer.lower() in {choice.lower() for choice in question.choices}
    in_words = question.a_list or len(question.paths) > 1  # there none is a word of its own, or refused with an example
    plain_none = answer.lower() == "none" and in_words
    if without is None or listed or plain_none:
        return question.facts(chosen(question, answer))
    word, why = without[1].lower(), (without[2] or "").strip()
    if question.a_list:
        raise NotAnAnswer("Leave it empty to skip it, or write none, without more, where there are none.")
    if word == "none" and not question.may_be_none:
        raise NotAnAnswer("This cannot be none. If it could not be found out, write unknown: and why.")
    if not why:
        raise NotAnAnswer(f"Say why as well, such as: {word}: the plate does not show it.")
    return {path: {"not_known" if word == "unknown" else "none": why} for path in question.paths}


def settled(before: Report, after: Report, recorded: Collection[str], vocabulary: Vocabulary) -> Settled:
    """What became of findings between two reports of one job, of which these facts are recorded."""
    was = {finding.finding_id: finding for finding in before.findings}
    new = [f for f in after.findings if f.finding_id not in was or was[f.finding_id].outcome != f.outcome]
    again = [
        finding
        for finding in after.with_outcome(VERIFY)
        if finding.reason in AGAIN
        and (finding.finding_id not in was or was[finding.finding_id].reason != finding.reason)
        and all(need.fact in recorded for need in finding.needs)
    ]
    gone = {finding.rule for finding in before.findings} - {finding.rule for finding in after.findings}
    were_good = {finding.finding_id for finding in good(before, vocabulary)}
    return Settled(
        tuple(finding for finding in new if finding.outcome == FAIL),
        tuple(finding for finding in good(after, vocabulary) if finding.finding_id not in were_good),
        holding_back([finding for finding in new if finding.outcome == PASS], after, vocabulary),
        tuple(again),
        len(gone),
        tuple(note for note in after.notes if note not in before.notes),
    )


def _needed(checker: Checker, job: Job, report: Report) -> Iterator[tuple[str, tuple[Finding, ...]]]:
    """Every unrecorded fact that some open finding needs, with those findings."""
    versions = Versions(job, checker.chain(job.place))
    found: dict[str, list[Finding]] = {}
    for finding in report.with_outcome(VERIFY):
        dates = [versions.calendar.that_count[finding.rule]] if finding.reason == "date_unknown" else []
        for path in dict.fromkeys((*(need.fact for need in finding.needs), *filter(None, dates))):
            if not _recorded(job, path):
                found.setdefault(path, []).append(finding)
    yield from ((path, tuple(findings)) for path, findings in found.items())


def _deciding(checker: Checker, job: Job, on: datetime.date) -> tuple[str, ...]:
    """The unrecorded facts on which it depends whether the rulesets of the place are written for this job."""
    chain = checker.chain(job.place)
    scope = Scope(JobFacts(job), {})
    found: list[str] = []
    for line in (line for lines in checker.written_for(chain, on.toordinal()).values() for line in lines):
        if isinstance(truth(line.condition, scope), Unknown):
            found += [path for path in reads(line.condition, scope) if not _recorded(job, path)]
    return tuple(dict.fromkeys(found))


def _recorded(job: Job, path: str) -> bool:
    """Whether a job says something of a fact, be it that it is not known."""
    return path in job.readings or path in job.not_known or path in job.lists
