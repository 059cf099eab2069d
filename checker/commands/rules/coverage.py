"""`changeout rules coverage`."""

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
from checker.problems.problem import ProblemsFound


@click.command()
@click.argument("paths", nargs=-1, required=True, metavar="JOB…")
@with_rulesets
@with_inherited
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.option("--output", type=click.Path(dir_okay=False, path_type=Path), help="Write to a file, whole or not at all.")
def coverage(
    paths: tuple[str, ...],
    folders: tuple[Path, ...],
    wanted: tuple[str, ...],
    on: datetime.date | None,
    equipment: tuple[Path, ...],
    profile: Path | None,
    form: str,
    output: Path | None,
) -> None:
    """Which rules, lines, branches and editions the jobs exercised; those never exercised first.

    \b
    Exit code:
      0  every job was judged
      2  wrong usage, or a job that cannot be read or judged; the others are still counted
    """
    from checker.authoring.impact.coverage import Coverage
    from checker.authoring.impact.coverage_text import as_json, as_text
    from checker.portfolio.unusable_jobs import Unusable

    checker = checker_of(folders, wanted)
    inherited = inherited_of(checker, equipment, profile)
    found, unusable = Coverage(checker, on or datetime.date.today()), Unusable()
    for job in each(paths, lambda document: load_job(document, checker, inherited), output):
        try:
            if isinstance(job, ProblemsFound):
                raise job
            found.add(job)
        except ProblemsFound as wrong:
            complain(unusable.add(wrong))
    write(as_json(found, unusable.count) if form == "json" else as_text(found, unusable.count, width()), output)
    sys.exit(2 if unusable.count else 0)
