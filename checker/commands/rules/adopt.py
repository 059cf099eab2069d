"""`changeout rules adopt`."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from checker.commands.prompts import Asking, Option, a_day, refuse, stoppable
from checker.commands.ruleset_edits import (
    edit,
    into_folder,
    keep,
    more_rules,
    opened,
    say_what_is_left,
    text_of,
    without_asking,
)

if TYPE_CHECKING:
    from checker.authoring.editing.layer_context import Standing


@click.command()
@click.argument("code", required=False)
@click.argument("edition", required=False)
@click.argument("starts", required=False, metavar="[FROM]")
@into_folder
@click.option("--counts", help="The date of a job that decides which edition it is judged by.")
@click.option("--citation", help="Where the adoption stands, such as 'Ordinance 2027-03, section 2'.")
@more_rules
@without_asking
@stoppable
def adopt(
    code: str | None,
    edition: str | None,
    starts: str | None,
    into: Path,
    counts: str | None,
    citation: str | None,
    folders: tuple[Path, ...],
    yes: bool,
) -> None:
    """Put EDITION of CODE in force from a day on, FROM (year-month-day), at the place of the ruleset in a folder.

    Asks for what is not given, shows the edit before it is written, and then asks of each amendment of that code whether it
    is to hold under the new edition too. Exit code: 0 written and nothing wrong; 1 written, and something is wrong with the
    ruleset; 2 it cannot be done; 130 stopped, nothing written.
    """
    from checker.authoring.editing import adopt as adopting

    ask, one = Asking(), opened(into, folders)
    adopting.refuse_guests(one)
    said = adopting.asked_of(ask_for(ask, one, code, edition, starts, counts, citation))
    for turned in adopting.turned_back(one, said):
        click.echo(f"\nNote: {turned}")
        if not yes and not ask.yes("Is that meant?", default=False):
            raise click.Abort
    header = into / "ruleset.yaml"
    after = adopting.header_with(one, text_of(header) or "", str(header), said)
    keep([edit(header, after)], ask, yes)
    _carried_on(ask, into, folders, said["code"], said["edition"], yes)
    sys.exit(say_what_is_left(into, folders))


def ask_for(ask: Asking, one: Standing, *given: str | None) -> list[str]:
    """The code, edition, first day, deciding date and citation of an adoption, asked for where they are not given."""
    from checker.authoring.editing import adopt as adopting

    code, edition, starts, counts, citation = given
    codes = adopting.codes(one)
    named = ask.choice("Which code?", Option("CODE", code), {code: code for code in codes})
    known = codes[named].header.editions
    which = ask.choice(
        f"Which edition of {named}?", Option("EDITION", edition), {edition: edition for edition in known}
    )

    def day(text: str) -> str:
        found = a_day(text)
        if problem := adopting.on_that_day(one, named, found):
            refuse(problem)
        return found

    dates = adopting.deciding_dates(one)
    return [
        named,
        which,
        ask.text("From which day on? (year-month-day)", Option("FROM", starts), day),
        ask.choice("Which date of a job decides the edition?", Option("--counts", counts), dates, next(iter(dates))),
        ask.text("Where does the adoption stand?", Option("--citation", citation), later=True),
    ]


def _carried_on(ask: Asking, into: Path, folders: tuple[Path, ...], code: str, edition: str, yes: bool) -> None:
    """Ask of each change of a rule of the code whether it is to hold under the new edition too."""
    from checker.authoring.editing import adopt as adopting
    from checker.authoring.editing.file_edits import with_name

    for one in adopting.ending_with(opened(into, folders), edition, code):
        click.echo(f"\n{one.said}")
        if yes or ask.yes(f"Is the change of '{one.name}' to hold under {edition} too?", default=one.same):
            file = into / one.file
            after = with_name(text_of(file) or "", str(file), (one.operation, one.name, "meaning"), edition, one.digest)
            keep([edit(file, after)], ask, yes)
