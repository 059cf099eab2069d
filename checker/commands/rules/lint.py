"""`changeout rules lint`."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from checker.commands import options
from checker.commands.errors import complain, tell
from checker.commands.inputs import together
from checker.commands.output import write
from checker.commands.rules.watching import Looked, watch
from checker.problems.problem import Problem, ProblemsFound


@options.command()
@click.argument("folders", nargs=-1, type=click.Path(path_type=Path), metavar="[FOLDER]…")
@options.more_rules_too
@options.in_form("text", "sarif")
@options.to_file
@click.option("--watch", "watching", is_flag=True, help="Look again after each save; the cases of the saved file too.")
def lint(folders: tuple[Path, ...], more: tuple[Path, ...], form: str, output: Path | None, watching: bool) -> None:
    """Find what is wrong with rulesets without any job: the shipped ones, or those in the folders that are named.

    Rulesets in a folder are looked at on top of the shipped ones, and of those under --rules, that they stand on.

    What got looser since the newest release of a ruleset is told too, the heaviest first: it may be intended, and the
    next release asks why. As text, mistakes go to standard error; as SARIF 2.1.0, a log goes to standard output or to a file.

    Exit code 0 where nothing is wrong, 1 where rules got looser, 2 where something is wrong.
    """
    if output and form == "text":
        raise click.UsageError("--output is for --format sarif; text goes to the terminal.")
    if watching:
        if not folders or form != "text":
            raise click.UsageError("--watch wants the folder of a ruleset, and tells what it finds as text.")
        watch(folders, more, lambda: _look(folders, more))
        return
    many, problems, looser, _ = _look(folders, more)
    if form == "sarif":
        write(_log([*problems, *looser]), output)
    elif problems or looser:
        complain(ProblemsFound(problems))
        for problem in looser:
            tell(problem)
    else:
        click.echo(f"{many} rulesets, nothing wrong with them." if many > 1 else "1 ruleset, nothing wrong with it.")
    sys.exit(2 if problems else 1 if looser else 0)


def _look(folders: tuple[Path, ...], more: tuple[Path, ...]) -> Looked:
    """Read rulesets and lint them."""
    from checker.authoring.comparing.since_release import all_since
    from checker.authoring.lint import linter as linting
    from checker.engine.startup import open_checker

    try:
        checker = open_checker(together(folders, more))
        library = checker.library
        roots = [folder.resolve() for folder in folders]
        named = {name for name, path in library.folders.items() if any(path.resolve().is_relative_to(r) for r in roots)}
        problems, looser = linting.problems(checker, named), list[Problem]()
        if not any(problem.sort == "identity" for problem in problems):  # a release that cannot be read is told there
            looser = [problem for since in all_since(library, named) for problem in since.problems]
        return Looked(len(named or library.rulesets), problems, looser, checker)
    except ProblemsFound as error:
        return Looked(0, [problem._replace(sort="shape") for problem in error.problems], [])


def _log(problems: list[Problem]) -> str:
    """A SARIF log of the mistakes; its rules are the sorts of mistakes that there are."""
    from checker.authoring.comparing.since_release import SORT
    from checker.authoring.lint.linter import SORTS
    from checker.reporting import sarif_frame

    sorts = SORTS | {SORT: "A ruleset requires less, or claims more, than its newest release"}
    rules = [sarif_frame.Rule(sort, said, f"{said}. Each result says what to do.") for sort, said in sorts.items()]
    return sarif_frame.log(rules, [sarif_frame.of_problem(problem.sort, problem) for problem in problems])
