"""`changeout rules format`."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from checker.commands import options
from checker.commands.errors import complain
from checker.commands.output import write
from checker.problems.problem import ProblemsFound


@options.command()
@click.argument("paths", nargs=-1, required=True, type=click.Path(exists=True, path_type=Path), metavar="PATH…")
@click.option("--check", is_flag=True, help="Write nothing; name the files that are not in order, and end with 1.")
def format(paths: tuple[Path, ...], check: bool) -> None:
    """Put the fields of a ruleset's files in the usual order, so that a change shows what it says, not how it is laid out.

    PATH is a file or a folder. Comments move with the field below them; entries stay where they are; nothing that a file
    says changes. A rule begins with its title and ends with its cases.

    Exit code 0, or 1 with --check where a file is not in order; 2 where a file cannot be read, and the others are written.
    """
    from checker.authoring.editing.canonical import canonical
    from checker.reading.files import decoded, read_bytes

    changed, problems = 0, []
    for file in _files(paths):
        try:
            before = decoded(read_bytes(file, str(file)), str(file))
            after = canonical(before, str(file))
        except ProblemsFound as found:
            problems += found.problems
            continue
        if after != before:
            changed += 1
            click.echo(f"{'Not in order' if check else 'Written'}: {file}")
            if not check:
                write(after, file)
    if problems:
        complain(ProblemsFound(problems))
        sys.exit(2)
    if not changed:
        click.echo("All is in order.")
    sys.exit(1 if check and changed else 0)


def _files(paths: tuple[Path, ...]) -> list[Path]:
    """The files that are named, and those of the rulesets in the folders that are named."""
    from checker.commands.errors import stopping
    from checker.reading.files import files_inside
    from checker.rulesets.ruleset import ruleset_files

    with stopping():
        headers = [header for path in paths if path.is_dir() for header in files_inside(path, "ruleset.yaml")]
        inside = [file for header in headers for file in ruleset_files(header.parent)]
    return list(dict.fromkeys([*(path for path in paths if path.is_file()), *inside]))
