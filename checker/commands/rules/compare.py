"""`changeout rules compare`."""

from __future__ import annotations

from pathlib import Path

import click

from checker.commands import options
from checker.commands.errors import stopping
from checker.commands.output import width, write
from checker.problems.sanitize import inert


@options.command()
@click.argument("old")
@click.argument("new")
@options.in_form("text", "markdown", "json")
@options.more_rules
@options.to_file
def compare(old: str, new: str, form: str, folders: tuple[Path, ...], output: Path | None) -> None:
    """Tell what changed in meaning from OLD to NEW, by rule, in words: not in layout.

    Each is a ruleset's folder, a release file, or a release as name@1.0.0. Exit code 0, whether anything changed or not.
    """
    from checker.authoring.comparing import text
    from checker.authoring.comparing.comparison import compared
    from checker.authoring.comparing.ruleset_versions import open_both

    with stopping():
        differing = compared(*open_both(old, new, folders))
    if form == "json":
        write(text.as_json(differing), output)
        return
    comparison = (
        text.markdown(differing) if form == "markdown" else text.text(differing, width() if not output else 100)
    )
    write(inert(comparison), output)
