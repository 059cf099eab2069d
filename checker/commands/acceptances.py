"""`changeout acceptances`."""

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
@click.option(
    "--expiring-in",
    "near",
    type=click.IntRange(0, 3650),
    default=30,
    show_default=True,
    metavar="DAYS",
    help="How many days ahead an acceptance that runs out is told of.",
)
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.option("--output", type=click.Path(dir_okay=False, path_type=Path), help="Write to a file, whole or not at all.")
def acceptances(
    paths: tuple[str, ...],
    folders: tuple[Path, ...],
    wanted: tuple[str, ...],
    on: datetime.date | None,
    equipment: tuple[Path, ...],
    profile: Path | None,
    near: int,
    form: str,
    output: Path | None,
) -> None:
    """The authority's acceptances over all jobs: which run out, which no longer count, which stand.

    \b
    Exit code:
      0  every acceptance stands, and none runs out within the days
      1  one runs out within the days, or one does not count
      2  wrong usage, or a job that cannot be read or judged; the others are still told of
    """
    from checker.portfolio.acceptances import Listed, Looked, as_json, as_text, listed, worth_a_look
    from checker.portfolio.unusable_jobs import Unusable

    day, checker = on or datetime.date.today(), checker_of(folders, wanted)
    inherited = inherited_of(checker, equipment, profile)
    found: list[Listed] = []
    count, unusable = 0, Unusable()
    for job in each(paths, lambda document: load_job(document, checker, inherited), output):
        try:
            if isinstance(job, ProblemsFound):
                raise job
            found += listed(checker, job, day)
            count += 1
        except ProblemsFound as problems:
            complain(unusable.add(problems))
    looked = Looked(found, count, unusable.count, day, near, checker.vocabulary.caution)
    write(as_json(looked) if form == "json" else as_text(looked, width()), output)
    sys.exit(2 if unusable.count else 1 if worth_a_look(found, near) else 0)
