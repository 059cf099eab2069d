"""`changeout interview`."""

from __future__ import annotations

import contextlib
import os
import signal
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from checker.commands import interview_inspection as inspection
from checker.commands import options
from checker.commands.asking import show, typed
from checker.commands.errors import stopping
from checker.commands.inputs import Inputs, station_named
from checker.commands.interview_inspection import INSPECTION
from checker.commands.interview_told import noted, say, show_settled, why
from checker.commands.job_file import JobFile
from checker.commands.output import paint, width, write
from checker.problems.problem import refused

if TYPE_CHECKING:
    from checker.fieldwork.interview import Interview, Where

MOST_TOLD = 6
MOST_FITS = 12
HELP = """\
At any question:
  Enter         skips it for now
  unknown: why  it could not be found out, and why
  none: why     it was looked for and there is none, where that can be
  back          takes the last answer back and asks again
  change WORD   finds a question by a word of it, to answer it again or to add a part
  one by one    asks one by one what stands on one line or in one list
  why           which rules ask for it, and what they want
  stop          ends here; what was answered is in the file
A number with no unit is in the unit shown. 118 psig @g1 says it was read on g1, an instrument listed in the job.
On one line the parts go in the order shown, with commas between; a dash leaves one for later.
At a list, all says yes to every line, 2 5 says no to lines 2 and 5 and yes to the others, 3? leaves line 3 for later.
today and yesterday are days. A day you don't know exactly is two days: 5/1/2026 to 5/31/2026.
Text that is one of these words goes in quotes: "back"."""


@options.command()
@click.argument("file", default="job.json", type=click.Path(dir_okay=False, path_type=Path))
@click.option("--at", "station", default="", metavar="STATION", help="One station only, or inspection for its result.")
@options.with_inputs()
def interview(file: Path, station: str, given: Inputs) -> None:
    """Ask what can still change a result, station by station.

    The answers are kept in FILE (job.json).

    The core rules come first. Plain yes-or-no facts of a station stand in one list. The job is checked after every answer
    and FILE written at once; the same command goes on with it another time. Type ? at a question for what else can be
    typed.

    Exit code: 0 stopped, or nothing was found wrong; 1 asked to the end, and something failed or a question of life
    safety is open; 2 wrong usage, or FILE cannot be used; 130 Ctrl-C.
    """
    checker = given.checker
    inspected = station.lower() == INSPECTION
    here = "" if inspected else station_named("--at", checker.vocabulary, station)
    talk, job_file = _begin(file, given, here)
    try:
        with stopping():
            _greet(talk, file)
            if inspected:
                _inspection(talk, job_file)
                return
            finished = _converse(talk, job_file)
    except (click.Abort, KeyboardInterrupt, EOFError):
        say(f"\nStopped. {_where_it_is(job_file)}")
        sys.exit(130)
    if not finished:
        say(f"\nStopped. {_where_it_is(job_file)}")
        sys.exit(0)
    _close(talk)


def _inspection(talk: Interview, job_file: JobFile) -> None:
    try:
        inspection.ask(talk)
    finally:
        if len(talk.positions) > 1:
            with _held():
                job_file.save(talk.now.text)


def _begin(file: Path, given: Inputs, station: str) -> tuple[Interview, JobFile]:
    """The interview about a file, or about a new job where there is no such file."""
    from checker.fieldwork.interview import Interview, new_job
    from checker.reading.files import read_file, read_text

    with stopping():
        if file.suffix != ".json":
            raise refused(file, "A job is a file whose name ends in .json.", "Rename it.")
        if not os.access(file.parent, os.W_OK):
            what = "The folder does not exist or cannot be written to."
            raise refused(file, what, "Check the folder and its permissions.")
        job_file = JobFile(file)
        document = (
            read_text(new_job(file.stem).encode(), str(file), file.parent)
            if job_file.content is None
            else read_file(file)
        )
        sheets = bool(given.inherited.sheets)
        return Interview(given.checker, document, given.day, given.load, station, sheets), job_file


def _greet(talk: Interview, file: Path) -> None:
    from checker.findings.report import DEFERRAL

    known = (
        f"Going on with {file}: {talk.now.report.headline}"
        if file.exists()
        else f"A new job; every answer is written to {file} at once."
    )
    say(f"{known} Enter skips a question, ? shows what else you can type, Ctrl-C ends.")
    say(f"\n{talk.checker.vocabulary.caution}")
    say(DEFERRAL)


def _converse(talk: Interview, job_file: JobFile) -> bool:
    """Ask until nothing is left to ask. Returns False where the contractor stops before."""
    heading, core, warned = "", False, set[str]()
    while question := talk.question:
        if where := talk.where:
            if core and not where.core and not _goes_on(talk, where):
                return False
            if (where.heading, where.core) != (heading, core):
                _warn(talk, warned)
                say(f"\n{where.heading}", style="heading")
            else:
                click.echo()
            heading, core = where.heading, where.core
            say(f"station {where.number} of {where.of}, about {where.left} left here")
        show(len(talk.positions), question)
        moved = False
        while not moved:
            answer = typed()
            if answer.lower() == "stop":
                return False
            moved = _take(talk, job_file, answer)
    _warn(talk, warned)
    return not _taken_back(talk, job_file) or _converse(talk, job_file)


