"""`changeout jobs acceptances`."""

from __future__ import annotations

import sys
from pathlib import Path

from checker.commands import options
from checker.commands.inputs import Inputs
from checker.commands.many_jobs import EachJob
from checker.commands.output import width, write


@options.command()
@options.jobs
@options.with_inputs()
@options.days_ahead("--expiring-in", "How many days ahead to list acceptances that run out.")
@options.in_form("text", "json")
@options.to_file
def acceptances(
    paths: tuple[str, ...],
    given: Inputs,
    near: int,
    form: str,
    output: Path | None,
) -> None:
    """The authority's acceptances over all jobs: which run out, which no longer count, which stand.

    \b
    Exit code:
      0  every acceptance stands, and none runs out within the days
      1  one runs out within the days, or one does not count
      2  wrong usage, or a job that cannot be used; the others are told of
    """
    from checker.portfolio.acceptances import AcceptanceList, Listed, as_json, as_text, listed, worth_a_look

    each, every = EachJob(paths, output), list[Listed]()
    for some in each.made(lambda document: listed(given.checker, given.load(document), given.day)):
        every += some
    listing = AcceptanceList(every, each.used, each.unusable, given.day, near, given.checker.vocabulary.caution)
    write(as_json(listing) if form == "json" else as_text(listing, width()), output)
    sys.exit(2 if each.unusable else 1 if worth_a_look(every, near) else 0)
