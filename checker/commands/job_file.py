"""The file of one job that a command adds to."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from checker.commands.errors import stop
from checker.commands.output import write

if TYPE_CHECKING:
    from checker.fieldwork.prompts import Facts
    from checker.problems.document import Document
    from checker.reading.job import Job


class JobFile:
    """The job's file, and the content that this program last saw in it: what somebody else wrote since is not overwritten."""

    def __init__(self, file: Path) -> None:
        self.file = file
        self.content = file.read_bytes() if file.exists() else None

    def save(self, text: str) -> None:
        """Write the job, whole or not at all. Ends the command where the file was changed by something else."""
        now = self.file.read_bytes() if self.file.exists() else None
        if now != self.content:
            what = "Something else changed the file in the meantime; the last answer is not in it."
            stop(self.file, what, "Start again: it goes on from there.")
        write(text, self.file)
        self.content = text.encode()


def with_facts(job: Job, facts: Facts, folder: Path | None) -> Document:
    """The document of a job with facts put into it, as it would be read from its file.

    Args:
        folder: Where its photographs are looked for; None where they are not to be.
    """
    from checker.fieldwork.interview import as_text
    from checker.fieldwork.prompts import placed
    from checker.reading.files import read_text

    return read_text(as_text(placed(job.data, facts)).encode(), job.file, folder)
