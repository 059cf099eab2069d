"""`changeout jobs pack`."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from checker.commands import options
from checker.commands.errors import complain, stopping
from checker.commands.extras import refuse_without
from checker.commands.guard import Output
from checker.commands.inputs import Inputs
from checker.commands.packed import EXTRA


@options.command()
@options.jobs
@click.option("--output", required=True, type=Output(file_okay=False), metavar="FOLDER", help="Where the archive goes.")
@options.with_inputs(dated=False)
def pack(paths: tuple[str, ...], output: Path, given: Inputs) -> None:
    """Pack many jobs into an archive of columns (Parquet), which 'rules impact' goes through many times as fast.

    The same command again packs only the parts whose jobs changed, and goes on where an earlier run was stopped. What a job
    takes over from a profile or from manufacturers' sheets is packed with it.

    Exit code 0, or 2 where a job cannot be used; the others are packed.
    """
    refuse_without(*EXTRA, "jobs pack")
    from checker.batch.packing import pack as packed
    from checker.batch.sources import items

    with stopping():
        archive = packed(
            items(paths, sys.stdin.buffer, (output,)), output, given.checker.vocabulary, given.inherited, complain
        )
    jobs, unusable = (sum(getattr(part, name) for part in archive.parts) for name in ("jobs", "unusable"))
    click.echo(f"{jobs} jobs packed in {output}" + (f"; {unusable} cannot be used." if unusable else "."))
    sys.exit(2 if unusable or not jobs else 0)
