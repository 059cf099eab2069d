"""The index of an archive of packed jobs: which parts it has, and what they were packed by. The tables are `packed_jobs`'s."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path
from typing import NamedTuple, NoReturn

from checker.problems.problem import refused

FORMAT = 1
PART = re.compile(r"[0-9a-f]{16}")  # the name of a part: a digest
INDEX = "pack.json"
AGAIN = "Pack the jobs again with 'changeout jobs pack'."


class Part(NamedTuple):
    """Some jobs of an archive: the folder of their tables, how many they are, and how many more could not be used."""

    name: str
    jobs: int
    unusable: int


class Archive(NamedTuple):
    """A folder of packed jobs. `vocabulary` is the digest of the job schema that they were read by."""

    folder: Path
    vocabulary: str
    parts: tuple[Part, ...]

    def folder_of(self, part: Part) -> Path:
        """Where the tables of a part stand."""
        return self.folder / part.name


def is_archive(folder: Path) -> bool:
    """Whether a folder holds packed jobs."""
    return (folder / INDEX).is_file()


def write_index(archive: Archive) -> None:
    """Say which parts the archive has; what is left of others goes."""
    data = {"pack": FORMAT, "vocabulary": archive.vocabulary, "parts": [one._asdict() for one in archive.parts]}
    beside = archive.folder / f".{INDEX}.new"
    beside.write_text(json.dumps(data, indent=1) + "\n", encoding="utf-8")
    beside.replace(archive.folder / INDEX)
    known = {part.name for part in archive.parts}
    for old in archive.folder.iterdir():
        if old.is_dir() and old.name not in known and (old / "jobs.parquet").is_file():
            shutil.rmtree(old)


def read_archive(folder: Path, vocabulary: str) -> Archive:
    """The archive in a folder.

    Args:
        vocabulary: The digest of the job schema that is in use.

    Raises:
        ProblemsFound: It is none, is of another format, or was packed by another job schema.
    """
    file = folder / INDEX
    try:
        data = json.loads(file.read_text(encoding="utf-8"))
        if data["pack"] != FORMAT:
            refuse(file, f"The archive is of format {data['pack']}; this program reads format {FORMAT}.")
        found = Archive(folder, data["vocabulary"], tuple(Part(**one) for one in data["parts"]))
        if not all(PART.fullmatch(part.name) for part in found.parts):  # a part is never outside of the folder
            raise ValueError
    except (OSError, ValueError, KeyError, TypeError):
        refuse(file, "This is no index of an archive of packed jobs.")
    if found.vocabulary != vocabulary:
        refuse(file, "The jobs were packed by another job schema, so their facts may be others.")
    return found


def refuse(place: Path, what: str) -> NoReturn:
    """
    Raises:
        ProblemsFound: Something is wrong with an archive; it says to pack the jobs again.
    """
    raise refused(str(place), what, AGAIN)
