"""`changeout packet`."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from checker.commands import options
from checker.commands.errors import stop, stopping
from checker.commands.guard import Output
from checker.commands.inputs import Inputs
from checker.commands.interview_told import say
from checker.commands.output import write_folder, write_zip


@options.command()
@click.argument("job", required=False, type=click.Path(path_type=Path))
@options.with_inputs()
@click.option("--output", type=Output(), help="A new folder to write it to.")
@click.option("--zip", "packed", type=Output(dir_okay=False), help="A new zip file with the same in it.")
@click.option(
    "--verify", type=click.Path(path_type=Path), help="Check that a packet (folder or zip) is as it was made."
)
def packet(job: Path | None, given: Inputs, output: Path | None, packed: Path | None, verify: Path | None) -> None:
    """Put together what is handed over, or verify it.

    Cover, page, field sheet, job, report, records, photographs, and a list with SHA-256. Photographs go in without the
    place and the names in their files.

    Exit code: that of the check; 2 where the packet could not be made. With --verify: 0 it is as it was made, 1 it is
    not, 2 it is no packet.
    """
    if verify:
        if job or output or packed:
            stop("--verify", "It stands alone.", "Verify a packet, or make one.")
        _verify(verify)
    if job is None:
        stop("JOB", "No job is named.", "Name the file of a job, or verify a packet with --verify.")
    if output is None and packed is None:
        stop(
            "--output",
            "You didn't say where to write it.",
            "Name a new folder with --output, a new zip file with --zip.",
        )
    _make(job, given, output, packed)


def _verify(place: Path) -> None:
    from checker.fieldwork import packet_check

    with stopping():
        checked = packet_check.check(place)
    for line in packet_check.told(checked):
        say(line)
    sys.exit(0 if checked.as_made else 1)


def _make(job: Path, given: Inputs, output: Path | None, packed: Path | None) -> None:
    from checker.fieldwork import packet as packets
    from checker.fieldwork.packet_list import LIST
    from checker.reading.files import read_file

    checker = given.checker
    with stopping():
        made = packets.packet(checker, read_file(job), given.load, job.parent, given.day)
        if output:
            write_folder(made.files, output)
        if packed:
            write_zip({f"{made.folder}/{name}": content for name, content in made.files.items()}, packed)
    places = " and ".join(str(place) for place in (output, packed) if place)
    say(f"{len(made.files)} files in {places}, listed with their SHA-256 in {LIST}.")
    for line in packets.told(made):
        say(line)
    say(made.headline)
    sys.exit(made.code)
