"""What the options name: rulesets, a day, manufacturers' sheets and a profile. Each is opened when it is first asked for."""

from __future__ import annotations

import datetime
import functools
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from checker.commands.errors import stop, stopping
from checker.problems.sanitize import inert

if TYPE_CHECKING:
    from checker.engine.checker import Checker
    from checker.problems.document import Document
    from checker.reading.inherited.inheritance import Inherited
    from checker.reading.job import Job
    from checker.reading.vocabulary import Vocabulary


class Chosen(NamedTuple):
    """The words of the options: folders of more rulesets, rulesets to use besides, a day, sheets and a profile.

    `signers` is the file of those who may sign releases. `place` is for jobs that name none; `settings` says in words what
    of all this came out of a `changeout.toml`.
    """

    folders: tuple[Path, ...] = ()
    wanted: tuple[str, ...] = ()
    on: datetime.date | None = None
    equipment: tuple[Path, ...] = ()
    profile: Path | None = None
    place: str = ""
    settings: str = ""
    signers: Path | None = None


class Inputs:
    """What was chosen, opened. Where it cannot be, everything wrong with it is told and the command ends with 2."""

    def __init__(self, chosen: Chosen) -> None:
        self.chosen = chosen

    @property
    def day(self) -> datetime.date:
        """The day that is looked at: the one named, else today."""
        return self.chosen.on or datetime.date.today()

    @functools.cached_property
    def checker(self) -> Checker:
        """The shipped rulesets and those in the folders; a folder of shipped ones is read once."""
        checker = checker_of(self.chosen.folders, self.chosen.wanted)
        if self.chosen.signers:
            _refuse_unsigned(checker, self.chosen.signers)
        return checker

    @functools.cached_property
    def inherited(self) -> Inherited:
        """What jobs inherit. Nothing is read that the options do not name."""
        return inherited_of(self.checker, self.chosen)

    def load(self, document: Document) -> Job:
        """A job with what it inherits.

        Raises:
            ProblemsFound: Everything wrong with the job, or with what it would inherit.
        """
        from checker.reading.inherited import inheritance

        return inheritance.load_job(document, self.checker.vocabulary, self.inherited)

    def read(self, path: Path) -> Job:
        """The job of a file, as `load` reads it.

        Raises:
            ProblemsFound: The file cannot be read, or as `load` says.
        """
        from checker.reading.files import read_file

        return self.load(read_file(path))


def checker_of(folders: tuple[Path, ...], wanted: tuple[str, ...] = ()) -> Checker:
    """The shipped rulesets and those in some folders, opened as `Inputs` says."""
    from checker.engine.startup import open_checker

    with stopping():
        return open_checker(folders, wanted)


def _refuse_unsigned(checker: Checker, signers: Path) -> None:
    """Stop where a release in use is not signed by one who may; say on standard error who signed it."""
    from checker.commands.signatures import signed_by

    with stopping():
        for name, signer in signed_by(checker.library, signers):
            click.echo(inert(f"{name} is signed by {signer}."), err=True)


def together(folders: tuple[Path, ...], more: tuple[Path, ...]) -> tuple[Path, ...]:
    """Folders of rulesets and those of more rulesets, each read once: one that lies in another is read with that."""
    others = [folder for folder in more if folder not in folders]
    inside = [one for one in folders if not any(one.resolve().is_relative_to(other.resolve()) for other in others)]
    return (*others, *inside)


def inherited_of(checker: Checker, chosen: Chosen) -> Inherited:
    """The manufacturers' sheets and the profile, opened as `Inputs` says."""
    from checker.engine.startup import open_inherited

    with stopping():
        return open_inherited(checker, chosen.equipment, chosen.profile, chosen.place, chosen.settings)


def station_named(option: str, vocabulary: Vocabulary, typed: str) -> str:
    """The station that is meant by its name or a word of its heading; stops where none is, or more than one."""
    if not typed:
        return ""
    stations = vocabulary.stations
    named = [one for one in stations if typed.lower() == one.name]
    found = named or [one for one in stations if typed.lower() in one.heading.lower()]
    if len(found) != 1:
        known = "; ".join(f"{one.name} ({one.heading})" for one in found or stations)
        stop(option, f"'{typed}' is {'no' if not found else 'more than one'} station.", f"One of: {known}.")
    return found[0].name
