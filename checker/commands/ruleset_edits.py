"""What commands that write a ruleset share: opening its folder, showing an edit, writing it, and what is still wrong."""

from __future__ import annotations

import difflib
import sys
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from checker.commands.errors import complain
from checker.commands.inputs import checker_of
from checker.commands.output import paint, write
from checker.commands.prompts import Asking
from checker.problems.problem import Problem, ProblemsFound, Where

if TYPE_CHECKING:
    from checker.authoring.editing.layer_context import Standing

into_folder = click.option(
    "--into",
    required=True,
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="The ruleset's folder, which keeps it.",
)
more_rules = click.option(
    "--rules", "folders", multiple=True, type=click.Path(path_type=Path), help="A folder of more rulesets that it uses."
)
without_asking = click.option("--yes", is_flag=True, help="Write it without asking again.")


class Edit(NamedTuple):
    """A file, what it holds (None: there is none), and what it is to hold."""

    file: Path
    before: str | None
    after: str


def opened(into: Path, folders: tuple[Path, ...]) -> Standing:
    """Where the ruleset in a folder stands, among the shipped ones and those of more folders.

    Raises:
        ProblemsFound: The folder is not a ruleset's, or its layers are wrong.
    """
    from checker.authoring.editing.layer_context import standing
    from checker.reading.files import read_file
    from checker.rulesets.library import SHIPPED

    header = into / "ruleset.yaml"
    if not header.is_file():
        what, hint = "This is not a ruleset's folder: it has no ruleset.yaml.", "'changeout rules new NAME' makes one."
        raise ProblemsFound([Problem(Where(str(into)), what, hint)])
    inside = any(into.resolve().is_relative_to(folder.resolve()) for folder in (SHIPPED, *folders))
    checker = checker_of(folders if inside else (*folders, into), ())
    return standing(checker, checker.library.get(str(read_file(header).data["id"])))


def text_of(file: Path) -> str | None:
    """The text of a file as it is, line ends and all; None where there is none."""
    return file.read_bytes().decode("utf-8") if file.exists() else None


def edit(file: Path, after: str) -> Edit:
    return Edit(file, text_of(file), after)


def file_for(into: Path, section: str, usual: str) -> Path:
    """The file of a ruleset that holds a section already, else the one that usually does."""
    from checker.reading.files import read_file
    from checker.rulesets.ruleset import ruleset_files

    for file in ruleset_files(into):
        if file.name != "ruleset.yaml" and section in read_file(file).data:
            return file
    return into / usual


def keep(edits: list[Edit], ask: Asking, yes: bool) -> None:
    """Show edits, ask whether they are right, and write all of them or none."""
    for one in edits:
        click.echo("\n" + paint(None)(f"{one.file}" + ("" if one.before is not None else " (new)"), "heading"))
        for line in _changed(one):
            click.echo(paint(None)(line, "pass") if line.startswith("+") else line)
    if not yes and not ask.yes("Write this?"):
        click.echo("\nNothing was written.")
        sys.exit(130)
    _put(edits)
    click.echo(f"\nWritten: {', '.join(str(one.file) for one in edits)}.")


def _changed(one: Edit) -> list[str]:
    lines = list(difflib.unified_diff((one.before or "").splitlines(), one.after.splitlines(), n=2, lineterm=""))
    return ["  …" if line.startswith("@@") else line for line in lines[2:]]


def _put(edits: list[Edit]) -> None:
    """Write files, or leave all as they were: also where one was changed by something else meanwhile."""
    for one in edits:
        if text_of(one.file) != one.before:
            what = "The file was changed by something else meanwhile. Nothing was written."
            raise ProblemsFound([Problem(Where(str(one.file)), what, "Give the command again.")])
    done: list[Edit] = []
    try:
        for one in edits:
            write(one.after, one.file)
            done.append(one)
    except SystemExit:
        for one in done:
            one.file.unlink() if one.before is None else write(one.before, one.file)
        raise


def say_what_is_left(into: Path, folders: tuple[Path, ...]) -> int:
    """Lint the ruleset, run its cases, and tell what is wrong and what has still to be filled in.

    Returns:
        The exit code: 0 where nothing is wrong, 1 otherwise.
    """
    from checker.authoring import cases
    from checker.authoring.editing.file_edits import left_to_fill_in
    from checker.authoring.lint import linter as lint
    from checker.engine.checker import Checker
    from checker.reading.job_schema import job_vocabulary
    from checker.rulesets.library import Library
    from checker.rulesets.ruleset import ruleset_files

    try:
        one = opened(into, folders)
    except ProblemsFound as error:
        complain(error)
        return 1
    shown = one.ruleset.parts["header", ""].document.file.removesuffix("ruleset.yaml")
    schema = one.checker.library.schema
    here = Checker(Library(one.chain.rulesets, schema=schema), job_vocabulary(schema))
    wrong = [problem for problem in lint.problems(here) if problem.where.file.startswith(shown)]
    if not wrong:
        wrong = [problem for case in cases.stated(one.ruleset) if (problem := cases.run(one.checker, case)[0])]
    complain(ProblemsFound(wrong))
    left = [place for file in ruleset_files(into) for place in left_to_fill_in(text_of(file) or "", str(file))]
    if left:
        click.echo("Still to be filled in:")
        for place in left:
            click.echo(f"  {place.where.file}:{place.where.line}  {place.excerpt.strip()}")
    if not wrong:
        click.echo(f"{one.ruleset.id}: nothing wrong with it, and its {_count(one)} cases come out as they say.")
    return 1 if wrong else 0


def _count(one: Standing) -> int:
    from checker.authoring import cases

    return len(list(cases.stated(one.ruleset)))
