"""`changeout prep`."""

from __future__ import annotations

import re
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
@click.option("--state", default="", metavar="STATE", help="Nothing known yet but the state: asks nothing.")
@click.option("--county", default="", metavar="NAME", help="Its county, or the city that inspects.")
@click.option("--all", "everything", is_flag=True, help="The whole list, each thing with its section and its rule.")
@options.to_file
@options.in_form("text", "markdown", "page")
@options.with_inputs()
def prep(
    job: Path | None, given: Inputs, state: str, county: str, everything: bool, form: str, output: Path | None
) -> None:
    """Plan the visit on a page: bring, ask, see, measure.

    Without JOB it asks the few things that it needs, or takes --state and --county alone, and writes no job. The figures
    of the model on order (circuits, as_ordered) serve until the plate can be read.
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
    return _at_place(checker, state, county) if state or county else _asked(checker)


def _at_place(checker: Checker, state: str, county: str) -> Job:
    """A job of which only the state, and the county or city, are known.

    Raises:
        ProblemsFound: Jobs here say nothing of the state.
    """
    from checker.fieldwork.prompts import NotAnAnswer, value_of
    from checker.problems.problem import did_you_mean, refused

    vocabulary = checker.vocabulary
    at, place = vocabulary.at("state"), vocabulary.at("place")
    if not at or not state:
        raise refused("--state", "No state is named." if at else "Jobs here say nothing of a state.", "Name a job.")
    try:
        word = value_of(vocabulary.leaves[at], state)
    except NotAnAnswer:
        meant = did_you_mean(state.casefold(), [word for word, _ in vocabulary.leaves[at].said])
        raise refused("--state", f"'{state}' is no state.", meant or "Write it as on a letter: Ohio, or OH.") from None
    named = county.strip()
    known = {name.casefold(): name for name in checker.library.counties(str(word))}
    base = re.sub(r" (county|parish|borough)$", "", named.casefold())
    if known and base not in known and (meant := did_you_mean(base.title(), known.values())):
        raise refused("--county", f"'{named}' is no county of {word} that is known here.", meant)
    return _job({at: word, **({place: named} if named else {})}, checker)


def _asked(checker: Checker) -> Job:
    """A job of the few answers that a plan needs.

    Raises:
        ProblemsFound: The answers make no job.
    """
    from checker.commands.asking import answer_to
    from checker.fieldwork import short_start

    places = tuple(sorted(place for one in checker.library.rulesets.values() for place in one.header.covers))
    if not checker.vocabulary.commands.get("prep"):
        stop("changeout prep", "No job is named.", "Name one: changeout prep JOB.")
    facts: dict[str, Any] = {}
    for number, question in enumerate(short_start.questions(checker.vocabulary, places, "prep", facts), 1):
        facts |= answer_to(number, question)
    click.echo()
    return _job(facts, checker)


def _job(facts: dict[str, Any], checker: Checker) -> Job:
    """A job of a few facts, by path."""
    from checker.fieldwork import short_start
    from checker.problems import json_out
    from checker.reading.files import read_text
    from checker.reading.job import load

    job = short_start.job_of(checker.vocabulary, "a new job", facts)
    return load(read_text(json_out.document(job).encode(), "what was answered"), checker.vocabulary)
