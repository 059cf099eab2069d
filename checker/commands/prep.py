"""`changeout prep`."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from checker.commands import options
from checker.commands.errors import stopping
from checker.commands.inputs import Inputs
from checker.commands.output import width, write


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@options.with_inputs()
@options.in_form("text", "markdown", "page")
@options.to_file
def prep(job: Path, given: Inputs, form: str, output: Path | None) -> None:
    """What to bring, ask, see in time, measure and photograph on a visit, from what JOB records so far.

    The figures of the model on order (circuits, as_ordered) serve until the plate can be read.
    """
    from checker.fieldwork import prep_text
    from checker.fieldwork.prep import prepare

    checker = given.checker
    with stopping():
        plan = prepare(checker, given.read(job), given.day)
    if form == "text":
        write(prep_text.render_text(plan, width()), output)
    elif form == "markdown":
        write(prep_text.render_markdown(plan), output)
    else:
        from checker.fieldwork import prep_page

        write(prep_page.render(plan), output)
    sys.exit(2 if plan.report.not_judged else 0)
