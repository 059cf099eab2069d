"""`changeout open`."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

import click

from checker.commands.errors import complain
from checker.commands.inputs import checker_of, inherited_of, load_job
from checker.commands.many_jobs import each
from checker.commands.options import with_inherited, with_rulesets
from checker.commands.output import width, write
from checker.problems.problem import Problem, ProblemsFound, Where


@click.command()
@click.argument("paths", nargs=-1, required=True, metavar="JOB…")
@with_rulesets
@with_inherited
@click.option(
    "--days",
    "near",
    type=click.IntRange(0, 3650),
    default=30,
    show_default=True,
    help="How many days ahead what runs out is told of.",
)
@click.option(
    "--revisit",
    "folder",
    type=click.Path(file_okay=False, path_type=Path),
    metavar="DIR",
    help="Write a sheet to take along for each job with open corrections.",
)
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.option("--output", type=click.Path(dir_okay=False, path_type=Path), help="Write to a file, whole or not at all.")
def open(
    paths: tuple[str, ...],
    folders: tuple[Path, ...],
    wanted: tuple[str, ...],
    on: datetime.date | None,
    equipment: tuple[Path, ...],
    profile: Path | None,
    near: int,
    folder: Path | None,
    form: str,
    output: Path | None,
) -> None:
    """What is owed over all jobs: inspections, corrections, permits, records, calibrations.

    \b
    Exit code:
      0  every job was read
      2  wrong usage, or a job that cannot be read or judged; the others are still told of
    """
    from checker.portfolio.obligations_over_jobs import Owing
    from checker.portfolio.obligations_text import as_json, as_text
    from checker.portfolio.revisit import Names, sheet
    from checker.portfolio.unusable_jobs import Unusable

    day, checker = on or datetime.date.today(), checker_of(folders, wanted)
    inherited = inherited_of(checker, equipment, profile)
    _make(folder)
    owing, names, unusable = Owing(checker, day, near), Names(), Unusable()
    for job in each(paths, lambda document: load_job(document, checker, inherited), output):
        try:
            if isinstance(job, ProblemsFound):
                raise job
            report = owing.add(job)
        except ProblemsFound as found:
            complain(unusable.add(found))
            continue
        if folder and (text := sheet(job, checker, report, day)):
            write(text, folder / names.of(job.id))
    if form == "json":
        write(as_json(owing.items(), owing.jobs, unusable.count, day), output)
    else:
        write(as_text(owing.items(), owing.jobs, unusable.count, day, width(), checker.vocabulary.caution), output)
    sys.exit(2 if unusable.count else 0)


def _make(folder: Path | None) -> None:
    """Make the folder of the sheets, where there is to be one."""
    try:
        if folder:
            folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        where = Where(str(folder))
        complain(ProblemsFound([Problem(where, f"The folder cannot be made: {error.strerror}.", "Check its name.")]))
        sys.exit(2)
