"""Picture files that a job names: inside the folder of the job file, and pictures by their first bytes.

A job may come from a stranger, so nothing outside that folder is opened.
"""

from __future__ import annotations

import hashlib
from collections.abc import Collection
from pathlib import Path

from checker.problems.file_names import leads_outside

MOST_BYTES = 32 * 1024 * 1024  # of one picture
KINDS = "JPEG, PNG or WebP"
CHANGED = "the file is not the one that was recorded: its SHA-256 differs"
# The brands of the HEIF family in an ISO base media file, which phones write; ISO/IEC 23008-12, from memory.
PHONE_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1", b"avif")


class Unshown(Exception):
    """Why a picture cannot be shown, in words."""


def picture(folder: Path | None, file: str, digests: Collection[str] = ()) -> tuple[str, bytes]:
    """The kind and the bytes of a picture inside the folder of the job.

    Raises:
        Unshown: It is outside, not there, too large, no picture, cannot be read, or is another than was recorded.
    """
    kind, content = checked(_read(folder, file))
    if digests and digest(content) not in digests:
        raise Unshown(CHANGED)
    return kind, content


def picture_at(path: Path) -> tuple[str, bytes]:
    """The kind and the bytes of a picture that was named on the command line.

    Raises:
        Unshown: It is not there, too large, no picture, or cannot be read.
    """
    return checked(_content(path, "there is no such file"))


def checked(content: bytes) -> tuple[str, bytes]:
    """The kind of some bytes, and the bytes.

    Raises:
        Unshown: They are too many, or no picture.
    """
    if len(content) > MOST_BYTES:
        raise Unshown(f"the file is larger than {MOST_BYTES // 1024 // 1024} MiB")
    return kind_of(content), content


def digest(content: bytes) -> str:
    """The SHA-256 of a file as the usual tools print it."""
    return hashlib.sha256(content).hexdigest()


def kind_of(content: bytes) -> str:
    """The kind of picture by its first bytes.

    Raises:
        Unshown: It is none of those that are taken.
    """
    if content.startswith(b"\xff\xd8\xff"):
        return "jpeg"
    if content.startswith(b"\x89PNG\r\n\x1a\n"):
        return "png"
    if content[:4] == b"RIFF" and content[8:12] == b"WEBP":
        return "webp"
    if content[4:8] == b"ftyp" and content[8:12] in PHONE_BRANDS:
        raise Unshown(f"it is a HEIC or AVIF picture; export it as {KINDS}, or set the phone to save JPEG")
    raise Unshown(f"the file is not a picture ({KINDS})")


def _read(folder: Path | None, file: str) -> bytes:
    if not file:
        raise Unshown("no file is named")
    if folder is None:
        raise Unshown("the job has no folder to look in")
    if leads_outside(file):
        raise Unshown("its name points outside the folder of the job file")
    try:
        home, path = folder.resolve(), (folder / file).resolve()
    except (OSError, ValueError, RuntimeError):  # a name that no system takes, links in a circle
        raise Unshown("the file cannot be read") from None
    if not path.is_relative_to(home):
        raise Unshown("its name points outside the folder of the job file")
    return _content(path, "there is no such file in the folder of the job file")


def _content(path: Path, missing: str) -> bytes:
    try:
        if not path.is_file():
            raise Unshown(missing)
        with path.open("rb") as opened:
            return opened.read(MOST_BYTES + 1)
    except (OSError, ValueError):  # no permission, a name that no system takes
        raise Unshown("the file cannot be read") from None
