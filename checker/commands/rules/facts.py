"""`changeout rules facts`."""

from __future__ import annotations

import click

from checker.commands import options
from checker.commands.errors import stop
from checker.commands.inputs import Inputs
from checker.commands.output import write


@options.command()
@options.with_inputs(dated=False, inherited=False)
@click.argument("word", nargs=-1)
def facts(given: Inputs, word: tuple[str, ...]) -> None:
    """The facts that a rule can name: all, or those that WORD fits.

    WORD is as the trade says it: float, breaker, subcooling. For each: its name, title, unit or
    words, where you stand when you see it, its question, and the rules that use it.
    """
    from checker.authoring import language_listing as listing

    wanted, checker = " ".join(word), given.checker
    found = listing.facts(checker.library, checker.vocabulary, wanted)
    if not found:
        stop("WORD", f"No fact is called that: '{wanted}'.", listing.nearest_fact(checker.vocabulary, wanted))
    write("\n".join(listing.text(found)) + "\n", None)
