"""`changeout explain`."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

import click

from checker.commands.errors import complain
from checker.commands.inputs import checker_of, inherited_of, load_job
from checker.commands.options import with_inherited, with_rulesets
from checker.problems.problem import ProblemsFound


@click.command()
@click.argument("rule")
@click.argument("job", required=False, type=click.Path(path_type=Path))
@with_rulesets
@with_inherited
@click.option("--place", default="", help="A jurisdiction code, where no job gives one.")
def explain(
    rule: str,
    job: Path | None,
    folders: tuple[Path, ...],
    wanted: tuple[str, ...],
    on: datetime.date | None,
    equipment: tuple[Path, ...],
    profile: Path | None,
    place: str,
) -> None:
    """Show a rule as it stands after layering and, with a job, its working."""
    from checker.authoring import explain as explaining
    from checker.findings.report import DEFERRAL
    from checker.reading.files import read_file

    checker = checker_of(folders, wanted)
    inherited = inherited_of(checker, equipment, profile)
    day = on or datetime.date.today()
    try:
        loaded = load_job(read_file(job), checker, inherited) if job else None
        place = loaded.place if loaded and not place else place
        click.echo(explaining.rule_text(checker, place, rule, day.toordinal()), nl=False)
        if loaded:
            click.echo()
            for note in loaded.notes:
                click.echo(f"Note: {note}")
            click.echo(explaining.working_text(checker, loaded, rule, day), nl=False)
        click.echo(f"\n{checker.vocabulary.caution}\n{DEFERRAL}")
    except ProblemsFound as found:
        complain(found)
        sys.exit(2)
