"""An edit of a ruleset's folder, as `adopt`, `amend` and `answer` make it: shown, asked about, written, and looked at after."""

from __future__ import annotations

import difflib
import functools
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple, NoReturn

import click

from checker.commands import options
from checker.commands.errors import complain
from checker.commands.inputs import checker_of
from checker.commands.output import paint, write
from checker.commands.prompts import Asking, stoppable
from checker.problems.problem import ProblemsFound, refused

if TYPE_CHECKING:
    from checker.authoring.editing.layer_context import Layers


class Edit(NamedTuple):
    """A file, what it holds (None: there is none), and what it is to hold."""

    file: Path
    before: str | None
    after: str


class EditSession:
    """One command that edits a ruleset's folder: where the ruleset stands, and the questions that are asked on the way."""

    def __init__(self, into: Path, folders: tuple[Path, ...], yes: bool) -> None:
        self.into, self.folders, self.yes = into, folders, yes
        self.ask = Asking()
        self._edits: dict[Path, Edit] = {}
        self.layers = layers_of(into, folders)

    def edit(self, name: str, change: Callable[..., str], *rest: Any) -> Edit:
        """An edit of a file of the folder; `change` takes its text, how to name it and the rest, and gives the new text.

        Of several edits of a file the last holds them all.
        """
        file = self.into / name
        last = self._edits.get(file)
        before = last.before if last else text_of(file)
        text = last.after if last else before
        self._edits[file] = Edit(file, before, change(text or "", str(file), *rest))
        return self._edits[file]

    def given_too(self, rule_id: str, facts: Mapping[str, str]) -> list[Edit]:
        """Edits of the ruleset's own cases of a rule: where the rule is to come out as it did, they give these facts too."""
        from checker.authoring.cases import stated
        from checker.authoring.editing.file_edits import with_name

        edits = []
        for case in (one for one in stated(self.layers.ruleset) if one.rule == rule_id and facts):
            name = case.part.document.file.removeprefix(f"{self.layers.folder}/")
            for path, value in facts.items():
                if case.case.expect in ("pass", "verify_locally") and path not in case.case.given:
                    edits.append(self.edit(name, with_name, (*case.part.path, "given"), path, value))
        return edits

    def new_entry(self, section: str, name: str, data: dict[str, Any]) -> Edit:
        """An entry in a file of its own, so that two keepers' changes meet in no file."""
        from checker.authoring.editing.file_edits import schema_line, with_entry

        file = f"{'answers' if section == 'answers' else 'amendments'}/{name}.yaml"
        self._refuse_second(section, name, file)
        return self.edit(file, with_entry, schema_line(self.into, file), section, name, data)

    def _refuse_second(self, section: str, name: str, file: str) -> None:
        """
        Raises:
            ProblemsFound: The ruleset has such an entry already, in another file.
        """
        part = self.layers.ruleset.parts.get((section, name))
        if part and part.document.file.removesuffix(file) == part.document.file:
            what = f"'{name}' is already under '{section}'."
            raise ProblemsFound([part.problem(("=",), what, "Change it there, or take it out first.")])

    def write(self, edits: list[Edit]) -> None:
        """Show edits, ask whether they are right, and write all of them or none."""
        from checker.authoring.editing.canonical import canonical
        from checker.authoring.editing.file_edits import schema_beside

        edits = [
            one if one.before is not None else one._replace(after=canonical(one.after, str(one.file)))
            for one in {one.file: one for one in edits}.values()
        ]
        for one in edits:
            click.echo("\n" + paint(None)(f"{one.file}" + ("" if one.before is not None else " (new)"), "heading"))
            for line in _changed(one):
                click.echo(paint(None)(line, "pass") if line.startswith("+") else line)
        if not self.yes and not self.ask.yes("Write this?"):
            click.echo("\nNothing was written.")
            sys.exit(130)
        _put(edits)
        if any(one.before is None for one in edits):
            for name, schema in schema_beside(self.into).items():
                (self.into / name).write_bytes(schema)
        click.echo(f"\nWritten: {', '.join(str(one.file) for one in edits)}.")

    def finish(self) -> NoReturn:
        """Tell what is still wrong, and end the command with 0 where nothing is, else with 1."""
        sys.exit(say_what_is_left(self.into, self.folders))


