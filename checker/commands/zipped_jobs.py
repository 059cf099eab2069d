"""A job that is named as a zip: unpacked into a folder beside it, once, and from then on the job in that folder."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from checker.commands.output import write_folder
from checker.problems.problem import refused
from checker.problems.sanitize import inert

JOBS = ("paths", "job", "jobs")  # the arguments of commands that name jobs
ENDING = ".zip"


def unpack(words: dict[str, Any]) -> None:
    """Put into the place of each zip among the jobs of a line the job that it holds.

    Raises:
        ProblemsFound: It is no zipped job, or cannot be unpacked there.
    """
    for name in JOBS:
        given = words.get(name)
        if isinstance(given, tuple):
            words[name] = tuple(_job(one) for one in given)
        elif given:
            words[name] = _job(given)


def _job(word: str | Path) -> str | Path:
    place = Path(word)
    if place.suffix.lower() != ENDING or not place.is_file():
        return word
    job = _unpacked(place)
    return job if isinstance(word, Path) else str(job)


def _unpacked(place: Path) -> Path:
    from checker.fieldwork import zipped_job

    zipped, folder = zipped_job.read(place), place.with_suffix("")
    if folder.exists():
        if differ := zipped.differ(folder):
            what = (
                f"{inert(folder.name)} is there already, and {inert(differ[0])} in it differs from the one in the zip."
            )
            raise refused(place, what, "Name the job file in it, or move it away.")
        click.echo(inert(f"{place} was unpacked before: going on with {folder / zipped.job}."), err=True)
    else:
        write_folder(zipped.files, folder)
        click.echo(inert(f"Unpacked {place} to {folder}."), err=True)
    return folder / zipped.job
