"""Archives of packed jobs as commands name them. What reads them is an extra, so that it is asked for only where one is named."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from checker.commands.errors import stop, stopping
from checker.reading.archive import Archive, read_archive

if TYPE_CHECKING:
    from checker.engine.checker import Checker

HINT = "Get it with pip install 'changeout-checker[columns]'."


def refuse_without_library(where: str | Path) -> None:
    """End the command where the library that archives need is not installed."""
    if find_spec("pyarrow") is None:
        stop(where, "Packed jobs need one more library, which is not installed.", HINT)


def archive_in(folder: Path, checker: Checker) -> Archive:
    """The archive in a folder; ends the command where it cannot be read."""
    refuse_without_library(folder)
    with stopping():
        return read_archive(folder, checker.vocabulary.digest)
