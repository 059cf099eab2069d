"""What commands share: the options that say which rulesets, reading jobs, saying what is wrong, writing whole files."""

from __future__ import annotations

import datetime
import os
import shutil
import stat
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from checker.plain_words import inert
from checker.problems import ProblemsFound

if TYPE_CHECKING:
    from checker.check import Checker
    from checker.document import Document
    from checker.inherit import Inherited
    from checker.job import Job
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
    """The rulesets that the options name; where they cannot be read, says why and stops."""
    try:
        return opened(folders, wanted)
    except ProblemsFound as found:
        complain(found)
        sys.exit(2)


def opened(folders: tuple[Path, ...], wanted: tuple[str, ...]) -> Checker:
    """The shipped rulesets and those in some folders; a folder of shipped ones is read once.

    Raises:
        ProblemsFound: Everything that keeps a ruleset from being read.
    """
    from checker.opened import open_checker

    return open_checker(folders, wanted)


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


def inherited_of(checker: Checker, equipment: tuple[Path, ...], profile: Path | None) -> Inherited:
    """The makers' sheets and the profile that the options name, everything wrong with them said at once."""
    from checker.opened import open_inherited

    try:
        return open_inherited(checker, equipment, profile)
    except ProblemsFound as found:
        complain(found)
        sys.exit(2)


def load_job(document: Document, checker: Checker, inherited: Inherited) -> Job:
    """A job read, with what it inherits.

    Raises:
        ProblemsFound: Everything wrong with the job, or with what it would inherit.
    """
    from checker import inherit

    return inherit.load_job(document, checker.vocabulary, inherited)


def width() -> int:
    return shutil.get_terminal_size((80, 24)).columns


def paint(output: Path | None) -> Paint:
    """Colour on a terminal, unless NO_COLOR says otherwise; never in a file or a pipe."""
    from checker.report.text import plain

    if output is not None or not sys.stdout.isatty() or "NO_COLOR" in os.environ:
        return plain
    return coloured


def coloured(text: str, style: str) -> str:
    """A text in the colours of a style."""
    return click.style(text, **STYLES[style])


def complain(found: ProblemsFound) -> None:
    for problem in found.problems:
        click.echo(f"{inert(str(problem))}\n", err=True)


def write(text: str, output: Path | None) -> None:
    """To standard output, or to a file that is the old one or the new one and never half."""
    from checker.commands.growing_file import Growing

    if output is None:
        click.echo(text, nl=False)
        return
    file = Growing(output)
    try:
        file.open()
        file.write(text)
        file.finish()
    finally:
        file.close()


def usual_mode(output: Path) -> int:
    """The permissions of the file that is replaced, or those that a new file gets here."""
    if output.exists():
        return stat.S_IMODE(output.stat().st_mode)
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
