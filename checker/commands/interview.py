"""`changeout interview`."""

from __future__ import annotations

import contextlib
import datetime
import os
import signal
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from checker.commands import options
from checker.commands.asking import show, typed
from checker.commands.errors import stop, stopping
from checker.commands.inputs import Inputs
from checker.commands.output import paint, width, write
from checker.problems.problem import refused

if TYPE_CHECKING:
    from checker.engine.checker import Checker
    from checker.fieldwork.interview import Interview, Settled, Where
    from checker.fieldwork.prompts import Question
    from checker.findings.finding import Finding
    from checker.reading.job import Loading

MOST_TOLD = 6
HELP = """\
At any question:
  nothing       skips it for now
  unknown: why  it could not be found out, and why
  none: why     it was looked for and there is none, where that can be
  back          takes the last answer back and asks again
  why           which rules ask for it, and what they want
  stop          ends here; what was answered is in the file
An amount without a unit is taken in the unit shown. 118 psig @g1 says that it was read on g1, an instrument the job lists.
At a list, all says yes to every line, 2 5 says no to lines 2 and 5 and yes to the others, 3? leaves line 3 for later.
A day that is not known exactly is two days: 2026-05-01 to 2026-05-31.
Text that is one of these words goes in quotes: "back"."""


@options.command()
@click.argument("file", default="job.json", type=click.Path(dir_okay=False, path_type=Path))
@options.with_inputs()
def interview(file: Path, given: Inputs) -> None:
    """Ask what can still change an outcome, station by station.

    The answers are kept in FILE (job.json).

    The core rules come first. Plain yes-or-no facts of a station stand in one list. The job is checked after every answer
    and FILE written at once; the same command goes on with it another time. Type ? at a question for what else can be
    typed.

    Exit code: 0 stopped, or nothing was found wrong; 1 asked to the end, and something failed or a question of life
    safety is open; 2 wrong usage, or FILE cannot be used; 130 Ctrl-C.
    """
    checker = given.checker
    talk, job_file = _begin(file, checker, given.load, given.day)
    try:
        with stopping():
            _greet(talk, file)
            finished = _converse(talk, job_file)
    except (click.Abort, KeyboardInterrupt, EOFError):
        _say(f"\nStopped. {_where_it_is(job_file)}")
        sys.exit(130)
    if not finished:
        _say(f"\nStopped. {_where_it_is(job_file)}")
        sys.exit(0)
    _close(talk)


class _JobFile:
    """The job's file, and the content that this program last saw in it: what somebody else wrote since is not overwritten."""

    def __init__(self, file: Path) -> None:
        self.file = file
        self.content = file.read_bytes() if file.exists() else None

    def save(self, text: str) -> None:
        """Write the job, whole or not at all. Ends the command where the file was changed by something else."""
        now = self.file.read_bytes() if self.file.exists() else None
        if now != self.content:
            what = "The file was changed by something else meanwhile; the last answer is not in it."
            stop(self.file, what, "Begin again: it goes on from there.")
        write(text, self.file)
        self.content = text.encode()


def _begin(file: Path, checker: Checker, load: Loading, on: datetime.date) -> tuple[Interview, _JobFile]:
    """The interview about a file, or about a new job where there is no such file."""
    from checker.fieldwork.interview import Interview, new_job
    from checker.reading.files import read_file, read_text

    with stopping():
        if file.suffix != ".json":
            raise refused(file, "A job is a file whose name ends in .json.", "Name it so.")
        if not os.access(file.parent, os.W_OK):
            what = "The folder does not exist or cannot be written to."
            raise refused(file, what, "Check the folder and its permissions.")
        job_file = _JobFile(file)
        document = (
            read_text(new_job(file.stem).encode(), str(file), file.parent)
            if job_file.content is None
            else read_file(file)
        )
        return Interview(checker, document, on, load), job_file


def _greet(talk: Interview, file: Path) -> None:
    from checker.findings.report import DEFERRAL

    known = (
        f"Going on with {file}: {talk.now.report.headline}"
        if file.exists()
        else f"A new job; every answer is written to {file} at once."
    )
    _say(f"{known} An empty answer skips a question, ? shows what else can be typed, Ctrl-C ends.")
    _say(f"\n{talk.checker.vocabulary.caution}")
    _say(DEFERRAL)


