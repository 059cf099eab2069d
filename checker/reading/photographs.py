"""The photographs that a job names: which of them count as taken.

One counts where its file is there and is the one that was recorded: a picture that the job holds the SHA-256 of is compared
with it, any other is opened to see that it is a picture. What a photograph shows that does not count is not known.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from pathlib import Path
from typing import NamedTuple

from checker.reading import pictures
from checker.reading.fact_reader import Reading
from checker.reading.fact_shapes import pattern
from checker.reading.vocabulary import Vocabulary

NOT_LOOKED_FOR = "The photographs were not looked for: the job has no folder."


class Noted(NamedTuple):
    """A photograph as a job notes it: its file, the path where the job says what it shows, and the SHA-256 that it may have.

    It has two: that of the file as it was taken, and that of the file as it is handed over.
    """

    key: str
    file: str
    shows: str
    digests: tuple[str, ...]


class Also(NamedTuple):
    """Facts, sections or lists that stand on the same photograph; those of a list item only where its own facts say so."""

    facts: tuple[str, ...]
    where: Mapping[str, str]


class Subject(NamedTuple):
    """What a photograph may show: what it is called, the fact, list or section, and what else stands on it."""

    title: str
    shows: str
    also: tuple[Also, ...] = ()


class Looked(NamedTuple):
    """The readings of a job and what is not known in it, after a look for its photographs, with a note on each that is
    missing."""

    readings: Mapping[str, Reading]
    not_known: Mapping[str, str]
    notes: tuple[str, ...]


def subjects(vocabulary: Vocabulary) -> tuple[Subject, ...]:
    """What photographs may show, as the job schema lists it."""
    return tuple(
        Subject(
            one["title"], one["shows"], tuple(Also(tuple(a["facts"]), a.get("where", {})) for a in one.get("also", ()))
        )
        for one in vocabulary.commands.get("photographed", ())
    )


def subject_title(vocabulary: Vocabulary, shows: str) -> str:
    """What a photograph shows, in words: as the job schema lists it, else the title of the fact or list, else its path."""
    listed = (one.title for one in subjects(vocabulary) if one.shows == pattern(shows))
    return next(listed, vocabulary.title(shows))


def looked_for(
    noted: Iterable[Noted], folder: Path | None, readings: Mapping[str, Reading], not_known: Mapping[str, str]
) -> Looked:
    """Look for the photographs of a job.

    Args:
        folder: The folder of the job file. Without one the job keeps what it says, with a note that nobody looked.
    """
    named = [one for one in noted if one.file]
    if folder is None and named:
        return Looked(readings, not_known, (NOT_LOOKED_FOR,))
    kept, unknown, notes = dict(readings), dict(not_known), list[str]()
    for one in named:
        why = why_missing(folder, one.file, one.digests)
        if why and one.shows in kept:
            del kept[one.shows]
            unknown[one.shows] = f"{one.file}: {why}"
        notes += [f"The photograph {one.file} does not count as taken: {why}."] if why else []
    return Looked(kept, unknown, tuple(notes))


def why_missing(folder: Path | None, file: str, digests: Collection[str] = ()) -> str:
    """Why a picture that is named does not count, in words; empty where it does.

    Args:
        folder: The folder of the job file.
        digests: The SHA-256 that the job recorded of it; without any, the picture is opened.
    """
    try:
        kind, content = pictures.picture(folder, file, digests)
        if not digests:
            from checker.reading import picture_content  # Pillow takes a moment

            picture_content.look(kind, content)
    except pictures.Unshown as why:
        return str(why)
    return ""
