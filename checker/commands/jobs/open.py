"""`changeout jobs open`."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from checker.commands import options
from checker.commands.errors import stopping
from checker.commands.guard import Output
from checker.commands.inputs import Inputs
from checker.commands.many_jobs import EachJob
from checker.commands.output import make_folder, width, write


@options.command()
@options.jobs
@options.with_inputs()
@options.days_ahead("--days", "How many days ahead to look.")
@click.option(
    "--revisit",
    "folder",
    type=Output(file_okay=False),
    metavar="DIR",
    help="A sheet for each job, to take on the re-visit.",
)
@options.in_form("text", "json")
@options.to_file
def open(
    paths: tuple[str, ...],
    given: Inputs,
    near: int,
    folder: Path | None,
    form: str,
    output: Path | None,
) -> None:
    """What is open over all jobs: permits, inspections, corrections with their fix, records, calibrations.

    \b
    Exit code:
      0  every job was read
      2  wrong usage, or a job that cannot be used; the others are told of
    """
    from checker.portfolio.obligations_over_jobs import Owing
    from checker.portfolio.obligations_text import as_json, as_text
    from checker.portfolio.revisit import Names, sheet

    checker, day = given.checker, given.day
    if folder:
        with stopping():
            make_folder(folder)
    owing, names, each = Owing(checker, day, near), Names(), EachJob(paths, output)

    for job, report in each.made(lambda document: (one := given.load(document), owing.add(one))):
        if folder and (text := sheet(job, checker, report, day)):
            write(text, folder / names.of(job.id))
    write(as_json(owing, each.unusable) if form == "json" else as_text(owing, each.unusable, width()), output)
    sys.exit(2 if each.unusable else 0)
