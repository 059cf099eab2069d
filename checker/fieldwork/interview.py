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
from checker.fieldwork import short_start
from checker.fieldwork.open_readings import good, holding_back, readings_of, still_open, to_know_before
from checker.fieldwork.open_requirements import wanted
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
from checker.reading.vocabulary import Vocabulary, pattern
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


class Left(NamedTuple):
    """How many questions may be left at most, and whether there are lists among them whose items will be asked about."""

    questions: int
    lists: bool


class Position(NamedTuple):
    """One point of the interview.

    `text` is what the job file holds, `needed` the unrecorded facts with the findings that they could still settle,
    `deciding` the unrecorded facts that decide whether the rulesets speak of the job, `passed_over` the facts and
    opening questions not to ask again, `last` the fact that was asked about before. `readings` are the measured facts of
    each open finding.
    """

    text: str
    job: Job
    report: Report
    needed: Mapping[str, tuple[Finding, ...]]
    deciding: tuple[str, ...]
    readings: Mapping[str, frozenset[str]]
    passed_over: frozenset[str] = frozenset()
    last: str = ""


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
        self.opening = opening(checker)
        self.order, self.stages = _order_of(checker.vocabulary), _stages_of(checker.vocabulary)
        self.positions = [self._position(document.text, load(document))]
        self.headed = ""  # the fact that the question leads to: itself, or the reading that it has to come before
        self.question = self._next()

    @property
    def now(self) -> Position:
        return self.positions[-1]

    @property
    def stage(self) -> str:
        """The heading of the stage that the next question belongs to, empty while it is about the job as a whole."""
        question = self.question
        path = question.paths[0] if question else ""
        whole = question in self.opening or path in self.now.deciding
        return "" if whole or path not in self.now.needed else self.checker.vocabulary.stages[self._stage(path)].heading

    @property
    def stage_number(self) -> int:
        """The place among the stages of the one that the next question belongs to."""
        return self._stage(self.question.paths[0]) if self.question and self.stage else 0

    def open_at(self, stage: int) -> list[Finding]:
        """The open findings about what is read, or could be seen, at one stage of the visit."""
        return still_open(self.now.report, stage, self.stages, self.checker.vocabulary)

    @property
    def left(self) -> Left | None:
        """How much may still be asked; None as long as it is open which rules hold."""
        opening = [question for question in self.opening if self._opens(question)]
        if any(question.decides for question in opening):
            return None
        if self.now.report.nothing_judged:
            return Left(0, False)
        at_once = {question.paths[0] for question in opening if len(question.paths) == 1}
        paths = [path for path in self._asked() if path not in at_once]
        return Left(len(opening) + len(paths), any(pattern(path) in self.checker.vocabulary.lists for path in paths))

    def why(self) -> tuple[tuple[Finding, ...], tuple[str, ...]]:
        """The findings that the next question could settle, each rule once (none where it decides which rules hold), and
        the limits in words that its answer has to meet."""
        question = self.question
        paths = question.paths if question else ()
        found = {finding.rule: finding for path in paths for finding in self.now.needed.get(path, ())}
        read = [one for one in wanted(self.checker.looked_at(self.now.job, self.on), self.now.job) if one.path in paths]
        return tuple(found.values()), tuple(dict.fromkeys(limit for one in read for limit in one.limits))

    # --- moves ---

    def answer(self, text: str) -> Settled:
        """Record an answer to the next question.

        Raises:
            NotAnAnswer: It cannot be used; nothing was recorded.
            ProblemsFound: The rulesets for the place that it names cannot be used; nothing was recorded.
        """
        question = self.question
        assert question is not None, "there is no question left"
        now, data = self.now, placed(self.now.job.data, said(question, clean(text)))
        over = now.passed_over | ({question.text} if question in self.opening else frozenset())
        written = as_text(data)
        try:
            job = self.load(read_text(written.encode(), now.job.file, now.job.folder))
        except ProblemsFound as found:
            raise NotAnAnswer(" ".join(f"{problem.what} {problem.hint}" for problem in found.problems)) from None
        after = self._position(written, job)._replace(passed_over=over, last=self.headed or question.paths[-1])
        self.positions.append(after)
        self.question = self._next()
        return settled(now.report, after.report, {*job.readings, *job.not_known}, self.checker.vocabulary)

    def skip(self) -> None:
        """Pass the next question over for the rest of this interview."""
        question = self.question
        assert question is not None, "there is no question left"
        over = self.now.passed_over | {question.text, *question.paths}
        self.positions.append(self.now._replace(passed_over=over, last=self.headed or question.paths[-1]))
        self.question = self._next()

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
        for question in self.opening:
            if self._opens(question):
                return question
        asked = self._asked()
        self.headed = path = min(asked, key=self._rank, default="")
        before = to_know_before(path, self.now.needed, asked, self.stages, self.checker.vocabulary) if path else []
        path = min(before, key=self._rank, default=path)
        return question_of(self.now.job, path) if path else None

    def _asked(self) -> list[str]:
        """Every fact that could still be asked about."""
        return [
            path for path in dict.fromkeys((*self.now.deciding, *self.now.needed)) if path not in self.now.passed_over
        ]

    def _opens(self, question: Question) -> bool:
        """Whether an opening question is still to be asked: none of its facts recorded, and some of them wanted."""
        over = self.now.passed_over
        if question.text in over or any(_recorded(self.now.job, path) or path in over for path in question.paths):
            return False
        return question.decides or any(path in self.now.needed for path in question.paths)

    def _rank(self, path: str) -> tuple[object, ...]:
        """The order of asking: what decides which rules hold; then by stage, the item at hand, life safety, how many
        findings are helped, what can be told at a glance before what is measured or named, the section at hand, and the
        order of the schema."""
        findings = self.now.needed.get(path, ())
        leaf = self.checker.vocabulary.leaves.get(pattern(path))
        items = tuple(int(step) for step in path.split(".") if step.isdigit())
        return (
            path not in self.now.deciding,
            self._stage(path),
            -_items_shared(path, self.now.last),
            not any(finding.life_safety for finding in findings),
            -len(findings),
            not (leaf and (leaf.possible or leaf.form == "flag")),
            path.split(".")[0] != self.now.last.split(".")[0],
            items,
            self.order[pattern(path)],
        )

    def _stage(self, path: str) -> int:
        """The stage a fact is asked in: its own, or for what can be read at any time the first that it helps, be it that
        it is a limit of a reading taken then."""
        own = self.stages[pattern(path)]
        leaf = self.checker.vocabulary.leaves.get(pattern(path))
        if own < len(self.checker.vocabulary.stages) - 1 or (leaf and leaf.form == "date"):  # a day may still lie ahead
            return own
        findings = self.now.needed.get(path, ())
        needs = {need.fact for finding in findings for need in finding.needs}
        needs = {fact for fact in needs if fact in self.now.needed and fact not in self.now.passed_over}
        readings = {fact for finding in findings for fact in self.now.readings[finding.finding_id]}
        return min([own, *(self.stages[pattern(fact)] for fact in needs | readings)])


