"""`changeout rules …`: for those who keep a ruleset."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

import click

from checker.commands.shared import checker_of, complain, with_rulesets
from checker.problems import ProblemsFound


@click.group()
def rules() -> None:
    """For those who keep a ruleset."""


@rules.command()
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


@rules.command()
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


@rules.command("list")
@with_rulesets
@click.option("--place", default="", help="A jurisdiction code. Without one: every shipped rule.")
def list_rules(folders: tuple[Path, ...], wanted: tuple[str, ...], on: datetime.date | None, place: str) -> None:
    """Name the rules of a place."""
    checker = checker_of(folders, wanted)
    try:
        chain = checker.chain(place)
    except ProblemsFound as found:
        complain(found)
        sys.exit(2)
    for ruleset in chain.rulesets:
        for rule_id, rule in ruleset.rules.items():
            click.echo(f"{rule_id}  ({ruleset.id}, {rule.topic}, {rule.obligation})  {rule.title}")