def _converse(talk: Interview, job_file: _JobFile) -> bool:
    """Ask until nothing is left to ask. Returns False where the contractor stops before."""
    heading, stage, core = "", 0, False
    while question := talk.question:
        if where := talk.where:
            if core and not where.core and not _goes_on(talk, where):
                return False
            if (where.heading, where.core) != (heading, core):
                _warn(talk, stage, talk.first_stage)
                stage = max(stage, talk.first_stage)
                _say(f"\n{where.heading}", style="heading")
            else:
                click.echo()
            heading, core = where.heading, where.core
            _say(f"station {where.number} of {where.of}, about {where.left} left here")
        show(len(talk.positions), question)
        moved = False
        while not moved:
            answer = typed()
            if answer.lower() == "stop":
                return False
            moved = _take(talk, job_file, answer)
    _warn(talk, stage, len(talk.checker.vocabulary.stages))
    return not _taken_back(talk, job_file) or _converse(talk, job_file)


def _goes_on(talk: Interview, where: Where) -> bool:
    """After the core rules, once: how they stand, how much the rest is, and whether to go on with it."""
    failed, still = talk.core_failed, talk.core_open
    stands = f"{failed} failed" if failed else "nothing failed"
    skipped = f", {still} still open" if still else ""
    _say(f"\nCore is done: {stands}{skipped}. About {where.round} more would answer the rest; go on or stop here?")
    _say("Enter goes on, stop ends here.", 3)
    while (word := typed().lower()) not in ("", "go", "go on", "y", "yes"):
        if word in ("stop", "n", "no", "stop here"):
            return False
        _say("Press Enter to go on, or type stop.", 3)
    return True


def _warn(talk: Interview, since: int, until: int) -> None:
    """At the end of a stage of the visit, say what must not be done yet and what is still open before it."""
    for number, stage in enumerate(talk.checker.vocabulary.stages[since:until], since):
        titles = list(dict.fromkeys(finding.title for finding in talk.open_at(number)))
        if stage.not_yet and titles:
            more = f"; and {len(titles) - MOST_TOLD} more" if len(titles) > MOST_TOLD else ""
            _say(f"\n{stage.not_yet}. Still open: {'; '.join(titles[:MOST_TOLD])}{more}.", 0, "verify")


def _taken_back(talk: Interview, job_file: _JobFile) -> bool:
    """Offer, at the end and on a terminal, to take the last answer back; return whether it was."""
    if len(talk.positions) == 1 or not sys.stdin.isatty():
        return False
    from checker.reporting.words import not_judged

    for line in not_judged(talk.now.report):
        _say(f"\nNot judged: {line}", 0, "fail")
    click.echo("\nThat was the last question. back takes the last answer back; nothing shows the report.")
    return typed().lower() == "back" and _back(talk, job_file)


def _take(talk: Interview, job_file: _JobFile, answer: str) -> bool:
    """Do what was typed at a question. Returns whether another question comes up."""
    word = answer.lower()
    if word == "?":
        _say(HELP, 3)
    elif word == "why":
        _why(talk)
    elif word == "back":
        return _back(talk, job_file)
    elif answer:
        return _answer(talk, job_file, answer)
    else:
        talk.skip()
    return not answer


def _answer(talk: Interview, job_file: _JobFile, answer: str) -> bool:
    from checker.fieldwork.prompts import NotAnAnswer
    from checker.reporting.words import not_judged

    before, question = set(not_judged(talk.now.report)), talk.question
    try:
        with _held():
            settled = talk.answer(answer)
            job_file.save(talk.now.text)
    except NotAnAnswer as error:
        _say(str(error), 3)
        return False
    if question and question.lines:
        _noted(talk, question)
    _show(settled)
    for line in not_judged(talk.now.report):
        if line not in before:
            _say(f"Not judged: {line}", 3, "fail")
    return True


