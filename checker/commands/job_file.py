"""The file of one job that a command adds to."""

from __future__ import annotations

from pathlib import Path

from checker.commands.errors import stop
from checker.commands.output import write


class JobFile:
    """The job's file, and the content that this program last saw in it: what somebody else wrote since is not overwritten."""

    def __init__(self, file: Path) -> None:
        self.file = file
        self.content = file.read_bytes() if file.exists() else None

    def save(self, text: str) -> None:
        """Write the job, whole or not at all. Ends the command where the file was changed by something else."""
        now = self.file.read_bytes() if self.file.exists() else None
        if now != self.content:
            what = "The file was changed by something else meanwhile; the last answer is not in it."
            stop(self.file, what, "Begin again: it goes on from there.")
        write(text, self.file)
        self.content = text.encode()
