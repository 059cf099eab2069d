"""`changeout rules answer`."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from checker.commands.prompts import Asking, Option, a_day, refuse, stoppable
from checker.commands.ruleset_edits import (
    edit,
    file_for,
    into_folder,
    keep,
    more_rules,
    opened,
    say_what_is_left,
    text_of,
    without_asking,
)
from checker.problems.problem import ProblemsFound

if TYPE_CHECKING:
    from checker.authoring.editing.answer import Asked
    from checker.authoring.editing.layer_context import Standing

ANSWERS = {"the rule holds here as it is written": "as_written", "it is not asked here": "not_asked"}


@click.command()
@click.argument("rule")
@into_folder
@click.option("--question", help="The question that was answered, or how it begins.")
@click.option("--answer", "answered", type=click.Choice(list(ANSWERS.values())), help="What was answered.")
@click.option("--words", help="What was said, in a sentence.")
@click.option("--who", help="Who said so.")
@click.option("--office", help="Of which office. Default: who keeps the ruleset.")
@click.option("--on", "day", help="The day it was said, year-month-day.")
@click.option("--reference", help="Where it is written: letter, e-mail, bulletin.")
@click.option("--from", "starts", help="The first day it counts, where that is not the day it was said.")
@more_rules
@without_asking
@stoppable
def answer(
    rule: str,
    into: Path,
    question: str | None,
    answered: str | None,
    words: str | None,
    who: str | None,
    office: str | None,
    day: str | None,
    reference: str | None,
    starts: str | None,
    folders: tuple[Path, ...],
    yes: bool,
) -> None:
    """Record what the authority answered to a question that RULE asks of it.

    The meaning that the answer is bound to is written for every edition in force there; it lapses when the rule comes to
    mean something else. Asks for what is not given and shows the edit before it is written. Exit code: 0 written and
    nothing wrong; 1 written, and something is wrong with the ruleset; 2 it cannot be done; 130 stopped, nothing written.
    """
    from checker.authoring.editing import answer as answering
    from checker.authoring.editing.file_edits import schema_line, with_entry
    from checker.rulesets.ruleset import TO_FILL_IN

    ask, one = Asking(), opened(into, folders)
    answering.questions(one, rule, "")
    said_on = ask.text("On which day was it answered? (year-month-day)", Option("--on", day), a_day)
    asked = _question(ask, answering.questions(one, rule, starts or said_on), question)
    values = {name: _value(ask, one, name) for name in asked.limits}
    begun = answering.Given(
        "as_written"
        if values
        else ask.choice("What was the answer?", Option("--answer", answered), _answers(answered)),
        TO_FILL_IN,
        TO_FILL_IN,
        TO_FILL_IN,
        said_on,
        TO_FILL_IN,
        a_day(starts) if starts else "",
        values,
    )
    if problems := answering.not_allowed(one, *answering.entry(one, rule, asked, begun)):
        raise ProblemsFound(problems)
    given = begun._replace(
        in_words=ask.text("What was said, in a sentence?", Option("--words", words), later=True),
        who=ask.text("Who said so?", Option("--who", who), later=True),
        office=ask.text("Of which office?", Option("--office", office), default=one.ruleset.header.owner),
        reference=ask.text(
            "Where is it written? (letter, e-mail, bulletin)", Option("--reference", reference), later=True
        ),
    )
    name, data = answering.entry(one, rule, asked, given)
    file = file_for(into, "answers", "answers.yaml")
    after = with_entry(text_of(file) or "", str(file), schema_line(into), "answers", name, data)
    keep([edit(file, after)], ask, yes)
    sys.exit(say_what_is_left(into, folders))


def _answers(answered: str | None) -> dict[str, str]:
    return ANSWERS if answered is None else {word: word for word in ANSWERS.values()}


def _question(ask: Asking, asked: list[Asked], question: str | None) -> Asked:
    """The question that was answered: the only one, or one out of several."""
    if len(asked) == 1 and question is None:
        click.echo(f"It asks: {asked[0].words}")
        return asked[0]
    return ask.choice("Which question was answered?", Option("--question", question), {one.words: one for one in asked})


def _value(ask: Asking, one: Standing, name: str) -> str:
    """What the answer says of a limit that is left to the place."""
    from checker.authoring.editing.answer import limit_of
    from checker.rulesets import limits

    limit = limit_of(one, name)

    def read(text: str) -> str:
        try:
            limits.read(limit, text)
        except limits.LimitError as error:
            refuse(error.what, error.hint)
        return text

    unit = f" ({limit.unit})" if limit.unit else ""
    return ask.text(f"{limit.title}{unit}. What does the answer say?", Option("", None), read)
