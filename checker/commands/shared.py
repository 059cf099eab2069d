"""What commands share: the options that say which rulesets, reading jobs, saying what is wrong, writing whole files."""

from __future__ import annotations

import datetime
import os
import shutil
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from checker.problems import Problem, ProblemsFound, Where

if TYPE_CHECKING:
    from checker.check import Checker
    from checker.report.text import Paint

STYLES: dict[str, dict[str, Any]] = {
    "heading": {"bold": True},
    "fail": {"fg": "red", "bold": True},
    "verify": {"fg": "yellow"},
    "pass": {"fg": "green"},
}


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


def checker_of(folders: tuple[Path, ...], wanted: tuple[str, ...]) -> Checker:
    from checker.check import Checker
    from checker.library import SHIPPED, job_vocabulary, open_library

    missing = [folder for folder in folders if not folder.is_dir()]
    try:
        if missing:
            raise ProblemsFound(
                Problem(Where(str(folder)), "There is no such folder of rulesets.", "Check its name.")
                for folder in missing
            )
        shown = {SHIPPED: "rulesets", **{folder: str(folder) for folder in folders}}
        return Checker(open_library([SHIPPED, *folders], shown), job_vocabulary(), wanted)
    except ProblemsFound as found:
        complain(found)
        sys.exit(2)


def width() -> int:
    return shutil.get_terminal_size((80, 24)).columns


def paint(output: Path | None) -> Paint:
    """Colour on a terminal, unless NO_COLOR says otherwise; never in a file or a pipe."""
    from checker.report.text import plain

    if output is not None or not sys.stdout.isatty() or "NO_COLOR" in os.environ:
        return plain
    return lambda text, style: click.style(text, **STYLES[style])


def jobs_in(paths: tuple[str, ...]) -> Iterator[tuple[str, Path | None]]:
    """Each job's name and file, folders opened in the order of their names; None for standard input."""
    for written in paths:
        path = Path(written)
        if written == "-":
            yield "standard input", None
        elif path.is_dir():
            found = sorted(path.rglob("*.json"))
            if not found:
                complain(
                    ProblemsFound(
                        [
                            Problem(
                                Where(written), "The folder holds no jobs.", "A job is a file whose name ends in .json."
                            )
                        ]
                    )
                )
                sys.exit(2)
            yield from ((str(file), file) for file in found)
        else:
            yield written, path


def complain(found: ProblemsFound) -> None:
    for problem in found.problems:
        click.echo(f"{problem}\n", err=True)


def write(text: str, output: Path | None) -> None:
    """To standard output, or to a file that is the old one or the new one and never half."""
    if output is None:
        click.echo(text, nl=False)
        return
    try:
        with tempfile.NamedTemporaryFile("w", encoding="utf-8", dir=output.parent, delete=False) as file:
            file.write(text)
        os.replace(file.name, output)
    except OSError as error:
        complain(
            ProblemsFound(
                [
                    Problem(
                        Where(str(output)),
                        f"The file cannot be written: {error.strerror}.",
                        "Check the folder and its permissions.",
                    )
                ]
            )
        )
        sys.exit(2)
