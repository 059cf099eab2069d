"""`changeout rules cases`."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from checker.commands.shared import checker_of, complain
from checker.problems import ProblemsFound


@click.command()
@click.argument("folders", nargs=-1, type=click.Path(exists=True, file_okay=False, path_type=Path))
def cases(folders: tuple[Path, ...]) -> None:
    """Run the worked cases inside the rules. Without folders: those of the shipped rulesets."""
    from checker import cases as running

    checker = checker_of(folders, ())
    run = failed = 0
    try:
        for name, ruleset in sorted(checker.library.rulesets.items()):
            stated = list(running.stated(ruleset))
            problems = list(filter(None, (running.run(checker, one)[0] for one in stated)))
            for problem in problems:
                click.echo(f"{problem}\n", err=True)
            click.echo(f"{name}: {len(stated)} cases, {len(problems)} of them not as stated.")
            run, failed = run + len(stated), failed + len(problems)
    except ProblemsFound as found:
        complain(found)
        sys.exit(2)
    click.echo(f"{run} cases, {failed} of them not as stated.")
    sys.exit(1 if failed else 2 if not run else 0)
