"""Files of YAML and JSON, read by their ending."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from checker.problems.document import Document
from checker.problems.problem import Where, refused
from checker.reading.json_text import read_json
from checker.reading.quick_json import keys_of, read_quickly

MOST_BYTES = 1024 * 1024  # forty times what the largest ruleset file or job has
MOST_FILES = 1_000  # in a folder of makers' sheets or of one ruleset: twenty times what the largest ruleset has


class Unopened(Document):
    """A file whose data is known already, and that is read only when its text or a place in it is asked for."""

    def __init__(self, path: Path, shown: str, data: Any) -> None:
        self.file, self._path, self.data = shown, path, data

    def __getattr__(self, name: str) -> Any:
        if name not in ("text", "_read_places"):
            raise AttributeError(name)
        read = read_file(self._path, self.file)
        self.text, self._read_places = read.text, read._read_places
        return getattr(self, name)


def files_inside(folder: Path, *patterns: str) -> list[Path]:
    """The files of a folder and of those in it, in a fixed order; none whose name, or whose folder's, begins with a dot.

    Raises:
        ProblemsFound: There are too many, one is a link out of the folder, or one is a pipe or the like: opening it
            might wait for ever.
    """
    here = folder.resolve()
    found = sorted({path for pattern in patterns for path in visible(folder, pattern)})
    if len(found) > MOST_FILES:
        raise refused(folder, f"The folder holds more than {MOST_FILES} files.", "Name a folder inside it.")
    for path in found:
        if not path.resolve().is_relative_to(here):
            raise refused(path, "This is a link out of the folder.", "Put the file itself in its place.")
        if not path.is_file():
            raise refused(path, "This is not a regular file.", "Take it out of the folder.")
    return found


def visible(folder: Path, pattern: str) -> Iterator[Path]:
    """What a folder and those in it hold, but for what has a name that begins with a dot or stands in such a folder."""
    for path in folder.rglob(pattern):
        if not any(part.startswith(".") for part in path.relative_to(folder).parts):
            yield path


def read_file(path: Path, shown: str | None = None) -> Document:
    """Read one YAML or JSON file, by its ending.

    Raises:
        ProblemsFound: It cannot be opened, is too large, is not UTF-8, or is not what its ending says.
    """
    name = shown or str(path)
    return read_text(read_bytes(path, name), name, path.parent)


def read_bytes(path: Path, name: str, most: int = MOST_BYTES, hint: str = "One job or one topic per file.") -> bytes:
    """The bytes of a file of at most `most` bytes; `hint` is what to do where it is larger."""
    try:
        with path.open("rb") as file:
            content = file.read(most + 1)
    except OSError as error:
        raise refused(
            name, f"The file cannot be read: {error.strerror or error}.", "Check its name and permissions."
        ) from None
    if len(content) > most:
        raise refused(name, f"The file is larger than {most // 2**20} MiB.", hint)
    return content


def read_text(content: bytes, name: str, folder: Path | None = None) -> Document:
    """Read the bytes of a file named `name` in a folder; a leading byte-order mark is passed over."""
    in_yaml = name.endswith((".yaml", ".yml"))
    quick = None if in_yaml else read_quickly(content, name, folder)
    if quick and quick.keys == keys_of(quick.data):
        return quick
    text = decoded(content, name)
    if not text.strip():
        raise refused(name, "The file is empty.", "Copy a file like it and change it.")
    document = _read_yaml(text, name) if in_yaml else read_json(text, name)
    document.folder = folder
    return document


def decoded(content: bytes, name: str) -> str:
    """The text of a file named `name`; a leading byte-order mark is passed over.

    Raises:
        ProblemsFound: It is not UTF-8; the problem names the line and the column.
    """
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = content[: error.start].rsplit(b"\n", 1)[-1]
        where = Where(name, content.count(b"\n", 0, error.start) + 1, len(before) + 1)
        raise refused(
            where, "A character here is not plain text in UTF-8.", "Save the file as text in UTF-8."
        ) from None


def read_job_text(content: bytes, name: str, folder: Path | None = None) -> Document:
    """The same for a job, which is gone through anyway: whether one of its keys stands twice is found by the way."""
    in_yaml = name.endswith((".yaml", ".yml"))
    return (None if in_yaml else read_quickly(content, name, folder)) or read_text(content, name, folder)


def _read_yaml(text: str, name: str) -> Document:
    from checker.reading.yaml_text import read_yaml  # PyYAML, which jobs and rulesets that were read before do without

    return read_yaml(text, name)
