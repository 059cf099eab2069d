"""`changeout phone`."""

from __future__ import annotations

from pathlib import Path

import click

from checker.commands import options
from checker.commands.errors import stop, stopping
from checker.commands.guard import Output
from checker.commands.inputs import Inputs
from checker.commands.output import write, write_folder


@options.command()
@options.at_place
@click.option("--state", default="", metavar="STATE", help="The state, where no ruleset covers the place.")
@click.option("--county", default="", metavar="NAME", help="Its county, or the city that inspects.")
@click.option("--output", type=Output(dir_okay=False), help="The page: one HTML file.")
@click.option("--site", type=Output(file_okay=False), help="A new folder for a web host: installs on a phone.")
@options.with_inputs()
def phone(given: Inputs, place: str, state: str, county: str, output: Path | None, site: Path | None) -> None:
    """Make the page that asks and judges on a phone, offline.

    One HTML file with the rules of the place inside. It opens from disk; put the folder of --site on any web host for
    phones that run no page from disk. Visited once, it works offline. What it hands over, a job file or a zip with
    pictures, goes through check, photograph and packet.
    """
    from checker.commands.places import job_at
    from checker.fieldwork.phone import page as pages
    from checker.fieldwork.phone import site as sites

    if not (output or site):
        stop("--output", "No place is named to write to.", "Name a file with --output, or a new folder with --site.")
    with stopping():
        job, begins = job_at(given.checker, place, state, county)
        made = pages.made(given.checker, job, begins, given.day, given.inherited)
        if output:
            write(pages.render(made), output)
        if site:
            write_folder(sites.files(made), site)
