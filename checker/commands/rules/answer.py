"""`changeout rules answer`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from checker.commands import options
from checker.commands.prompts import Asking, Option, a_day, refuse
from checker.commands.ruleset_edits import EditSession, edits_a_ruleset
from checker.problems.problem import ProblemsFound

if TYPE_CHECKING:
    from checker.authoring.editing.answer import Asked
    from checker.authoring.editing.layer_context import Layers

ANSWERS = {"the rule applies here as it is written": "as_written", "it is not required here": "not_asked"}


@options.command()
@click.argument("rule")
@click.option("--question", help="The question, or how it begins.")
@click.option(
    "--answer",
    "answered",
    type=click.Choice(list(ANSWERS.values())),
    metavar="WORD",
    help=f"One of {', '.join(ANSWERS.values())}.",
)
@click.option("--words", help="What was said, in a sentence.")
@click.option("--who", help="Who said so.")
@click.option("--office", help="The office, where it is not the ruleset's owner.")
@click.option("--on", "day", help="The day it was said, year-month-day.")
@click.option("--reference", help="Letter, e-mail or bulletin.")
@click.option("--from", "starts", help="The first day it counts, if another.")
@edits_a_ruleset
def answer(
    rule: str,
    question: str | None,
    answered: str | None,
    words: str | None,
    who: str | None,
    office: str | None,
    day: str | None,
    reference: str | None,
    starts: str | None,
    session: EditSession,
) -> None:
    """Record what the authority answered to a question that RULE asks of it.

    The meaning that the answer is bound to is written for every edition in force there; it lapses when the rule comes to
    mean something else. Asks for what is not given and shows the edit before it is written. Exit code: 0 written and
    nothing wrong; 1 written, and something is wrong with the ruleset; 2 it cannot be done; 130 stopped, nothing written.
    """
    from checker.authoring.editing import answer as answering
    from checker.rulesets.ruleset import TO_FILL_IN

    ask, layers = session.ask, session.layers
    answering.questions(layers, rule, "")
    said_on = ask.text("On which day was it answered? (year-month-day)", Option("--on", day), a_day)
    asked = _question(ask, answering.questions(layers, rule, starts or said_on), question)
    values = {name: _value(ask, layers, name) for name in asked.limits}
    begun = answering.Given(
        answer="as_written" if values else _answer(ask, answered),
        in_words=TO_FILL_IN,
        who=TO_FILL_IN,
        office=TO_FILL_IN,
        on=said_on,
        reference=TO_FILL_IN,
        starts=a_day(starts) if starts else "",
        values=values,
    )
    if problems := answering.not_allowed(layers, *answering.entry(layers, rule, asked, begun)):
        raise ProblemsFound(problems)
    given = begun._replace(
        in_words=ask.text("What was said, in a sentence?", Option("--words", words), later=True),
        who=ask.text("Who said so?", Option("--who", who), later=True),
        office=ask.text("Of which office?", Option("--office", office), default=layers.ruleset.header.owner),
        reference=ask.text(
            "Where is it written? (letter, e-mail, bulletin)", Option("--reference", reference), later=True
        ),
    )
    session.write([session.new_entry("answers", *answering.entry(layers, rule, asked, given))])
    session.finish()


def _answer(ask: Asking, answered: str | None) -> str:
    words = ANSWERS if answered is None else {word: word for word in ANSWERS.values()}
    return ask.choice("What was the answer?", words, Option("--answer", answered))


def _question(ask: Asking, asked: list[Asked], question: str | None) -> Asked:
    """The question that was answered: the only one, or one out of several."""
    if len(asked) == 1 and question is None:
        click.echo(f"It asks: {asked[0].words}")
        return asked[0]
    return ask.choice("Which question was answered?", {one.words: one for one in asked}, Option("--question", question))


def _value(ask: Asking, layers: Layers, name: str) -> str:
    """What the answer says of a limit that is left to the place."""
    from checker.authoring.editing.answer import limit_of
    from checker.rulesets import limits

    limit = limit_of(layers, name)

    def read(text: str) -> str:
        try:
            limits.read(limit, text)
        except limits.LimitError as error:
            refuse(error.what, error.hint)
        return text

    unit = f" ({limit.unit})" if limit.unit else ""
    return ask.text(f"{limit.title}{unit}. What does the answer say?", read=read)
