"""`changeout jobs …`: what works over many jobs. Each command is a module of this package."""

from __future__ import annotations

import click

from checker.commands.lazy_group import LazyGroup

COMMANDS = ("import", "pack", "outcomes", "open", "lessons", "acceptances")


@click.group(cls=LazyGroup, package="checker.commands.jobs", names=COMMANDS)
def jobs() -> None:
    """Many jobs: from a spreadsheet, what is open, notices."""
