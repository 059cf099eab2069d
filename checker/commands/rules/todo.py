"""`changeout rules todo`."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

import click

from checker.commands.errors import complain
from checker.commands.inputs import checker_of
from checker.commands.many_jobs import each
from checker.commands.options import with_rulesets
from checker.problems.problem import ProblemsFound


@click.command()
@click.argument("jobs", nargs=-1, type=click.Path(path_type=Path))
@with_rulesets
def todo(jobs: tuple[Path, ...], folders: tuple[Path, ...], wanted: tuple[str, ...], on: datetime.date | None) -> None:
    """List what nobody has confirmed in the book, that which decided most of JOBS first."""
    from checker.authoring import confirm as confirming

    checker, day = checker_of(folders, wanted), on or datetime.date.today()
    reports, code = [], 0
    for report in each(tuple(map(str, jobs)), lambda document: checker.check(document, day)):
        if isinstance(report, ProblemsFound):
            complain(report)
            code = 2
        else:
            reports.append(report)
    found_open = confirming.todo(checker, confirming.decided(reports))
    for one in found_open:
        editions = f" [{one.editions}]" if one.editions else ""
        click.echo(f"{one.decided:5} jobs  {one.rule}: {one.document} {one.section}{editions}, {one.unsure}")
    click.echo(f"{len(found_open)} citations to confirm; {len(reports)} jobs looked at.")
    sys.exit(code)
