"""`changeout rules todo`."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

import click

from checker.commands.shared import checker_of, complain, jobs_in, with_rulesets
from checker.problems import ProblemsFound


@click.command()
@click.argument("jobs", nargs=-1, type=click.Path(path_type=Path))
@with_rulesets
def todo(jobs: tuple[Path, ...], folders: tuple[Path, ...], wanted: tuple[str, ...], on: datetime.date | None) -> None:
    """List what nobody has confirmed in the book, that which decided most of JOBS first."""
    from checker import confirm as confirming
    from checker.source import read_file

    checker, day = checker_of(folders, wanted), on or datetime.date.today()
    reports, code = [], 0
    for _, path in jobs_in(tuple(map(str, jobs))):
        try:
            reports.append(checker.check(read_file(path or Path("-")), day))
        except ProblemsFound as found:
            complain(found)
            code = 2
    found_open = confirming.todo(checker, confirming.decided(reports))
    for one in found_open:
        editions = f" [{one.editions}]" if one.editions else ""
        click.echo(f"{one.decided:5} jobs  {one.rule}: {one.document} {one.section}{editions}, {one.unsure}")
    click.echo(f"{len(found_open)} citations to confirm; {len(reports)} jobs looked at.")
    sys.exit(code)
