"""`changeout packet`."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from checker.commands import options
from checker.commands.errors import stopping
from checker.commands.guard import Output
from checker.commands.inputs import Inputs
from checker.commands.output import write_folder


@options.command()
@click.argument("job", type=click.Path(path_type=Path))
@options.with_inputs()
@click.option("--output", required=True, type=Output(), help="A new folder, written whole or not at all.")
def packet(job: Path, given: Inputs, output: Path) -> None:
    """Put together what is handed over.

    Page, field sheet, job, report, records, photographs, and a list with SHA-256.

    Exit code: that of the check; 2 where the packet could not be made.
    """
    from checker.fieldwork import packet as packets
    from checker.reading.files import read_file

    checker = given.checker
    with stopping():
        made = packets.packet(checker, read_file(job), given.load, job.parent, given.day)
        write_folder(made.files, output)
    click.echo(f"{len(made.files)} files in {output}, listed with their SHA-256 in {packets.LIST}.")
    for why in made.missing:
        click.echo(f"Not in it: photograph {why}.")
    click.echo(made.headline)
    sys.exit(made.code)
