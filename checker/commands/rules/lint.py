"""`changeout rules lint`."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from checker.commands.shared import checker_of, complain
from checker.problems import ProblemsFound


@click.command()
@click.argument("folders", nargs=-1, type=click.Path(path_type=Path))
def lint(folders: tuple[Path, ...]) -> None:
    """Find what is wrong with rulesets without any job: the shipped ones, and those in FOLDERS.

    Exit code 0 where nothing is, 2 otherwise.
    """
    from checker import lint as linting

    checker = checker_of(folders, ())
    problems = linting.problems(checker)
    if problems:
        complain(ProblemsFound(problems))
        sys.exit(2)
    click.echo(f"{len(checker.library.rulesets)} rulesets, nothing wrong with them.")
