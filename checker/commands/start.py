"""`changeout start`."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from checker.commands import options
from checker.commands.errors import stop
from checker.commands.inputs import Inputs
from checker.commands.output import paint, width, write
from checker.problems import json_out

if TYPE_CHECKING:
    from checker.fieldwork.prompts import Question

MOST_LINES = 20  # more choices than this stand side by side


@options.command()
@click.argument("file", default="job.json", type=click.Path(dir_okay=False, path_type=Path))
@options.with_inputs(inherited=False)
def start(file: Path, given: Inputs) -> None:
    """Ask a dozen questions, write the job and check it.

    FILE is job.json where none is named. Press Enter to skip a question.
    """

    from checker.fieldwork import short_start as starting
    from checker.reading.files import read_file
    from checker.reporting import screen

    if file.exists():
        stop(file, "There is such a file already.", "Name another one.")
    checker = given.checker
    places = tuple(sorted(place for r in checker.library.rulesets.values() for place in r.header.covers))
    facts: dict[str, Any] = {}
    stopped = False
    try:
        for number, question in enumerate(starting.questions(checker.vocabulary, places), 1):
            facts |= answer_to(number, question)
    except click.Abort:
        stopped = True
    write(
        json_out.document(starting.job_of(checker.vocabulary, file.stem, starting.settled(checker.vocabulary, facts))),
        file,
    )
    click.echo(f"\nStopped. What was answered is in {file}." if stopped else f"\nWritten to {file}.\n")
    if stopped:
        sys.exit(2)
    report = checker.check(read_file(file), given.day)
    write(screen.render(report, width(), paint(None)), None)
    sys.exit(report.exit_code(strict=False))


def answer_to(number: int, question: Question) -> dict[str, Any]:
    """Ask until the answer can be used or is left empty."""
    from checker.fieldwork.prompts import NotAnAnswer, chosen, clean

    show(number, question)
    while True:
        try:
            answer = clean(typed())
            return question.facts(chosen(question, answer)) if answer else {}
        except NotAnAnswer as error:
            click.echo(f"   {error}")


def show(number: int, question: Question) -> None:
    """A question with its number and the answers to choose from; yes and no, and long lists, stand side by side."""
    from checker.fieldwork.prompts import counted
    from checker.reading.typed_input import YES_NO
    from checker.reporting.paragraphs import columns, wrapped

    within = columns(width())
    click.echo("\n" + "\n".join(wrapped(f"{number}. {question.text}", within, hang=3)))
    for index, line in enumerate(question.lines, 1):
        click.echo("\n".join(wrapped(f"   {index:>2}  {line}", within, hang=7)))
    choices = list(question.choices)
    if counted(question.choices):
        choices = [f"{index}  {choice}" for index, choice in enumerate(question.choices, 1)]
    if len(choices) > MOST_LINES or question.choices == YES_NO or not counted(question.choices):
        row = "    ".join(choice.replace(" ", "\xa0") for choice in choices)
        choices = [line.replace("\xa0", " ") for line in wrapped(row, within - 3)]
    for line in choices:
        click.echo(f"   {line}")


def typed() -> str:
    """One line of the contractor's; bytes that are no text come as a sign that no answer may hold.

    Raises:
        click.Abort: Ctrl-C, or no more input.
    """
    try:
        line: str = click.prompt("  ", default="", show_default=False, prompt_suffix="> ")
    except UnicodeDecodeError:
        return "\0"
    return line.strip()
