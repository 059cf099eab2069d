"""`changeout rules todo`."""

from __future__ import annotations

import sys
from collections import Counter

import click

from checker.commands import options
from checker.commands.errors import stopping
from checker.commands.inputs import Inputs
from checker.commands.many_jobs import EachJob


@options.command()
@click.argument("jobs", nargs=-1)
@click.option("--states", is_flag=True, help="The states' codes to look up, those where most of JOBS lie first.")
@options.with_inputs(inherited=False)
def todo(jobs: tuple[str, ...], states: bool, given: Inputs) -> None:
    """List what nobody has confirmed in the book, starting with what decided most of JOBS."""
    from checker.authoring.editing import confirm as confirming

    each = EachJob(jobs)
    if states:
        _of_states(each, given)
        sys.exit(2 if each.unusable else 0)
    reports = list(each.made(lambda document: given.checker.check(document, given.day)))
    found_open = confirming.todo(given.checker, confirming.decided(reports))
    for one in found_open:
        editions = f" [{one.editions}]" if one.editions else ""
        click.echo(f"{one.decided:5} jobs  {one.rule}: {one.document} {one.section}{editions}, {one.unsure}")
    click.echo(f"{len(found_open)} citations to confirm; {len(reports)} jobs read.")
    sys.exit(2 if each.unusable else 0)


def _of_states(each: EachJob, given: Inputs) -> None:
    """The states' codes that nobody has confirmed, with how many of the jobs lie there."""
    from checker.authoring import states_listing
    from checker.reading.job import load

    vocabulary = given.checker.vocabulary
    where = each.made(lambda document: (job := load(document, vocabulary)).text(job.at("state")))
    jobs = Counter(where)
    with stopping():
        found = states_listing.todo(given.checker.library.states(), jobs, given.day.toordinal())
    for one in found:
        reaches = f", read up to {one.reaches}" if one.reaches else ""
        click.echo(f"{one.jobs:5} jobs  {one.state} {one.kind}: {one.known}{reaches}")
    click.echo(f"{len(found)} codes to look up; {sum(jobs.values())} jobs read.")
