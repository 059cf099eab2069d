"""The folder of the pages. Only an empty folder or one of our own is written to, and only our own files are deleted.

`docs.json` in it says what the pages were made for and, by its digest, what each file was when it was written.
"""

from __future__ import annotations

import datetime
import hashlib
import json
import re
from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from checker.problems.problem import refused

LIST = "docs.json"
MADE_BY = "changeout rules docs"
OURS = re.compile(r"(?:[a-z0-9-]+/){0,2}[A-Za-z0-9-]+\.(?:html|md)", re.ASCII)
MOST_BYTES = 4 * 1024 * 1024


class Made(NamedTuple):
    """What the pages in a folder were made for, and the digest of each file."""

    form: str
    place: str
    wanted: tuple[str, ...]
    on: str
    files: Mapping[str, str]

    def text(self) -> str:
        """As it stands in the folder."""
        data = {"made_by": MADE_BY, "format": self.form, "place": self.place, "rulesets": list(self.wanted), "on": self.on,
                "files": dict(sorted(self.files.items()))}  # fmt: skip
        return json.dumps(data, indent=1, ensure_ascii=False) + "\n"


def digest_of(text: str | bytes) -> str:
    """The first 16 hex digits of the SHA-256 of a file."""
    return hashlib.sha256(text.encode() if isinstance(text, str) else text).hexdigest()[:16]


def made(folder: Path) -> Made | None:
    """What the folder's list says; None where the folder is empty or not there.

    Raises:
        ProblemsFound: The folder holds something else, or its list cannot be read.
    """
    if folder.exists() and not folder.is_dir():
        raise refused(folder, "This is a file, not a folder.", "Name a new folder.")
    listed = folder / LIST
    if not listed.is_file():
        if folder.is_dir() and any(folder.iterdir()):
            what = "The folder has other files in it and no pages of rules. Nothing was written."
            raise refused(folder, what, "Name an empty folder, or a new one.")
        return None
    try:
        return _read(listed)
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        what = "The list of the pages in this folder cannot be read; nothing was written."
        raise refused(listed, what, "Name an empty folder, or a new one.") from None


def _read(listed: Path) -> Made:
    if listed.stat().st_size > MOST_BYTES:
        raise ValueError
    data = json.loads(listed.read_text(encoding="utf-8"))
    if data["made_by"] != MADE_BY:
        raise ValueError
    files = {name: digest for name, digest in data["files"].items() if OURS.fullmatch(name)}
    on = datetime.date.fromisoformat(data["on"]).isoformat()
    return Made(str(data["format"]), str(data["place"]), tuple(map(str, data["rulesets"])), on, files)


def inside(folder: Path, name: str) -> Path:
    """The path of a page in the folder.

    Raises:
        ProblemsFound: A link in the folder leads out of it.
    """
    path = folder / name
    if not path.resolve().is_relative_to(folder.resolve()):
        raise refused(path, "This leads out of the folder.", "Name an empty folder, or a new one.")
    return path


def differences(folder: Path, before: Made | None, files: Mapping[str, str]) -> list[str]:
    """Files that differ from what would be written now: one line each, in the order of their names."""
    wrong = {}
    for name, text in files.items():
        path = inside(folder, name)
        if not path.is_file():
            wrong[name] = "is missing"
        elif digest_of(path.read_bytes()) != digest_of(text):
            wrong[name] = "doesn't fit the rulesets any more"
    for name in before.files if before else ():
        if name not in files and inside(folder, name).is_file():
            wrong[name] = "is about a rule that no longer exists"
    return [f"{name} {what}" for name, what in sorted(wrong.items())]


def gone(folder: Path, before: Made | None, files: Mapping[str, str]) -> tuple[list[Path], list[Path]]:
    """The pages of rules that are gone: those to delete, and those that somebody changed, which stay."""
    old = [
        (inside(folder, name), digest) for name, digest in (before.files if before else {}).items() if name not in files
    ]
    there = [(path, digest_of(path.read_bytes()) == digest) for path, digest in old if path.is_file()]
    return [path for path, ours in there if ours], [path for path, ours in there if not ours]
