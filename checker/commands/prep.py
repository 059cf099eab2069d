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
from checker.commands.places import job_at, job_of

if TYPE_CHECKING:
    from checker.engine.checker import Checker
    from checker.reading.job import Job


@options.command()
@click.argument("job", required=False, type=click.Path(path_type=Path))
@click.option("--state", default="", metavar="STATE", help="Plan from the state alone, and ask nothing.")
@click.option("--county", default="", metavar="NAME", help="Its county, or the city that inspects.")
@click.option("--all", "everything", is_flag=True, help="The whole list, each thing with its section and its rule.")
@options.to_file
@options.in_form("text", "markdown", "page")
@options.with_inputs()
def prep(
    job: Path | None, given: Inputs, state: str, county: str, everything: bool, form: str, output: Path | None
) -> None:
    """Plan the visit on a page: bring, ask, see, measure.

    Without JOB it asks the four things it needs, or goes by --state and --county alone. It writes no job. Before the
    new unit is there it goes by the figures of the model on order (circuits, as_ordered).
    """
    from checker.fieldwork import prep_card, prep_text
    from checker.fieldwork.prep import prepare

    if job and (state or county):
        stop("--state", "The job says where it is.", "Leave out JOB, or --state and --county.")
    checker = given.checker
    with stopping():
        plan = prepare(checker, given.read(job) if job else _new_job(checker, state, county), given.day)
    if form == "text":
        write(prep_text.render_text(plan, width()) if everything else prep_card.render(plan, width()), output)
    elif form == "markdown":
        write(prep_text.render_markdown(plan), output)
    else:
        from checker.fieldwork import prep_page

        write(prep_page.render(plan), output)
    sys.exit(2 if plan.report.not_judged else 0)


def _new_job(checker: Checker, state: str, county: str) -> Job:
    """A job of the state and the county alone, where one is named; else of the few answers that a plan needs.

    Raises:
        ProblemsFound: They cannot be used.
    """
    return job_at(checker, "", state, county)[0] if state or county else _asked(checker)


def _asked(checker: Checker) -> Job:
    """A job of the few answers that a plan needs.

    Raises:
        ProblemsFound: The answers make no job.
    """
    from checker.commands.asking import answer_to
    from checker.fieldwork import short_start
    from checker.fieldwork.place_question import Places

    places = Places(checker.library, checker.vocabulary)
    if not checker.vocabulary.commands.get("prep"):
        stop("changeout prep", "No job is named.", "Name one: changeout prep JOB.")
    facts: dict[str, Any] = {}
    for number, question in enumerate(short_start.questions(checker.vocabulary, places, "prep", facts), 1):
        facts |= answer_to(number, question)
    click.echo()
    return job_of(checker, facts)