def _goes_on(talk: Interview, where: Where) -> bool:
    """After the core rules, once: how they stand, how much the rest is, and whether to go on with it."""
    failed, still = talk.core_failed, talk.core_open
    stands = f"{failed} failed" if failed else "nothing failed"
    skipped = f", {still} still open" if still else ""
    say(f"\nCore is done: {stands}{skipped}. About {where.round} more would answer the rest; go on or stop here?")
    say("Enter goes on, stop ends here.", 3)
    while (word := typed().lower()) not in ("", "go", "go on", "y", "yes"):
        if word in ("stop", "n", "no", "stop here"):
            return False
        say("Press Enter to go on, or type stop.", 3)
    return True


def _warn(talk: Interview, warned: set[str]) -> None:
    """At the end of a stage of the visit, say what must not be done yet and what was left open, once.

    Args:
        warned: The stages warned of before, each with what was open then; it grows.
    """
    for number, stage in enumerate(talk.checker.vocabulary.stages):
        titles = list(dict.fromkeys(finding.title for finding in talk.left_behind(number))) if stage.not_yet else []
        more = f"; and {len(titles) - MOST_TOLD} more" if len(titles) > MOST_TOLD else ""
        told = f"{stage.not_yet}. Still open: {'; '.join(titles[:MOST_TOLD])}{more}."
        if titles and told not in warned:
            warned.add(told)
            say(f"\n{told}", 0, "verify")


def _taken_back(talk: Interview, job_file: JobFile) -> bool:
    """Offer, at the end and on a terminal, to take the last answer back; return whether it was."""
    if len(talk.positions) == 1 or not sys.stdin.isatty():
        return False
    from checker.reporting.words import not_judged

    for line in not_judged(talk.now.report):
        say(f"\nNot judged: {line}", 0, "fail")
    click.echo("\nThat was the last question. back takes the last answer back; Enter shows the report.")
    return typed().lower() == "back" and _back(talk, job_file)


def _take(talk: Interview, job_file: JobFile, answer: str) -> bool:
    """Do what was typed at a question. Returns whether another question comes up."""
    word = answer.lower()
    if word == "?":
        say(HELP, 3)
    elif word == "why":
        why(talk)
    elif word == "back":
        return _back(talk, job_file)
    elif word == "one by one":
        return talk.take_apart() or _told("That is one question already.")
    elif word.split()[:1] == ["change"]:
        return _change(talk, answer.split(maxsplit=1)[1:])
    elif answer:
        return _answer(talk, job_file, answer)
    else:
        talk.skip()
    return not answer


def _answer(talk: Interview, job_file: JobFile, answer: str) -> bool:
    from checker.fieldwork.prompts import NotAnAnswer
    from checker.reporting.words import not_judged

    before, question = set(not_judged(talk.now.report)), talk.question
    try:
        with _held():
            settled = talk.answer(answer)
            job_file.save(talk.now.text)
    except NotAnAnswer as error:
        say(str(error), 3)
        return False
    if question:
        noted(talk, question, answer)
    show_settled(talk, settled)
    for line in not_judged(talk.now.report):
        if line not in before:
            say(f"Not judged: {line}", 3, "fail")
    return True


def _told(text: str) -> bool:
    """Say something that leaves the question where it is."""
    say(text, 3)
    return False


def _change(talk: Interview, words: list[str]) -> bool:
    """Go to the question that the words fit; where several are fitted, tell them."""
    if not words:
        return _told("Say what to change: a word or two of its question or title.")
    found = talk.fits(words[0])
    if len(found) == 1:
        talk.change(found[0].path)
        return True
    if not found:
        return _told(f"No question has the words '{words[0]}'. Try one of them alone.")
    say(f"{len(found)} fit. Which one? Its number, or more of its words; Enter leaves all as it is.", 3)
    for number, one in enumerate(found[:MOST_FITS], 1):
        say(f"{number} {one.called}" + (f" (now: {one.recorded})" if one.recorded else ""), 5)
    if len(found) > MOST_FITS:
        say(f"and {len(found) - MOST_FITS} more", 5)
    return bool(picked := typed()) and _change(talk, [picked.removeprefix("change ")])


def _back(talk: Interview, job_file: JobFile) -> bool:
    if not talk.back():
        say("Nothing to take back.", 3)
        return False
    with _held():
        if job_file.content is not None:
            job_file.save(talk.now.text)
    say("Taken back.", 3)
    return True


def _close(talk: Interview) -> None:
    """Say which questions were skipped, print the report and end with its exit code."""
    from checker.reporting import screen

    skipped = sum(path in talk.now.passed_over for path in talk.now.needed)
    more = f" Skipped, and could still change a result: {skipped}." if skipped else ""
    say(f"\nNo question is left that could change a result.{more}")
    settled_elsewhere = dict.fromkeys(finding.title for finding in talk.not_asked())
    if settled_elsewhere:
        say(f"Still open, and no answer here settles it: {'; '.join(settled_elsewhere)}.")
        for note in talk.now.job.notes:
            say(note, 3)
    click.echo()
    write(screen.render(talk.now.report, width(), paint(None)), None)
    sys.exit(talk.now.report.exit_code(strict=False))


def _where_it_is(job_file: JobFile) -> str:
    if job_file.content is None:
        return "Nothing was answered, and no file was written."
    return f"What was answered is in {job_file.file}; changeout interview {job_file.file} goes on."


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
