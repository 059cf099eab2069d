"""`changeout photograph`."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from checker.commands import options
from checker.commands.inputs import Inputs
from checker.commands.interview_told import say
from checker.commands.job_file import JobFile, with_facts
from checker.commands.prompts import Asking, Option, stoppable
from checker.problems.problem import refused
from checker.problems.sanitize import inert

if TYPE_CHECKING:
    from checker.fieldwork.photographing import Taken
    from checker.reading.job import Job

COPIES = "photographs"  # the folder beside the job for those that come from elsewhere
SOMETHING_ELSE = "something else"


@options.command()
@click.argument("job", type=click.Path(dir_okay=False, path_type=Path))
@click.argument("files", nargs=-1, metavar="[FILE…]", type=click.Path(path_type=Path))
@click.option("--shows", metavar="WORDS", help="What each FILE shows, in a word or two. Nothing is asked.")
@options.with_inputs()
@stoppable
def photograph(job: Path, files: tuple[Path, ...], shows: str | None, given: Inputs) -> None:
    """Take photos into JOB, each with what it shows.

    Asks what each FILE shows, and notes a mark of it (SHA-256) that tells if it is changed later. A FILE outside of the
    folder of JOB is copied into it; no FILE is changed. Without a FILE, those that JOB names already get their mark. JOB is
    written at the end.

    Exit code: 0 all were taken in; 2 one cannot be used (the others were taken in), or wrong usage; 130 stopped, nothing written.
    """
    binding = _Binding(job, given, shows)
    for file in files or binding.named():
        binding.take(file)
    binding.save()
    sys.exit(2 if binding.refused else 0)


class _Copy(NamedTuple):
    """A file that is to be copied into the folder of the job."""

    source: Path
    place: Path


class _Binding:
    """Photographs that are bound to one job, one after another; written at the end."""

    def __init__(self, path: Path, given: Inputs, shows: str | None) -> None:
        from checker.fieldwork import photographing
        from checker.reading.files import read_file

        self.path, self.given, self.shows = path, given, shows
        self.work, self.ask = photographing, Asking()
        self.file, self.document = JobFile(path), read_file(path)
        self.job: Job = given.load(self.document)
        self.refused = 0
        self.copies: list[_Copy] = []
        if not self.job.at("photographs.sha256"):
            raise refused(path, "The job schema has no photographs.")

    def named(self) -> list[Path]:
        """The files of the photographs that the job names."""
        from checker.reading.job import noted_photographs

        return [self.path.parent / one.file for one in noted_photographs(self.job) if one.file]

    def take(self, file: Path) -> None:
        """Look at a file, ask what it shows, and keep it for the end."""
        from checker.reading.pictures import Unshown, picture_at

        try:
            found = self.work.taken(*picture_at(file), file.name)
        except Unshown as why:
            self.refused += 1
            say(f"{_called(file)}: not taken. {_sentence(str(why))}")
            return
        if key := self.work.bound_already(self.job, found.sha256):
            say(f"{_called(file)}: it is in the job already, as '{key}'.")
            return
        place = self._place(file, found)
        shows = self._shown(file, place, found)
        self.document = with_facts(self.job, self.work.facts(self.job, place, shows, found), None)
        self.job = self.given.load(self.document)
        _tell(file, self.work.called_by(self.job.vocabulary, shows), found)

    def _place(self, file: Path, found: Taken) -> str:
        """Where a file is, relative to the folder of the job. One from elsewhere is to be copied there, under a free name."""
        home, real = Path(os.path.realpath(self.path.parent)), Path(os.path.realpath(file))
        if real.is_relative_to(home):
            return real.relative_to(home).as_posix()
        taken = {one.place for one in self.copies}
        for number in range(1, 10_000):
            name = f"{COPIES}/{file.stem}{f'-{number}' if number > 1 else ''}{file.suffix}"
            place = self.path.parent / name
            if place not in taken and (not os.path.lexists(place) or _same(place, found)):
                self.copies.append(_Copy(file, place))
                return name
        raise refused(file, "There are too many photographs of this name.", "Rename it.")

    def _shown(self, file: Path, place: str, found: Taken) -> str:
        """The path of what a photograph shows: by the option, by the job, or asked."""
        from checker.reading.photographs import subjects

        if self.shows is not None:
            return self.ask.text("", Option("--shows", self.shows), lambda words: self.work.shown_by(self.job, words))
        at = self.work.named_as(self.job, place)
        if at is not None and (before := self.work.noted(self.job, at, "shows")):
            return before
        listed = {one.title: one.shows for one in subjects(self.job.vocabulary)}
        size = f"{found.look.width} × {found.look.height}"
        day = f", taken {found.look.day.isoformat()}" if found.look.day else ""
        chosen = self.ask.choice(f"{_called(file)} ({size}{day}): what does it show?", {**listed, SOMETHING_ELSE: ""})
        if chosen:
            return chosen
        return self.ask.text("A word or two of what it shows?", read=lambda words: self.work.shown_by(self.job, words))

    def save(self) -> None:
        """Copy what comes from elsewhere, write the job, and say which photographs rules still want."""
        for copy in self.copies:
            _copy(copy)
        self.file.save(self.document.text)
        job = self.given.read(self.path)
        wanted = self.work.still_wanted(job, self.given.checker.check_job(job, self.given.day))
        for note in self.work.not_counted(job):
            say(note)
        for finding in wanted:
            say(f"Still to take: {finding.photograph}. [{finding.rule}]")
        if not self.refused and not wanted:
            say("Every photograph that the rules call for is there.")


def _same(place: Path, found: Taken) -> bool:
    return place.is_file() and place.read_bytes() == found.content


def _copy(copy: _Copy) -> None:
    """Copy a file, whole or not at all.

    Raises:
        ProblemsFound: It cannot be written.
    """
    if copy.place.exists():
        return
    beside = copy.place.with_name(f".{copy.place.name}.part")
    try:
        copy.place.parent.mkdir(exist_ok=True)
        shutil.copyfile(copy.source, beside)
        os.replace(beside, copy.place)
    except OSError as error:
        beside.unlink(missing_ok=True)
        what = f"The photograph cannot be copied there: {error.strerror}."
        raise refused(copy.place, what, "Check the folder and its permissions.") from None


def _tell(file: Path, shown: str, found: Taken) -> None:
    day = f"Taken {found.look.day.isoformat()}." if found.look.day else "It does not say when it was taken."
    away = found.look.gives_away
    left_out = f" The packet leaves out what else is in its file: {', '.join(away)}." if away else ""
    say(f"{_called(file)}: {shown}. {day} Mark {found.sha256[:16]} (SHA-256).{left_out}")


def _called(file: Path) -> str:
    """The name of a file, fit for a terminal."""
    return inert(file.name)


def _sentence(why: str) -> str:
    return f"{why[0].upper()}{why[1:]}."
