"""`changeout prep`."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

import click

from checker.commands.errors import complain
from checker.commands.inputs import checker_of, inherited_of, load_job
from checker.commands.options import with_inherited, with_rulesets
from checker.commands.output import width, write
from checker.problems.problem import ProblemsFound


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@with_rulesets
@with_inherited
@click.option("--format", "form", type=click.Choice(["text", "markdown", "page"]), default="text", show_default=True)
@click.option("--output", type=click.Path(dir_okay=False, path_type=Path), help="Write to a file, whole or not at all.")
def prep(
    job: Path,
    folders: tuple[Path, ...],
    wanted: tuple[str, ...],
    on: datetime.date | None,
    equipment: tuple[Path, ...],
    profile: Path | None,
    form: str,
    output: Path | None,
) -> None:
    """What to bring, ask, see in time, measure and photograph on a visit, from what JOB records so far.

    The figures of the model on order (circuits, as_ordered) serve until the plate can be read.
    """
    from checker.fieldwork import prep_text
    from checker.fieldwork.prep import prepare
    from checker.reading.files import read_file

    checker = checker_of(folders, wanted)
    inherited = inherited_of(checker, equipment, profile)
    try:
        plan = prepare(checker, load_job(read_file(job), checker, inherited), on or datetime.date.today())
    except ProblemsFound as found:
        complain(found)
        sys.exit(2)
    if form == "text":
        write(prep_text.render_text(plan, width()), output)
    elif form == "markdown":
        write(prep_text.render_markdown(plan), output)
    else:
        from checker.fieldwork import prep_page

        write(prep_page.render(plan), output)
    sys.exit(2 if plan.report.not_judged else 0)
