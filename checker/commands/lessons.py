"""`changeout lessons`."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from checker.commands import options
from checker.commands.inputs import Inputs
from checker.commands.many_jobs import EachJob
from checker.commands.output import width, write


@click.command()
@options.jobs
@options.with_inputs(dated=False)
@options.in_form("text", "json")
@options.to_file
def lessons(paths: tuple[str, ...], given: Inputs, form: str, output: Path | None) -> None:
    """What notices said beside what was said here: gaps, rules to write, first-pass rates.

    Each job is judged as of the day of its inspections.

    \b
    Exit code:
      0  every job was read
      2  wrong usage, or a job that cannot be read or judged; the others are still told of
    """
    from checker.portfolio.lessons import Lessons
    from checker.portfolio.lessons_text import LessonsWriter, as_json

    learned, each = Lessons(given.checker), EachJob(paths, output)
    for _ in each.made(lambda document: learned.add(given.load(document))):
        pass
    if form == "json":
        write(as_json(learned, each.unusable), output)
    else:
        write(LessonsWriter(learned, each.unusable, width()).text(), output)
    sys.exit(2 if each.unusable else 0)
