"""`changeout rules cases`."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from checker.commands import options
from checker.commands.errors import stopping
from checker.commands.guard import Output
from checker.commands.inputs import checker_of, together
from checker.commands.output import write
from checker.problems.problem import Problem

if TYPE_CHECKING:
    from checker.authoring.mutation.mutants import Flipped
    from checker.engine.checker import Checker
    from checker.rulesets.ruleset import Ruleset


@options.command()
@click.argument("folders", nargs=-1, type=click.Path(exists=True, file_okay=False, path_type=Path), metavar="[FOLDER]…")
@options.more_rules_too
@click.option(
    "--flip",
    is_flag=True,
    help="Also break the rules on purpose, one comparison, limit, word or line at a time, and tell which breaks no case catches.",
)
@click.option("--rule", "rules", multiple=True, metavar="RULE", help="Run the cases of this rule alone.")
@click.option(
    "--export",
    type=Output(dir_okay=False),
    metavar="FILE",
    help="Write the cases as JSON vectors, with all that a reader in another language needs to judge them.",
)
def cases(
    folders: tuple[Path, ...], more: tuple[Path, ...], rules: tuple[str, ...], flip: bool, export: Path | None
) -> None:
    """Run the worked cases inside the rules: of the shipped rulesets, or of those in the folders that are named.

    Rulesets in a folder stand on the shipped ones and on those under --rules. With --rule, only its cases are run.

    Exit code 0 where every case says what it states, and with --flip none of the slips would pass; 1 otherwise; 2 where a
    ruleset cannot be used.
    """
    checker = checker_of(together(folders, more))
    rulesets = _within(checker, folders)
    with stopping():
        run, failed = _run(checker, rulesets, rules)
        passing = _flip(checker, rulesets) if flip and not failed else 0
        if export and not failed:
            _export(checker, rulesets, export)
    if failed and (flip or export):
        done = "flipped" if flip else "written"
        click.echo(f"Nothing was {done}: first every case has to say what it states.")
    sys.exit(1 if failed or passing else 2 if not run else 0)


def _within(checker: Checker, folders: tuple[Path, ...]) -> list[Ruleset]:
    """The rulesets that stand in these folders, or all of them, by id."""
    inside = [folder.resolve() for folder in folders]
    return [
        ruleset
        for name, ruleset in sorted(checker.library.rulesets.items())
        if not inside or any(checker.library.folders[name].resolve().is_relative_to(folder) for folder in inside)
    ]


def _run(checker: Checker, rulesets: Sequence[Ruleset], rules: Sequence[str]) -> tuple[int, int]:
    """Run the cases and tell what is wrong. Returns how many were run, and how many came out otherwise than they state."""
    from checker.authoring import cases as running

    run = failed = 0
    for ruleset in rulesets:
        stated = [one for one in running.stated(ruleset) if not rules or one.rule in rules]
        problems = list(filter(None, (running.run(checker, one)[0] for one in stated)))
        _say(problems)
        if stated or not rules:
            click.echo(f"{ruleset.id}: {len(stated)} cases, {len(problems)} of them not as stated.")
        run, failed = run + len(stated), failed + len(problems)
    click.echo(f"{run} cases, {failed} of them not as stated.")
    return run, failed


def _export(checker: Checker, rulesets: Sequence[Ruleset], file: Path) -> None:
    from checker.authoring.vectors import vectors
    from checker.problems import json_out

    data = vectors(checker, rulesets)
    write(json_out.compact(data) + "\n", file)
    click.echo(f"{file}: {len(data['cases'])} cases by {len(data['programs'])} programs.")


def _flip(checker: Checker, rulesets: Sequence[Ruleset]) -> int:
    """Tell the flips. Returns how many no case notices, and how many reasons under `untried` excuse none."""
    made = passing = idle = 0
    for ruleset in rulesets:
        rules = list(_flipped(checker, ruleset))
        survivors = [problem for one in rules for problem in one.survivors]
        reasons = [problem for one in rules for problem in one.idle]
        _say([*survivors, *reasons])
        its, excused = sum(one.made for one in rules), sum(len(one.excused) for one in rules)
        click.echo(f"{ruleset.id}: {its} flips, {len(survivors)} of them not noticed, {excused} explained.")
        click.echo(_unseen(checker, ruleset))
        made, passing, idle = made + its, passing + len(survivors), idle + len(reasons)
    click.echo(f"{made} flips, {passing} of them not noticed.")
    return passing + idle


def _unseen(checker: Checker, ruleset: Ruleset) -> str:
    """How many slips of a ruleset no case can see, and whether lint has a release by which it would name them."""
    from checker.authoring.comparing import unseen
    from checker.rulesets.plain_data import lean, plain
    from checker.rulesets.record import newest

    count = sum(1 for _ in unseen.slips(lean(plain(ruleset))))
    release = newest(checker.library, ruleset.id)
    named = (
        f"lint names each since {release.name}" if release else "there is no release since which lint could name them"
    )
    return f"{ruleset.id}: {count} slips that no case can see (a mark, a caution, a row of a long table): {named}."


def _flipped(checker: Checker, ruleset: Ruleset) -> Iterator[Flipped]:
    """The flips of each rule of a ruleset, tried; on a terminal, the rule at work is shown."""
    from checker.authoring.mutation import mutants

    names = mutants.rules_of(ruleset)
    watched = sys.stderr.isatty()
    for index, name in enumerate(names):
        if watched:
            click.echo(f"\r\033[K{ruleset.id}: {index + 1} of {len(names)}, {name}", nl=False, err=True)
        yield mutants.flipped(checker, ruleset, name)
    if watched:
        click.echo("\r\033[K", nl=False, err=True)


def _say(problems: Sequence[Problem]) -> None:
    for problem in problems:
        click.echo(f"{problem}\n", err=True)
