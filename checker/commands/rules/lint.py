"""`changeout rules lint`."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from checker.commands import options
from checker.commands.errors import complain
from checker.commands.output import write
from checker.problems.problem import Problem, ProblemsFound


@options.command()
@click.argument("folders", nargs=-1, type=click.Path(path_type=Path), metavar="[PATH]…")
@options.in_form("text", "sarif")
@options.to_file
def lint(folders: tuple[Path, ...], form: str, output: Path | None) -> None:
    """Find what is wrong with rulesets without any job: the shipped ones, or those in the folders that are named.

    Rulesets in a folder are looked at on top of the shipped ones that they stand on.

    As text, mistakes go to standard error; as SARIF 2.1.0, a log goes to standard output or to a file.

    Exit code 0 where nothing is wrong, 2 otherwise.
    """
    from checker.authoring.lint import linter as linting
    from checker.engine.startup import open_checker

    if output and form == "text":
        raise click.UsageError("--output is for --format sarif; text goes to the terminal.")
    many = 0
    try:
        checker = open_checker(folders)
        library = checker.library
        roots = [folder.resolve() for folder in folders]
        named = {name for name, path in library.folders.items() if any(path.resolve().is_relative_to(r) for r in roots)}
        many, problems = len(named or library.rulesets), linting.problems(checker, named)
    except ProblemsFound as error:
        problems = [problem._replace(sort="shape") for problem in error.problems]
    if form == "sarif":
        write(_log(problems), output)
    elif problems:
        complain(ProblemsFound(problems))
    else:
        click.echo(f"{many} rulesets, nothing wrong with them." if many > 1 else "1 ruleset, nothing wrong with it.")
    sys.exit(2 if problems else 0)


def _log(problems: list[Problem]) -> str:
    """A SARIF log of the mistakes; its rules are the sorts of mistakes that there are."""
    from checker.authoring.lint.linter import SORTS
    from checker.reporting import sarif_frame

    rules = [sarif_frame.Rule(sort, said, f"{said}. Each result says what to do.") for sort, said in SORTS.items()]
    return sarif_frame.log(rules, [sarif_frame.of_problem(problem.sort, problem) for problem in problems])
