"""Archives of packed jobs as commands name them. What reads them is an extra, so that it is asked for only where one is named."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from checker.commands.errors import stopping
from checker.commands.extras import refuse_without
from checker.reading.archive import Archive, read_archive

if TYPE_CHECKING:
    from checker.engine.checker import Checker

EXTRA = ("pyarrow", "columns")  # the library that archives need, and the extra that brings it


def archive_in(folder: Path, checker: Checker) -> Archive:
    """The archive in a folder; ends the command where it cannot be read."""
    refuse_without(*EXTRA, folder)
    with stopping():
        return read_archive(folder, checker.vocabulary.digest)
