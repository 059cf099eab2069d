"""What was made of rulesets in an earlier run, kept in the user's own cache folder as JSON.

A cache can be lost or left out and nothing but time is lost with it. What is kept is named by the digests of all that it
was made of, the program and the Python version among them. It is read only where it belongs to the user, nobody else
could have written it, and its digest, which is of its name too, fits; and nothing but plain data comes out of it.
"""

from __future__ import annotations

import functools
import hashlib
import os
import re
import stat
import sys
import tempfile
from pathlib import Path
from typing import Any

import orjson

SETTING = "CHANGEOUT_CACHE"  # a folder of one's own choice; "off" keeps nothing
MOST_FILES = 60
MOST_BYTES = 64 * 1024 * 1024
OWN_NAME = re.compile(r"[0-9a-f]{32}(\.new.*)?")
MADE_WITH = (".py", ".txt", ".json")  # the program, its units and its trade's data
DIGEST = hashlib.sha256().digest_size


def recall(*name: str) -> Any:
    """What was kept under a name; None where nothing was, or it cannot be trusted."""
    folder = _folder()
    if folder is None:
        return None
    file = _file(name)
    try:
        content = _own_bytes(folder / file)
    except OSError:
        return None
    if _digest(file, content[DIGEST:]) != content[:DIGEST]:
        return None
    try:
        return orjson.loads(content[DIGEST:])
    except orjson.JSONDecodeError:
        return None


def keep(value: Any, *name: str) -> None:
    """Keep plain data under a name. Where nothing can be written, nothing is kept."""
    folder = _folder()
    if folder is None:
        return
    content = orjson.dumps(value)
    beside = None
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        place = folder / _file(name)
        with tempfile.NamedTemporaryFile("wb", dir=folder, prefix=f"{place.name}.new", delete=False) as file:
            beside = Path(file.name)
            file.write(_digest(place.name, content) + content)
        os.replace(beside, place)
        _thin_out(folder)
    except OSError:
        if beside:
            beside.unlink(missing_ok=True)


def _digest(file: str, content: bytes) -> bytes:
    """The digest of a file's content and of its name, so that no file passes for another."""
    return hashlib.sha256(file.encode() + b"\0" + content).digest()


def _folder() -> Path | None:
    """Where things are kept; None where nothing is. A folder is named whole, not as seen from where the command runs."""
    chosen = os.environ.get(SETTING, "")
    if chosen == "off":
        return None
    if chosen:
        return Path(chosen)
    around = Path(os.environ.get("XDG_CACHE_HOME", ""))
    try:
        whole = around if around.is_absolute() else Path.home() / ".cache"
    except RuntimeError:  # there is no home
        return None
    return whole / "changeout-checker" if whole.is_absolute() else None


def _file(name: tuple[str, ...]) -> str:
    return hashlib.sha256("\0".join([*name, _program()]).encode()).hexdigest()[:32]


@functools.cache
def _program() -> str:
    """The program as it is on disk: what an earlier one made is not what this one would make."""
    here = str(Path(__file__).parents[1])
    files = (os.path.join(folder, name) for folder, _, names in os.walk(here) for name in names)
    seen = [
        f"{path[len(here) :]} {(found := os.stat(path)).st_size} {found.st_mtime_ns}"
        for path in sorted(files)
        if path.endswith(MADE_WITH)
    ]
    return "\n".join([sys.version, *seen])


def _own_bytes(path: Path) -> bytes:
    """The bytes of a file that is the user's own and that nobody else could have written.

    Raises:
        OSError: It cannot be read, or is not such a file.
    """
    with os.fdopen(os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0)), "rb") as file:
        about = os.fstat(file.fileno())
        own = not hasattr(os, "getuid") or about.st_uid == os.getuid()
        others = about.st_mode & (stat.S_IWGRP | stat.S_IWOTH)
        if not (stat.S_ISREG(about.st_mode) and own and not others and about.st_size <= MOST_BYTES):
            raise PermissionError(f"{path} is not one's own")
        return file.read()


def _thin_out(folder: Path) -> None:
    """The oldest of our files taken away where there are too many; what else stands in the folder is not ours."""
    own = (path for path in folder.iterdir() if OWN_NAME.fullmatch(path.name) and path.is_file())
    files = sorted(own, key=lambda path: path.stat().st_mtime)
    for path in files[:-MOST_FILES]:
        path.unlink(missing_ok=True)