def opening(checker: Checker) -> list[Question]:
    """The questions of a short start, save those about items of lists: those are named here before they are asked about."""
    places = tuple(sorted(place for r in checker.library.rulesets.values() for place in r.header.covers))
    lists = tuple(f"{name}." for name in checker.vocabulary.lists)
    return [q for q in short_start.questions(checker.vocabulary, places) if not q.paths[0].startswith((*lists, "?"))]


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
    if without is None or listed or (question.a_list and answer.lower() == "none"):
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


def _items_shared(path: str, other: str) -> int:
    """Of how many list items, from the outside in, two facts are both a part."""
    shared = 0
    for step, same in zip(path.split("."), other.split("."), strict=False):
        if step != same:
            break
        shared += step.isdigit()
    return shared


def _order_of(vocabulary: Vocabulary) -> dict[str, int]:
    """The place of every fact and list in the schema; a list stands where its first fact does."""
    order: dict[str, int] = {}
    for place, path in enumerate(vocabulary.leaves):
        order[path] = place
        for name in vocabulary.lists:
            if path.startswith(f"{name}."):
                order.setdefault(name, place)
    return order


def _stages_of(vocabulary: Vocabulary) -> dict[str, int]:
    """The last stage at which each fact can be seen; for a list, that of whichever fact in it is gone first."""
    any_time = len(vocabulary.stages) - 1  # what stands on plates and papers is asked as soon as it helps
    stages = {leaf.path: leaf.stage for leaf in vocabulary.leaves.values()}
    lists = {name: [stages[path] for path in stages if path.startswith(f"{name}.")] for name in vocabulary.lists}
    return stages | {name: min(inside, default=any_time) for name, inside in lists.items()}
