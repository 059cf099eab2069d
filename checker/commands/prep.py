"""`changeout prep`."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from checker.commands import options
from checker.commands.errors import stop, stopping
from checker.commands.inputs import Inputs
from checker.commands.output import width, write

if TYPE_CHECKING:
    from checker.engine.checker import Checker
    from checker.reading.job import Job


@options.command()
@click.argument("job", required=False, type=click.Path(path_type=Path))
@click.option("--all", "everything", is_flag=True, help="The whole list, each thing with its section and its rule.")
@options.to_file
@options.in_form("text", "markdown", "page")
@options.with_inputs()
def prep(job: Path | None, given: Inputs, everything: bool, form: str, output: Path | None) -> None:
    """Plan the visit on a page: bring, ask, see, measure.

    Without JOB it asks the few things that it needs, and writes no job. The figures of the model on order (circuits,
    as_ordered) serve until the plate can be read.
    """
    from checker.fieldwork import prep_card, prep_text
    from checker.fieldwork.prep import prepare

    checker = given.checker
    with stopping():
        plan = prepare(checker, given.read(job) if job else _asked(checker), given.day)
    if form == "text":
        write(prep_text.render_text(plan, width()) if everything else prep_card.render(plan, width()), output)
    elif form == "markdown":
        write(prep_text.render_markdown(plan), output)
    else:
        from checker.fieldwork import prep_page

        write(prep_page.render(plan), output)
    sys.exit(2 if plan.report.not_judged else 0)


def _asked(checker: Checker) -> Job:
    """A job of the few answers that a plan needs.

    Raises:
        ProblemsFound: The answers make no job.
    """
    from checker.commands.asking import answer_to
    from checker.fieldwork import short_start
    from checker.problems import json_out
    from checker.reading.files import read_text
    from checker.reading.job import load

    places = tuple(sorted(place for one in checker.library.rulesets.values() for place in one.header.covers))
    asked = list(short_start.questions(checker.vocabulary, places, "prep"))
    if not asked:
        stop("changeout prep", "No job is named.", "Name one: changeout prep JOB.")
    facts: dict[str, Any] = {}
    for number, question in enumerate(asked, 1):
        facts |= answer_to(number, question)
    click.echo()
    job = short_start.job_of(checker.vocabulary, "a new job", facts)
    return load(read_text(json_out.document(job).encode(), "what was answered"), checker.vocabulary)
