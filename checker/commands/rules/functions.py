"""`changeout rules functions`."""

from __future__ import annotations

import click

from checker.commands import options
from checker.commands.errors import stop
from checker.commands.inputs import Inputs
from checker.commands.output import write


@options.command()
@options.with_inputs(dated=False, inherited=False)
@options.in_form("text", "markdown")
@click.argument("word", nargs=-1)
def functions(given: Inputs, form: str, word: tuple[str, ...]) -> None:
    """The functions that a rule can call: all, or those that WORD fits.

    For each: its arguments with their kinds, what it gives, its source, and the rules that use it.
    """
    from checker.authoring import language_listing as listing

    if form == "markdown":
        write(listing.table_of_functions(), None)
        return
    wanted = " ".join(word)
    found = listing.trade_functions(given.checker.library, wanted)
    own = [listing.Named(name, what, (), ()) for name, what in listing.OWN.items() if not wanted]
    if not found and not own:
        stop("WORD", f"No function fits '{wanted}'.", "Leave the word out to see every function.")
    lines = [f"{one.name}: {one.what}" for one in own]
    write("\n".join([*lines, *listing.text(found)]) + "\n", None)
