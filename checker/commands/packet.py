"""`changeout packet`."""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from collections.abc import Mapping
from pathlib import Path

import click

from checker.commands import options
from checker.commands.errors import stopping
from checker.commands.inputs import Inputs
from checker.problems.problem import Problem, ProblemsFound, Where


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@options.with_inputs()
@click.option(
    "--output", required=True, type=click.Path(path_type=Path), help="A new folder, written whole or not at all."
)
def packet(job: Path, given: Inputs, output: Path) -> None:
    """Put together what is handed over: page, field sheet, job, report, records, photographs, and a list with SHA-256.

    Exit code: that of the check; 2 where the packet could not be made.
    """
    from checker.fieldwork import packet as packets
    from checker.reading.files import read_file

    checker = given.checker
    with stopping():
        made = packets.packet(checker, read_file(job), given.load, job.parent, given.day)
        _write(made.files, output)
    click.echo(f"{len(made.files)} files in {output}, listed with their SHA-256 in {packets.LIST}.")
    for why in made.missing:
        click.echo(f"Not in it: photograph {why}.")
    click.echo(made.headline)
    sys.exit(made.code)


def _write(files: Mapping[str, bytes], output: Path) -> None:
    """A folder that is there with all of its files or not at all.

    Raises:
        ProblemsFound: It is there already, or cannot be written.
    """
    if output.exists():
        raise ProblemsFound([Problem(Where(str(output)), "There is such a folder already.", "Name a new one.")])
    beside = None
    try:
        output.parent.mkdir(parents=True, exist_ok=True)
        beside = Path(tempfile.mkdtemp(dir=output.parent, prefix=f".{output.name}-"))
        for name, content in files.items():
            (beside / name).parent.mkdir(parents=True, exist_ok=True)
            (beside / name).write_bytes(content)
        beside.chmod(0o755)
        os.rename(beside, output)
    except OSError as error:
        if beside:
            shutil.rmtree(beside, ignore_errors=True)
        what = f"The folder cannot be written: {error.strerror}."
        raise ProblemsFound([Problem(Where(str(output)), what, "Check its name and the permissions.")]) from None
