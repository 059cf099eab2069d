"""Mistakes told on standard error."""

from __future__ import annotations

import click

from checker.problems.problem import ProblemsFound
from checker.problems.sanitize import inert


def complain(found: ProblemsFound) -> None:
    """Tell every mistake: where, what, and what to do."""
    for problem in found.problems:
        click.echo(f"{inert(str(problem))}\n", err=True)
