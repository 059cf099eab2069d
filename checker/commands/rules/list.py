"""`changeout rules list`."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

import click

from checker.commands.errors import complain
from checker.commands.inputs import checker_of
from checker.commands.options import with_rulesets
from checker.commands.output import width, write
from checker.problems.problem import ProblemsFound

MOST_COLUMNS = 160


@click.command("list")
@with_rulesets
@click.option("--place", default="", help="A jurisdiction code. Without one: every shipped rule.")
def list(folders: tuple[Path, ...], wanted: tuple[str, ...], on: datetime.date | None, place: str) -> None:
    """Tell what is in force at a place, since when and from whom.

    By ruleset: its edition, by whose adoption; then each rule with its obligation, what is true when it passes, and who
    amended, withdrew or restored it. DATE is the day that editions and amendments are looked at; default: today.
    """
    from checker.authoring import listing

    checker = checker_of(folders, wanted)
    day = on or datetime.date.today()
    try:
        chain = checker.chain(place)
    except ProblemsFound as found:
        complain(found)
        sys.exit(2)
    write(listing.text(chain, day.toordinal(), min(width(), MOST_COLUMNS)), None)
