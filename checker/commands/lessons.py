"""`changeout lessons`."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from checker.commands.errors import complain
from checker.commands.inputs import checker_of, inherited_of, load_job
from checker.commands.many_jobs import each
from checker.commands.options import with_inherited
from checker.commands.output import width, write
from checker.problems.problem import ProblemsFound


@click.command()
@click.argument("paths", nargs=-1, required=True, metavar="JOB…")
@click.option("--rules", "folders", multiple=True, type=click.Path(path_type=Path), help="A folder of more rulesets.")
@click.option(
    "--ruleset",
    "wanted",
    multiple=True,
    metavar="ID[@VERSION]",
    help="A ruleset to use besides those of the place.",
)
@with_inherited
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.option("--output", type=click.Path(dir_okay=False, path_type=Path), help="Write to a file, whole or not at all.")
def lessons(
    paths: tuple[str, ...],
    folders: tuple[Path, ...],
    wanted: tuple[str, ...],
    equipment: tuple[Path, ...],
    profile: Path | None,
    form: str,
    output: Path | None,
) -> None:
    """What notices said beside what was said here: gaps, rules to write, first-pass rates.

    Each job is judged as of the day of its inspections.

    \b
    Exit code:
      0  every job was read
      2  wrong usage, or a job that cannot be read or judged; the others are still told of
    """
    from checker.portfolio.lessons import Lessons
    from checker.portfolio.lessons_text import LessonsWriter, as_json
    from checker.portfolio.unusable_jobs import Unusable

    checker = checker_of(folders, wanted)
    inherited = inherited_of(checker, equipment, profile)
    learned, unusable = Lessons(checker), Unusable()
    for job in each(paths, lambda document: load_job(document, checker, inherited), output):
        try:
            if isinstance(job, ProblemsFound):
                raise job
            learned.add(job)
        except ProblemsFound as found:
            complain(unusable.add(found))
    if form == "json":
        write(as_json(learned, unusable.count), output)
    else:
        write(LessonsWriter(learned, unusable.count, width()).text(), output)
    sys.exit(2 if unusable.count else 0)
