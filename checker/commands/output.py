"""Where texts go: a terminal, with its width and colours, or a file that is written whole or not at all."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from checker.commands.partial_file import Growing

if TYPE_CHECKING:
    from checker.reporting.text import Paint

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
    from checker.reporting.text import plain

    if output is not None or not sys.stdout.isatty() or "NO_COLOR" in os.environ:
        return plain
    return coloured


def coloured(text: str, style: str) -> str:
    """A text in the colours of a style."""
    return click.style(text, **STYLES[style])


def write(text: str, output: Path | None) -> None:
    """To standard output, or to a file that is the old one or the new one and never half."""
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
