"""Whether a packet is as it was made: what was changed, what is missing, what was added since.

A packet may come from a stranger. Nothing of it is unpacked or opened but read through once, and no link is followed.
"""

from __future__ import annotations

import hashlib
import os
import stat
import zipfile
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import IO, NamedTuple, Protocol

from checker.fieldwork.packet_list import LIST, NoList, read, safe_name
from checker.problems.problem import refused
from checker.problems.sanitize import inert

MOST_FILES = 10_000
MOST_BYTES = 1024 * 1024 * 1024  # of all files of a packet
MOST_OF_A_LIST = 1024 * 1024
PIECE = 1024 * 1024
# What is raised where a zip is none, is damaged, or is packed or locked in a way that nobody reads here.
UNREADABLE = (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, UnicodeDecodeError)


class Checked(NamedTuple):
    """What a packet is, held against its list. Each name is fit to print.

    `listed` counts the files of the list, `list_digest` is the SHA-256 of the list itself.
    """

    listed: int
    list_digest: str
    changed: tuple[str, ...]
    missing: tuple[str, ...]
    added: tuple[str, ...]

    @property
    def as_made(self) -> bool:
        return not (self.changed or self.missing or self.added)


class _Files(Protocol):
    """The files of a folder or of a zip, by their names inside the packet."""

    names: list[str]

    def opened(self, name: str) -> IO[bytes]: ...


def check(place: Path) -> Checked:
    """Check a packet that is a folder or a zip.

    Raises:
        ProblemsFound: It is no packet, or too large for one, or it cannot be read.
    """
    try:
        if place.is_dir():
            return _checked(place, _Folder(place))
        with zipfile.ZipFile(place) as packed:
            return _checked(place, ZipFiles(place, packed))
    except UNREADABLE:
        raise refused(place, "It is neither a folder nor a zip that can be read.", "Name a packet.") from None
    except OSError as error:
        what = f"It cannot be read: {error.strerror or error}."
        raise refused(place, what, "Check its name and permissions.") from None


def _checked(place: Path, files: _Files) -> Checked:
    if LIST not in files.names:
        raise refused(place, f"It has no {LIST}, so this program didn't make it.", "Name the folder or zip itself.")
    with files.opened(LIST) as file:
        content = file.read(MOST_OF_A_LIST + 1)
    try:
        if len(content) > MOST_OF_A_LIST:
            raise NoList("it is too long")
        listed = read(content)
    except NoList as why:
        raise refused(place, f"Its {LIST} is not the list of a packet: {why}.", "Ask for the packet again.") from None
    there = {*files.names} - {LIST}
    return Checked(
        len(listed),
        hashlib.sha256(content).hexdigest(),
        tuple(inert(name) for name in sorted(listed) if name in there and _digest(files, name) != listed[name]),
        tuple(inert(name) for name in sorted({*listed} - there)),
        tuple(inert(name) for name in sorted(there - {*listed})),
    )


def _digest(files: _Files, name: str) -> str:
    """The SHA-256 of a file; empty where it is a link or cannot be read through, and so is none that was listed."""
    found = hashlib.sha256()
    try:
        with files.opened(name) as file:
            while piece := file.read(PIECE):
                found.update(piece)
    except (OSError, zipfile.BadZipFile, zlib.error, EOFError):
        return ""
    return found.hexdigest()


class _Folder:
    def __init__(self, place: Path) -> None:
        self.place, self.names, size = place, list[str](), 0
        for path in _files_in(place):
            self.names.append(path.relative_to(place).as_posix())
            size += path.lstat().st_size
            _within(place, len(self.names), size)

    def opened(self, name: str) -> IO[bytes]:
        """A file to read; no link and no pipe.

        Raises:
            OSError: It is another thing.
        """
        path = self.place / name
        if not stat.S_ISREG(path.lstat().st_mode):
            raise OSError(f"{name} is not a file")
        return path.open("rb")


def _files_in(folder: Path) -> Iterator[Path]:
    """Everything in a folder but the folders; a link to a folder is not followed."""
    for home, folders, names in os.walk(folder):
        yield from (Path(home, name) for name in names)
        yield from (Path(home, name) for name in folders if Path(home, name).is_symlink())


class ZipFiles:
    """The files of a zip: none of them a link, locked, there twice, or with a name that leads out of it."""

    def __init__(self, place: Path, packed: zipfile.ZipFile) -> None:
        self.packed, self.infos = packed, dict[str, zipfile.ZipInfo]()
        infos = [info for info in packed.infolist() if not info.filename.endswith("/")]
        _within(place, len(infos), sum(info.file_size for info in infos))
        top = _top([info.filename for info in infos])
        for info in infos:
            if not safe_name(info.filename) or stat.S_ISLNK(info.external_attr >> 16):
                what = f"A name in it points outside, or is a link: {inert(info.filename)}."
                raise refused(place, what, "Do not unpack it. Ask for it again.")
            name = info.filename.removeprefix(top)
            if name in self.infos or info.flag_bits & 1:
                what = f"A file in it is there twice, or is locked: {inert(info.filename)}."
                raise refused(place, what, "Ask for it again.")
            self.infos[name] = info
        self.names = list(self.infos)

    def opened(self, name: str) -> IO[bytes]:
        return self.packed.open(self.infos[name])


def _top(names: list[str]) -> str:
    """The folder of a zip that the list stands in, with the slash behind it; empty where it stands in none, or in several."""
    tops = {name.removesuffix(LIST) for name in names if name.count("/") == 1 and name.endswith(f"/{LIST}")}
    return tops.pop() if len(tops) == 1 and LIST not in names else ""


def _within(place: Path, files: int, size: int) -> None:
    if files > MOST_FILES or size > MOST_BYTES:
        what = f"It holds more than {MOST_FILES:,} files or {MOST_BYTES // 2**30} GiB."
        raise refused(place, what, "That is not a packet of a job.")


def told(checked: Checked) -> Iterator[str]:
    """What a check of a packet says, a sentence a line."""
    for name in checked.changed:
        yield f"Changed since: {name}."
    for name in checked.missing:
        yield f"Missing: {name}."
    for name in checked.added:
        yield f"Added since: {name}."
    if checked.as_made:
        yield f"All {checked.listed} files are as the list has them."
    yield f"SHA-256 of {LIST}: {checked.list_digest}. Compare it with the one that was noted when the packet was made."
