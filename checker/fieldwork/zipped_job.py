"""A job that was handed over as one zip, with its pictures: what of it is unpacked, and to where.

A zip may come from a stranger: every name in it is looked at before anything is read, and nothing is read without end.
"""

from __future__ import annotations

import zipfile
from collections.abc import Mapping
from pathlib import Path, PurePosixPath
from typing import NamedTuple

from checker.batch.sources import ours
from checker.fieldwork.packet_check import UNREADABLE, ZipFiles
from checker.problems.problem import refused
from checker.reading import files as job_files

MOST_BYTES = 256 * 1024 * 1024  # of all files of a job: a few dozen pictures


class Zipped(NamedTuple):
    """The files of a zipped job by their names, and the name of the job among them."""

    job: str
    files: Mapping[str, bytes]

    def differ(self, folder: Path) -> list[str]:
        """The files that a folder has not, or has with other bytes; the job is left out, for it may have gone on there."""
        others = {name: content for name, content in self.files.items() if name != self.job}
        missing = [] if (folder / self.job).is_file() else [self.job]
        return missing + [name for name, content in others.items() if _bytes_at(folder / name) != content]


def _bytes_at(path: Path) -> bytes | None:
    try:
        return path.read_bytes()
    except OSError:
        return None


def read(place: Path) -> Zipped:
    """Read a zipped job.

    Raises:
        ProblemsFound: It is no zip, holds no job or several, is too large, or a name in it leads out of it.
    """
    try:
        with zipfile.ZipFile(place) as packed:
            found = ZipFiles(place, packed)
            if sum(info.file_size for info in found.infos.values()) > MOST_BYTES:
                what = f"It holds more than {MOST_BYTES // 2**20} MiB."
                raise refused(place, what, "That is too big for one job. Unpack it and name the job file.")
            files = {name: _content(place, found, name) for name in found.names}
    except UNREADABLE:
        raise refused(place, "This zip cannot be read.", "Hand the job over again.") from None
    except OSError as error:
        raise refused(
            place, f"It cannot be read: {error.strerror or error}.", "Check its name and permissions."
        ) from None
    return Zipped(_job_of(place, files), files)


def _content(place: Path, found: ZipFiles, name: str) -> bytes:
    size = found.infos[name].file_size
    with found.opened(name) as file:
        content = file.read(size + 1)
    if len(content) != size:
        raise refused(place, f"The size of a file in it is not what it says: {name}.", "Hand the job over again.")
    return content


def _job_of(place: Path, files: Mapping[str, bytes]) -> str:
    """The one job file at the top of a zip."""
    found = [
        name
        for name, content in files.items()
        if PurePosixPath(name).suffix == ".json" and "/" not in name and not ours(content[: job_files.MOST_BYTES])
    ]
    if len(found) != 1:
        what = f"It holds {len(found) or 'no'} job file{'s' if len(found) > 1 else ''}."
        raise refused(place, what, "Unpack it and name the job file.")
    return found[0]
