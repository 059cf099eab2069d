"""One run at a time on an unfinished file: the second is told who holds it.

The lock is one of the operating system on FILE.part.lock. It ends with the process that holds it, however that ends, so
that a lock file which was left behind holds nobody up.
"""

from __future__ import annotations

import datetime
import os
import socket
import sys
from contextlib import suppress
from pathlib import Path

from checker.commands.errors import stop

AT = 4096  # Windows locks bytes, and nobody can read what is locked: the lock stands behind what is written


class Hold:
    """A file that this process alone may write until `release`.

    Args:
        part: The unfinished file.
    """

    def __init__(self, part: Path) -> None:
        self.file = part.with_name(f"{part.name}.lock")
        self._handle = self._taken(part)
        os.ftruncate(self._handle, 0)
        since = datetime.datetime.now().strftime("%Y-%m-%d %H:%M")
        os.write(self._handle, f"process {os.getpid()} on {socket.gethostname()}, since {since}".encode())

    def _taken(self, part: Path) -> int:
        while True:
            try:
                handle = os.open(self.file, os.O_RDWR | os.O_CREAT, 0o666)
            except OSError as error:
                stop(part, f"The file cannot be written: {error.strerror}.", "Check the folder and its permissions.")
            try:
                _lock(handle)
            except OSError:
                who = os.pread(handle, 200, 0).decode(errors="replace") if hasattr(os, "pread") else ""
                os.close(handle)
                stop(
                    part,
                    f"Another run writes it: {who or 'it does not say which'}.",
                    "Wait until it ends, or name another file.",
                )
            if self._still_there(handle):
                return handle
            os.close(handle)  # the run before ended in between and took its lock file along

    def _still_there(self, handle: int) -> bool:
        try:
            return os.path.samestat(os.fstat(handle), os.stat(self.file))
        except OSError:
            return False

    def release(self) -> None:
        """Let others write it."""
        with suppress(OSError):  # Windows deletes no file that is open; the next run takes it as it is
            self.file.unlink()
        os.close(self._handle)


if sys.platform == "win32":
    import msvcrt

    def _lock(handle: int) -> None:
        os.lseek(handle, AT, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        os.lseek(handle, 0, os.SEEK_SET)
else:
    import fcntl

    def _lock(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
