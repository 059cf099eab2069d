"""`changeout explain`."""

from __future__ import annotations

from pathlib import Path

import click

from checker.commands import options
from checker.commands.errors import stopping
from checker.commands.inputs import Inputs


@options.command()
@click.argument("rule")
@click.argument("job", required=False, type=click.Path(path_type=Path))
@options.with_inputs()
@options.at_place
def explain(rule: str, job: Path | None, given: Inputs, place: str) -> None:
    """Show a rule as it stands here and, with a job, its result."""
    from checker.authoring import explain as explaining
    from checker.findings.report import DEFERRAL

    checker, day = given.checker, given.day
    _ = given.inherited  # what is wrong with it is told where there is no job too
    with stopping():
        loaded = given.read(job) if job else None
        place = loaded.place if loaded and not place else place
        click.echo(explaining.rule_text(checker, place, rule, day.toordinal()), nl=False)
        if loaded:
            click.echo()
            for note in loaded.notes:
                click.echo(f"Note: {note}")
            click.echo(explaining.working_text(checker, loaded, rule, day), nl=False)
        click.echo(f"\n{checker.vocabulary.caution}\n{DEFERRAL}")
