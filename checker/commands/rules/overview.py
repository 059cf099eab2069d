"""`changeout rules overview`."""

from __future__ import annotations

import click

from checker.commands import options
from checker.commands.errors import stopping
from checker.commands.inputs import Inputs
from checker.commands.output import width, write

MOST_COLUMNS = 160


@options.command()
@options.with_inputs(inherited=False)
@click.option("--place", default="", help="A jurisdiction code. Without one: every shipped rule.")
@click.option("--states", is_flag=True, help="What is published of the states' codes, and how sure it is.")
def overview(given: Inputs, place: str, states: bool) -> None:
    """Tell what is in force at a place, since when and from whom.

    By ruleset: its edition, by whose adoption; then each rule with its obligation, what is true when it passes, and who
    amended, withdrew or restored it. DATE is the day that editions and amendments are looked at; default: today.
    """
    from checker.authoring import listing, states_listing

    if states:
        with stopping():
            lines = list(states_listing.coverage(given.checker.library.states(), given.day.toordinal()))
        write("\n".join(lines) + "\n", None)
        return
    with stopping():
        chain = given.checker.chain(place)
    write(listing.text(chain, given.day.toordinal(), min(width(), MOST_COLUMNS)), None)
