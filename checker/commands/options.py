"""Options that several commands take."""

from __future__ import annotations

import datetime
from pathlib import Path

import click


class Day(click.ParamType[datetime.date]):
    name = "date"

    def convert(
        self, value: str | datetime.date, param: click.Parameter | None, ctx: click.Context | None
    ) -> datetime.date:
        if isinstance(value, datetime.date):
            return value
        try:
            return datetime.date.fromisoformat(value)
        except ValueError:
            self.fail(f"'{value}' is not a date: write year-month-day.", param, ctx)


def with_rulesets(command: click.decorators.FC) -> click.decorators.FC:
    """The options that say which rulesets."""
    command = click.option(
        "--rules", "folders", multiple=True, type=click.Path(path_type=Path), help="A folder of more rulesets."
    )(command)
    command = click.option(
        "--ruleset",
        "wanted",
        multiple=True,
        metavar="ID[@VERSION]",
        help="A ruleset to use besides those of the place.",
    )(command)
    return click.option(
        "--on",
        type=Day(),
        default=None,
        metavar="DATE",
        help="The day to look at acceptances and reviews. Default: today.",
    )(command)


def with_inherited(command: click.decorators.FC) -> click.decorators.FC:
    """The options that say what jobs inherit from. Nothing is read that they do not name."""
    command = click.option(
        "--profile",
        type=click.Path(path_type=Path),
        help="A file of what is the same in many jobs: instruments, crew, place.",
    )(command)
    return click.option(
        "--equipment",
        multiple=True,
        type=click.Path(path_type=Path),
        metavar="FOLDER",
        help="A folder of makers' sheets; a job that names a model takes from its sheet what it does not record.",
    )(command)
