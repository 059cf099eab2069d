"""One question on the terminal: how it is shown, and the line that is typed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from checker.commands.output import width

if TYPE_CHECKING:
    from checker.fieldwork.prompts import Question


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
    for index, line in enumerate(question.lines or question.parts or question.several, 1):
        click.echo("\n".join(wrapped(f"   {index:>2}  {line}", within, hang=7)))
    choices = list(question.choices)
    if counted(question.choices):
        choices = [f"{index}  {choice}" for index, choice in enumerate(question.choices, 1)]
    if question.choices == YES_NO or not counted(question.choices):
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