def edits_a_ruleset(command: Callable[..., None]) -> Callable[..., None]:
    """The options of a command that edits a ruleset's folder; the command takes an `EditSession` as `session`."""

    @functools.wraps(command)
    def called(into: Path, folders: tuple[Path, ...], yes: bool, **words: Any) -> None:
        command(session=EditSession(into, folders, yes), **words)

    into_folder = click.option(
        "--into",
        required=True,
        type=click.Path(path_type=Path),
        metavar="FOLDER",
        help="The ruleset's folder, which keeps it.",
    )
    without_asking = click.option("--yes", is_flag=True, help="Write it without asking again.")
    asked: Callable[..., None] = stoppable(called)
    for option in (without_asking, options.more_rules, into_folder):
        option(asked)
    return asked


def layers_of(into: Path, folders: tuple[Path, ...]) -> Layers:
    """The layers around the ruleset in a folder, among the shipped rulesets and those of more folders.

    Raises:
        ProblemsFound: The folder is not a ruleset's, or its layers are wrong.
    """
    from checker.authoring.editing.layer_context import layers_around
    from checker.reading.files import read_file
    from checker.rulesets.library import SHIPPED

    header = into / "ruleset.yaml"
    if not header.is_file():
        what, hint = "This is not a ruleset's folder: it has no ruleset.yaml.", "'changeout rules new NAME' makes one."
        raise refused(into, what, hint)
    inside = any(into.resolve().is_relative_to(folder.resolve()) for folder in (SHIPPED, *folders))
    checker = checker_of(folders if inside else (*folders, into), ())
    return layers_around(checker, checker.library.get(str(read_file(header).data["id"])))


def text_of(file: Path) -> str | None:
    """The text of a file as it is, line ends and all; None where there is none."""
    return file.read_bytes().decode("utf-8") if file.exists() else None


def _changed(edit: Edit) -> list[str]:
    lines = list(difflib.unified_diff((edit.before or "").splitlines(), edit.after.splitlines(), n=2, lineterm=""))
    return ["  …" if line.startswith("@@") else line for line in lines[2:]]


def _put(edits: list[Edit]) -> None:
    """Write all files or none: none where one was changed by something else meanwhile, or cannot be written."""
    for one in edits:
        if text_of(one.file) != one.before:
            what = "Something else changed the file in the meantime. Nothing was written."
            raise refused(one.file, what, "Run the command again.")
    done: list[Edit] = []
    try:
        for one in edits:
            one.file.parent.mkdir(exist_ok=True)
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
        layers = layers_of(into, folders)
    except ProblemsFound as error:
        complain(error)
        return 1
    shown = layers.ruleset.parts["header", ""].document.file.removesuffix("ruleset.yaml")
    library = layers.checker.library
    using = layers.checker.using(layers.ruleset.id)
    chains = [layers.chain, *(using.chain(place) for place in library.worked_at(layers.ruleset))]
    around = [library.rulesets[name] for name in dict.fromkeys(name for one in chains for name in one.by_id)]
    here = Checker(Library(around, schema=library.schema), job_vocabulary(library.schema))
    stated = list(cases.stated(layers.ruleset))
    wrong = [problem for problem in lint.problems(here, [layers.ruleset.id]) if problem.where.file.startswith(shown)]
    if not wrong:
        wrong = [problem for case in stated if (problem := cases.run(layers.checker, case)[0])]
    complain(ProblemsFound(wrong))
    left = [place for file in ruleset_files(into) for place in left_to_fill_in(text_of(file) or "", str(file))]
    if left:
        click.echo("Still to be filled in:")
        for place in left:
            click.echo(f"  {place.where.file}:{place.where.line}  {place.excerpt.strip()}")
    if not wrong:
        click.echo(f"{layers.ruleset.id}: nothing wrong with it, and its {len(stated)} cases come out as they say.")
    return 1 if wrong else 0
