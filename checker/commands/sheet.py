"""`changeout sheet`."""

from __future__ import annotations

import json
from pathlib import Path

import click

from checker.commands import options
from checker.commands.errors import stopping
from checker.commands.inputs import Inputs
from checker.commands.output import write


@options.command()
@click.argument("job", required=False, type=click.Path(path_type=Path))
@options.with_inputs()
@options.at_place
@click.option("--all", "everything", is_flag=True, help="Also what does not fit two printed pages.")
@options.to_file
def sheet(job: Path | None, given: Inputs, place: str, everything: bool, output: Path | None) -> None:
    """Make a field sheet to fill in on paper (HTML).

    It has blanks for what the rules of the place look at, by station, core first, limits beside them: two printed pages.

    With JOB only what its scope needs, and what it records is filled in. On a phone: changeout phone.
    """
    from checker.fieldwork import sheet as sheets
    from checker.fieldwork import sheet_page
    from checker.fieldwork.prompts import placed
    from checker.reading.files import read_file, read_text

    checker = given.checker
    there = {checker.vocabulary.at("place"): place} if place else {}
    blank = placed({"job_id": "new-job", "schema_version": 1}, there)
    with stopping():
        document = read_file(job) if job else read_text(json.dumps(blank).encode(), "a blank sheet")
        given.load(document)  # what is wrong in it is told of by its own lines
        made = sheets.sheet(checker, document, given.load, given.day)
    write(sheet_page.render(made, everything), output)