def _noted(talk: Interview, question: Question) -> None:
    """What was understood of an answer to a tick list."""
    told: dict[str, list[str]] = {"Yes to": [], "NO to": [], "Nothing noted of": []}
    for number, path in enumerate(question.paths, 1):
        said = talk.now.job.readings.get(path)
        word = "Nothing noted of" if said is None else "NO to" if said.worth is False else "Yes to"
        told[word].append(str(number))
    if not all(path in talk.now.job.not_known for path in question.paths):
        _say("Noted. " + " ".join(f"{word} {', '.join(numbers)}." for word, numbers in told.items() if numbers), 3)


def _back(talk: Interview, job_file: _JobFile) -> bool:
    if not talk.back():
        _say("There is nothing to take back.", 3)
        return False
    with _held():
        if job_file.content is not None:
            job_file.save(talk.now.text)
    _say("Taken back.", 3)
    return True


def _why(talk: Interview) -> None:
    from checker.reporting.words import explained

    findings, limits = talk.why()
    titles = [_titled(finding) for finding in findings]
    if not findings:
        _say("It decides which rules there are to ask, and of which edition.", 3)
    for title in titles:
        _say(title, 3)
    if mark := explained("".join(titles)):
        _say(mark, 3)
    if limits:
        _say(f"Wanted: {'; '.join(limits)}.", 3)


def _titled(finding: Finding) -> str:
    from checker.reporting.words import cited

    marks = " (LIFE SAFETY)" if finding.life_safety else ""
    return f"{_named(finding)}{marks}. {cited(finding.citations)}."


def _named(finding: Finding) -> str:
    return finding.title + (f" [{finding.item.replace('/', ', ')}]" if finding.item else "")


def _show(settled: Settled) -> None:
    """Show what an answer settled: failures in full, passes by their titles."""
    from checker.reporting.words import caution_names, cautions_in

    for note in settled.notes:
        _say(f"Note: {note}", 3)
    for finding in settled.failed:
        _say(f"Settled: FAIL {_named(finding)}: {finding.message}", 3, "fail")
        for label, text in (("Do", finding.remedy), ("Caution", caution_names(finding))):
            if text:
                _say(f"{label}: {text}", 5)
    for name, text in cautions_in(settled.failed):
        _say(f"Caution, {name}: {text}", 3)
    if settled.holding_back:
        titles = dict.fromkeys(_named(finding) for finding in settled.holding_back)
        _say(f"Not good yet. The same reading has to meet: {'; '.join(titles)}.", 3, "verify")
    for finding in settled.passed:
        _say(f"Settled: ok {_named(finding)}", 3, "pass")
    for finding in settled.again:
        word = "is nearer the limit than the meter can tell" if finding.reason == "too_close" else "does not seem right"
        _say(f"Look again: a reading {word}. {_named(finding)}. {' '.join(finding.notes)}", 3, "verify")
    if settled.dropped:
        _say(f"Rules that turn out not to apply: {settled.dropped}.", 3)


def _close(talk: Interview) -> None:
    """Say which questions were skipped, print the report and end with its exit code."""
    from checker.reporting import screen

    skipped = sum(path in talk.now.passed_over for path in talk.now.needed)
    more = f" Skipped, and could still change an outcome: {skipped}." if skipped else ""
    _say(f"\nNothing else that could change an outcome is left to ask.{more}\n")
    write(screen.render(talk.now.report, width(), paint(None)), None)
    sys.exit(talk.now.report.exit_code(strict=False))


def _where_it_is(job_file: _JobFile) -> str:
    if job_file.content is None:
        return "Nothing was answered, and no file was written."
    return f"What was answered is in {job_file.file}; changeout interview {job_file.file} goes on."


def _say(text: str, indent: int = 0, style: str = "") -> None:
    """Print a text, each line of it wrapped to the terminal."""
    from checker.reporting.paragraphs import columns, wrapped

    for line in text.split("\n"):
        parts = wrapped(line, columns(width()), indent)
        click.echo("\n".join(paint(None)(part, style) if style else part for part in parts))


@contextlib.contextmanager
def _held() -> Iterator[None]:
    """Put Ctrl-C off until the step inside is done, so that an answer is in the file or was never taken."""
    pressed: list[int] = []
    before = signal.signal(signal.SIGINT, lambda number, _: pressed.append(number))
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
    if pressed:
        raise KeyboardInterrupt
