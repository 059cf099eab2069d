"""Picture files that a job names: inside the folder of the job file, and pictures by their first bytes.

A job may come from a stranger, so nothing outside that folder is opened.
"""

from __future__ import annotations

from pathlib import Path, PurePosixPath, PureWindowsPath

MOST_BYTES = 8 * 1024 * 1024  # of one picture
FIRST_BYTES = 16  # enough to tell the kind


class Unshown(Exception):
    """Why a picture cannot be shown, in words."""


def why_missing(folder: Path | None, file: str) -> str:
    """Why a picture that is named is not there, in words; empty where it is."""
    try:
        _kind(_read(folder, file, FIRST_BYTES))
    except Unshown as why:
        return str(why)
    return ""


def picture(folder: Path | None, file: str) -> tuple[str, bytes]:
    """The kind and the bytes of a picture inside the folder of the job.

    Raises:
        Unshown: It is outside, not there, too large, no picture, or cannot be read.
    """
    content = _read(folder, file, MOST_BYTES + 1)
    if len(content) > MOST_BYTES:
        raise Unshown(f"the file is larger than {MOST_BYTES // 1024 // 1024} MiB")
    return _kind(content), content


def _read(folder: Path | None, file: str, most: int) -> bytes:
    if not file:
        raise Unshown("no file is named")
    if folder is None:
        raise Unshown("the job came without a folder to look in")
    if _leaves(file):
        raise Unshown("its name leads outside the folder of the job file")
    try:
        home, path = folder.resolve(), (folder / file).resolve()
        if not path.is_relative_to(home):
            raise Unshown("its name leads outside the folder of the job file")
        if not path.is_file():
            raise Unshown("there is no such file in the folder of the job file")
        with path.open("rb") as opened:
            return opened.read(most)
    except (OSError, ValueError, RuntimeError):  # no permission, a name no system takes, links in a circle
        raise Unshown("the file cannot be read") from None


def _leaves(file: str) -> bool:
    """Whether a name is absolute or goes up, by the rules of either kind of system."""
    return any(bool(path.anchor) or ".." in path.parts for path in (PurePosixPath(file), PureWindowsPath(file)))


def _kind(content: bytes) -> str:
    """The kind of picture by its first bytes."""
    if content.startswith(b"\xff\xd8\xff"):
        return "jpeg"
    if content.startswith(b"\x89PNG\r\n\x1a\n"):
        return "png"
    if content.startswith((b"GIF87a", b"GIF89a")):
        return "gif"
    if content[:4] == b"RIFF" and content[8:12] == b"WEBP":
        return "webp"
    raise Unshown("the file is not a picture (JPEG, PNG, WebP or GIF)")
