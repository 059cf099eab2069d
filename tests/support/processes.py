"""Processes of the machine as /proc shows them."""

from __future__ import annotations

from pathlib import Path


def children(parent: int) -> list[int]:
    """The processes that a process began."""
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            text = stat.read_text(errors="replace")
        except OSError:  # it ended meanwhile
            continue
        if int(text.rpartition(")")[2].split()[1]) == parent:
            found.append(int(stat.parent.name))
    return found


def command_of(process: int) -> bytes:
    """The command line of a process; nothing where it is gone."""
    try:
        return Path(f"/proc/{process}/cmdline").read_bytes()
    except OSError:
        return b""
