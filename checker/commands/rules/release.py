"""`changeout rules release`."""

from __future__ import annotations

import datetime
from pathlib import Path

import click

from checker.commands import options
from checker.commands.errors import stopping
from checker.commands.options import Day
from checker.commands.output import write


@options.command()
@click.argument("path", type=click.Path(path_type=Path))
@click.option("--version", required=True, metavar="X.Y.Z", help="The version to release.")
@options.more_rules
@click.option("--on", type=Day(), default=None, metavar="DATE", help="The day of the release. Default: today.")
def release(path: Path, version: str, folders: tuple[Path, ...], on: datetime.date | None) -> None:
    """Release the ruleset in the folder PATH as X.Y.Z: a frozen copy of it and of all it stands on, for good.

    Lint, the worked cases and their flips come first. The version must be a large enough step from the release before:
    an outcome that is stricter or looser is no patch. Writes ruleset.yaml (its version), CHANGELOG.md (an entry, begun)
    and releases/X.Y.Z.json.
    """
    from checker.authoring import releasing

    with stopping():
        one = releasing.ready(path, version, folders, (on or datetime.date.today()).isoformat())
    for file, text in one.writes:
        file.parent.mkdir(exist_ok=True)
        write(text, file)
        click.echo(f"Written: {file}")
    click.echo(f"{one.id}@{version} is released; finish its entry in the changelog.")
