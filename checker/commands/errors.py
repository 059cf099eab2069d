"""Mistakes told on standard error, and the end of a command that cannot go on."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NoReturn

import click

from checker.problems.problem import Problem, ProblemsFound, refused
from checker.problems.sanitize import inert


def complain(error: ProblemsFound) -> None:
    """Tell every mistake: where, what, and what to do."""
    for problem in error.problems:
        tell(problem)


def tell(problem: Problem) -> None:
    """Tell one mistake."""
    click.echo(f"{inert(str(problem))}\n", err=True)


def stop(where: Path | str, what: str, hint: str) -> NoReturn:
    """Tell one mistake and end the command with 2."""
    complain(refused(where, what, hint))
    sys.exit(2)


@contextmanager
def stopping() -> Iterator[None]:
    """Tell the mistakes that are raised inside, and end the command with 2."""
    try:
        yield
    except ProblemsFound as error:
        complain(error)
        sys.exit(2)
