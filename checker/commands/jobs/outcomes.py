"""`changeout jobs outcomes`."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from checker.commands import options
from checker.commands.errors import stopping
from checker.commands.guard import Output
from checker.commands.inputs import Inputs
from checker.commands.packed import archive_in


@options.command()
@click.argument("archive", type=click.Path(exists=True, file_okay=False, path_type=Path))
@click.option("--output", required=True, type=Output(dir_okay=False), metavar="FILE", help="The Parquet file to write.")
@options.with_inputs(inherited=False)
def outcomes(archive: Path, output: Path, given: Inputs) -> None:
    """Judge an archive that 'jobs pack' wrote, and write a table of outcomes that any SQL engine reads.

    Its columns: job, file, place, rule, item and outcome (pass, fail, verify_locally); a rule that does not apply has no row.

    Exit code 0, or 2 where a job cannot be judged; the others are in the table.
    """
    packed = archive_in(archive, given.checker)
    from checker.batch.packed_outcomes import write_outcomes

    with stopping():
        written = write_outcomes(packed, given.checker, given.day, output)
    left = f"; {written.unusable} jobs cannot be judged" if written.unusable else ""
    click.echo(f"{written.rows} outcomes of {written.jobs} jobs written to {output}{left}.")
    sys.exit(2 if written.unusable else 0)
