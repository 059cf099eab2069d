"""`changeout rules todo`."""

from __future__ import annotations

import sys

import click

from checker.commands import options
from checker.commands.inputs import Inputs
from checker.commands.many_jobs import EachJob


@options.command()
@click.argument("jobs", nargs=-1)
@options.with_inputs(inherited=False)
def todo(jobs: tuple[str, ...], given: Inputs) -> None:
    """List what nobody has confirmed in the book, that which decided most of JOBS first."""
    from checker.authoring.editing import confirm as confirming

    each = EachJob(jobs)
    reports = list(each.made(lambda document: given.checker.check(document, given.day)))
    found_open = confirming.todo(given.checker, confirming.decided(reports))
    for one in found_open:
        editions = f" [{one.editions}]" if one.editions else ""
        click.echo(f"{one.decided:5} jobs  {one.rule}: {one.document} {one.section}{editions}, {one.unsure}")
    click.echo(f"{len(found_open)} citations to confirm; {len(reports)} jobs looked at.")
    sys.exit(2 if each.unusable else 0)
