"""`changeout rules list`."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

import click

from checker.commands.shared import checker_of, complain, with_rulesets
from checker.problems import ProblemsFound


@click.command("list")
@with_rulesets
@click.option("--place", default="", help="A jurisdiction code. Without one: every shipped rule.")
def list(folders: tuple[Path, ...], wanted: tuple[str, ...], on: datetime.date | None, place: str) -> None:
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
