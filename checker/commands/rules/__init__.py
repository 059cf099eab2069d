"""`changeout rules …`: for those who keep a ruleset. Each command is a module of this package."""

from __future__ import annotations

import click

from checker.commands.lazy_group import LazyGroup

# In the order of the work: begin, look, change, try, compare, release, tell.
COMMANDS = (
    "new",
    "overview",
    "show",
    "facts",
    "functions",
    "index",
    "docs",
    "adopt",
    "amend",
    "answer",
    "confirm",
    "format",
    "lint",
    "prove",
    "cases",
    "compare",
    "release",
    "todo",
    "impact",
    "coverage",
)


@click.group(cls=LazyGroup, package="checker.commands.rules", names=COMMANDS)
def rules() -> None:
    """For those who keep a ruleset."""
