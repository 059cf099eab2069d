"""`changeout sheet`."""

from __future__ import annotations

import datetime
import json
import sys
from pathlib import Path

import click

from checker.commands.errors import complain
from checker.commands.inputs import checker_of, inherited_of, load_job
from checker.commands.options import with_inherited, with_rulesets
from checker.commands.output import write
from checker.problems.problem import ProblemsFound


@click.command()
@click.argument("job", required=False, type=click.Path(path_type=Path))
@with_rulesets
@with_inherited
@click.option("--place", default="", help="A jurisdiction code, where no job gives one.")
@click.option("--fillable", is_flag=True, help="With fields to fill in offline and a button that saves the job file.")
@click.option("--output", type=click.Path(dir_okay=False, path_type=Path), help="Write to a file, whole or not at all.")
def sheet(
    job: Path | None,
    folders: tuple[Path, ...],
    wanted: tuple[str, ...],
    on: datetime.date | None,
    equipment: tuple[Path, ...],
    profile: Path | None,
    place: str,
    fillable: bool,
    output: Path | None,
) -> None:
    """Make a field sheet: the facts that the rules of the place look at, as blanks in the order of the work (HTML).

    With JOB only what its scope needs, and what it records is filled in. Print it, or open it with --fillable.
    """
    from checker.fieldwork import sheet as sheets
    from checker.fieldwork import sheet_page
    from checker.fieldwork.prompts import placed
    from checker.reading.files import read_file, read_text

    checker = checker_of(folders, wanted)
    inherited = inherited_of(checker, equipment, profile)
    there = {checker.vocabulary.at("place"): place} if place else {}
    blank = placed({"job_id": "new-job", "schema_version": 1}, there)
    try:
        document = read_file(job) if job else read_text(json.dumps(blank).encode(), "a blank sheet")
        made = sheets.sheet(
            checker, document, lambda one: load_job(one, checker, inherited), on or datetime.date.today()
        )
    except ProblemsFound as found:
        complain(found)
        sys.exit(2)
    write(sheet_page.render(made, fillable), output)
