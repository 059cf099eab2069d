"""Where texts go: a terminal, with its width and colours, or a file that is written whole or not at all."""

from __future__ import annotations

import io
import os
import shutil
import sys
import tempfile
import zipfile
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from checker.commands.partial_file import Growing
from checker.problems.problem import refused

if TYPE_CHECKING:
    from checker.reporting.paragraphs import Paint

UNIX = 3  # the system of a zip's permissions, whatever it is made on; PKWARE APPNOTE 4.4.2, from memory
STYLES: dict[str, dict[str, Any]] = {
    "heading": {"bold": True},
    "fail": {"fg": "red", "bold": True},
    "verify": {"fg": "yellow"},
    "pass": {"fg": "green"},
}


def width() -> int:
    return shutil.get_terminal_size((80, 24)).columns


def paint(output: Path | None) -> Paint:
    """Colour on a terminal, unless NO_COLOR says otherwise; never in a file or a pipe."""
    from checker.reporting.paragraphs import plain

    if output is not None or not sys.stdout.isatty() or "NO_COLOR" in os.environ:
        return plain
    return coloured


def coloured(text: str, style: str) -> str:
    """A text in the colours of a style."""
    return click.style(text, **STYLES[style])


def write(text: str | bytes, output: Path | None) -> None:
    """Write to standard output, or to a file: the old text or the new one stands there, never half of it."""
    if output is None:
        click.echo(text, nl=False)
        return
    file = Growing(output)
    try:
        file.open()
        file.write(text)
        file.finish()
    finally:
        file.close()


def make_folder(folder: Path) -> None:
    """Make a folder, and those above it, where it is missing.

    Raises:
        ProblemsFound: It cannot be made.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        what = f"The folder cannot be made: {error.strerror}."
        raise refused(folder, what, "Check its name and the permissions above it.") from None


def write_folder(files: Mapping[str, bytes], output: Path) -> None:
    """Write a new folder, that is there with all of its files or not at all.

    Raises:
        ProblemsFound: It is there already, or cannot be written.
    """
    if output.exists():
        raise refused(output, "That folder exists already.", "Name a new one.")
    beside = None
    try:
        output.parent.mkdir(parents=True, exist_ok=True)
        beside = Path(tempfile.mkdtemp(dir=output.parent, prefix=f".{output.name}-"))
        for name, content in files.items():
            (beside / name).parent.mkdir(parents=True, exist_ok=True)
            (beside / name).write_bytes(content)
        beside.chmod(0o755)
        os.rename(beside, output)
    except OSError as error:
        if beside:
            shutil.rmtree(beside, ignore_errors=True)
        what = f"The folder cannot be written: {error.strerror}."
        raise refused(output, what, "Check its name and the permissions.") from None


def write_zip(files: Mapping[str, bytes], output: Path) -> None:
    """Write a new zip, that is there with all of its files or not at all. The same files give the same bytes.

    Nothing in it is packed: photographs are packed already, and what packs the rest may differ from system to system.

    Raises:
        ProblemsFound: It is there already, or its folder cannot be made.
    """
    if output.exists():
        raise refused(output, "That file exists already.", "Name a new one.")
    make_folder(output.parent)
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w") as packed:
        for name in sorted(files):
            info = zipfile.ZipInfo(name)  # dated 1 January 1980, the first day that a zip knows
            info.create_system, info.external_attr = UNIX, 0o100644 << 16
            packed.writestr(info, files[name])
    write(content.getvalue(), output)
