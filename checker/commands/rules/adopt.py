"""`changeout rules adopt`."""

from __future__ import annotations

import click

from checker.commands import options
from checker.commands.prompts import Option, a_day, refuse
from checker.commands.ruleset_edits import EditSession, edits_a_ruleset, layers_of


@options.command()
@click.argument("code", required=False)
@click.argument("edition", required=False)
@click.argument("starts", required=False, metavar="[FROM]")
@click.option("--counts", help="The date of a job that decides which edition it is judged by.")
@click.option("--citation", help="Where the adoption is written, such as 'Ordinance 2027-03, section 2'.")
@edits_a_ruleset
def adopt(
    code: str | None,
    edition: str | None,
    starts: str | None,
    counts: str | None,
    citation: str | None,
    session: EditSession,
) -> None:
    """Put EDITION of CODE in force from a day on, FROM (year-month-day), at the place of the ruleset in a folder.

    Asks for what is not given, shows the edit before it is written, and then asks of each amendment of that code whether it
    is to hold under the new edition too. Exit code: 0 written and nothing wrong; 1 written, and something is wrong with the
    ruleset; 2 it cannot be done; 130 stopped, nothing written.
    """
    from checker.authoring.editing import adopt as adopting

    adopting.refuse_guests(session.layers)
    adoption = _asked(session, code, edition, starts, counts, citation)
    for warning in adopting.turned_back(session.layers, adoption):
        click.echo(f"\nNote: {warning}")
        if not session.yes and not session.ask.yes("Is that right?", default=False):
            raise click.Abort
    session.write([session.edit("ruleset.yaml", adopting.header_with, session.layers, adoption)])
    _carry_on(session, adoption["code"], adoption["edition"])
    session.finish()


def _asked(
    session: EditSession,
    code: str | None,
    edition: str | None,
    starts: str | None,
    counts: str | None,
    citation: str | None,
) -> dict[str, str]:
    """The adoption as it stands in `ruleset.yaml`, asked for where it is not given."""
    from checker.authoring.editing import adopt as adopting

    ask, layers = session.ask, session.layers
    codes = adopting.codes(layers)
    named = ask.choice("Which code?", {code: code for code in codes}, Option("CODE", code))
    editions = {edition: edition for edition in codes[named].header.editions}
    which = ask.choice(f"Which edition of {named}?", editions, Option("EDITION", edition))

    def free_day(text: str) -> str:
        day = a_day(text)
        if problem := adopting.on_that_day(layers, named, day):
            refuse(problem)
        return day

    day = ask.text("From which day on? (year-month-day)", Option("FROM", starts), free_day)
    dates = adopting.deciding_dates(layers)
    decides = ask.choice(
        "Which date of a job decides the edition?", dates, Option("--counts", counts), next(iter(dates))
    )
    where = ask.text("Where is the adoption written?", Option("--citation", citation), later=True)
    return adopting.adoption(named, which, day, decides, where)


def _carry_on(session: EditSession, code: str, edition: str) -> None:
    """Ask of each change of a rule of the code whether it is to hold under the new edition too."""
    from checker.authoring.editing import adopt as adopting
    from checker.authoring.editing.file_edits import with_name

    for ending in adopting.ending_with(layers_of(session.into, session.folders), edition, code):
        click.echo(f"\n{ending.said}")
        question = f"Should the change of '{ending.name}' apply under {edition} too?"
        if session.yes or session.ask.yes(question, default=ending.same):
            path = (ending.operation, ending.name, "meaning")
            session.write([session.edit(ending.file, with_name, path, edition, ending.digest)])
