"""A file that is written beside its place, and takes it when all is written.

A link is followed: what it points to is replaced. A device, a pipe or a stream of this process cannot be replaced, so these
are written to directly.
"""

from __future__ import annotations

import os
import stat
import tempfile
from contextlib import suppress
from pathlib import Path
from typing import BinaryIO, NoReturn

from checker.commands.errors import stop

STREAMS = ("/dev/std", "/dev/fd/", "/proc/")


def is_straight(place: Path) -> bool:
    """Return whether output goes there unbuffered: to a device, a pipe or a stream of this process."""
    is_stream = os.path.abspath(place).startswith(STREAMS)
    return is_stream or (place.exists() and not place.is_file())


def place_of(place: Path) -> Path:
    """The file that is replaced: for a link, what it points to."""
    return Path(os.path.realpath(place)) if place.is_symlink() and not is_straight(place) else place


class Growing:
    """A file in the making.

    Args:
        place: Where it goes when all is written.
        part: Where it is written until then, and stays when the run is stopped. Without one, a stopped run leaves nothing.
    """

    def __init__(self, place: Path, part: Path | None = None) -> None:
        self.place, self.part = place_of(place), part
        self._straight = is_straight(place)
        self._file: BinaryIO | None = None
        self._beside = Path()

    def open(self, at: int = 0) -> None:
        """Open it; `at` is the byte to go on from."""
        try:
            if self._straight:
                self._file = self.place.open("ab")
                return
            if self.part:
                self._file = self.part.open("r+b" if at else "wb")
                self._beside = self.part
            else:
                handle, name = tempfile.mkstemp(dir=self.place.parent, prefix=f".{self.place.name}.", suffix=".new")
                self._file, self._beside = os.fdopen(handle, "wb"), Path(name)
            self._file.truncate(at)
            self._file.seek(at)
        except OSError as error:
            self._stop(error)

    def write(self, text: str | bytes) -> bytes:
        """Write a text, or bytes as they are. Returns the bytes that went to the file."""
        assert self._file
        content = text.encode("utf-8", "backslashreplace") if isinstance(text, str) else text
        try:
            self._file.write(content)
        except OSError as error:
            self._stop(error)
        return content

    def flushed(self) -> int:
        """Put what was written on the disk. Returns the offset of the next byte."""
        assert self._file
        try:
            self._file.flush()
            return self._file.tell()
        except OSError as error:
            self._stop(error)

    def finish(self) -> None:
        """Put the whole file in its place."""
        assert self._file
        try:
            self._file.close()
            if self._straight:
                return
            self._beside.chmod(_usual_mode(self.place))
            os.replace(self._beside, self.place)
        except OSError as error:
            self._stop(error)

    def close(self) -> None:
        """Close it. A file that has not taken its place is deleted, a `part` is kept."""
        if self._file:
            with suppress(OSError):  # what finds no room now was told of when it was written
                self._file.close()
            self._file = None
            if not self.part and not self._straight:
                self._beside.unlink(missing_ok=True)

    def _stop(self, error: OSError) -> NoReturn:
        self.close()
        what = f"The file cannot be written: {error.strerror}."
        stop(self.place, what, "Check the folder and its permissions.")


def _usual_mode(output: Path) -> int:
    """The permissions of the file that is replaced; for a new one, those that the umask leaves."""
    if output.exists():
        return stat.S_IMODE(output.stat().st_mode)
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
