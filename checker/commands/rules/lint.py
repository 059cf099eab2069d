"""`changeout rules lint`."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from checker.commands.shared import complain, opened, write
from checker.problems import Problem, ProblemsFound


@click.command()
@click.argument("folders", nargs=-1, type=click.Path(path_type=Path), metavar="[PATH]…")
@click.option("--format", "form", type=click.Choice(["text", "sarif"]), default="text", show_default=True)
@click.option(
    "--output", type=click.Path(dir_okay=False, path_type=Path), help="Write the log to a file, whole or not at all."
)
def lint(folders: tuple[Path, ...], form: str, output: Path | None) -> None:
    """Find what is wrong with rulesets without any job: the shipped ones, and those in folders.

    As text, mistakes go to standard error; as SARIF 2.1.0, a log goes to standard output or to a file.

    Exit code 0 where nothing is wrong, 2 otherwise.
    """
    from checker.lint import everything as linting

    if output and form == "text":
        raise click.UsageError("--output is for --format sarif; text goes to the terminal.")
    rulesets = 0
    try:
        checker = opened(folders, ())
        rulesets, problems = len(checker.library.rulesets), linting.problems(checker)
    except ProblemsFound as found:
        problems = [problem._replace(sort="shape") for problem in found.problems]
    if form == "sarif":
        write(_log(problems), output)
    elif problems:
        complain(ProblemsFound(problems))
    else:
        click.echo(f"{rulesets} rulesets, nothing wrong with them.")
    sys.exit(2 if problems else 0)


def _log(problems: list[Problem]) -> str:
    """A SARIF log of the mistakes; its rules are the sorts of mistakes that there are."""
    from checker import sarif
    from checker.lint.everything import SORTS

    rules = [sarif.Rule(sort, said, f"{said}. Each result says what to do.") for sort, said in SORTS.items()]
    return sarif.log(rules, [sarif.of_problem(problem.sort, problem) for problem in problems])
