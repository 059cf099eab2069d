"""`changeout rules index`."""

from __future__ import annotations

from pathlib import Path

import click

from checker.commands import options
from checker.commands.inputs import checker_of, together
from checker.commands.output import write


@options.command()
@options.to_file
@options.more_rules_too
@click.argument("folders", nargs=-1, type=click.Path(path_type=Path), metavar="[FOLDER]…")
def index(folders: tuple[Path, ...], more: tuple[Path, ...], output: Path | None) -> None:
    """Write the table of rules: which editions each holds in, with which section, and how sure that is (Markdown)."""
    from checker.authoring import rule_index

    write(rule_index.text(checker_of(together(folders, more)).library), output)
