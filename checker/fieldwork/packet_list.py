"""The list of a packet: each file with its SHA-256, a line each, as `sha256sum` writes and checks it."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from pathlib import PurePosixPath

from checker.problems.file_names import leads_outside

LIST = "packet.sha256"
LINE = re.compile(r"([0-9a-f]{64}) [ *](.+)")
LONGEST_NAME = 1024


class NoList(ValueError):
    """Why a text is no list of a packet."""


def as_text(digests: Mapping[str, str]) -> str:
    """The list: two spaces between SHA-256 and name."""
    return "".join(f"{digests[name]}  {name}\n" for name in sorted(digests))


def read(content: bytes) -> dict[str, str]:
    """The SHA-256 of each file in a list, by its name.

    Raises:
        NoList: A line is none, a name points outside the packet, or one stands twice.
    """
    try:
        lines = content.decode("utf-8").splitlines()
    except UnicodeDecodeError:
        raise NoList("it is not UTF-8") from None
    found: dict[str, str] = {}
    for number, line in enumerate(lines, 1):
        match = LINE.fullmatch(line)
        if not match:
            raise NoList(f"line {number} is not a SHA-256 and a name")
        digest, name = match.groups()
        if not safe_name(name):
            raise NoList(f"the name on line {number} points outside the packet")
        if found.setdefault(name, digest) != digest:
            raise NoList(f"the name on line {number} stands there twice")
    if not found:
        raise NoList("it is empty")
    return found


def safe_name(name: str) -> bool:
    """Whether a name is that of a file inside a packet, on every system, with no sign that steers a terminal."""
    if not name or len(name) > LONGEST_NAME or "\\" in name or any(unicodedata.category(c)[0] == "C" for c in name):
        return False
    return not leads_outside(name) and PurePosixPath(name).as_posix() == name
