"""Where the jobs of a run come from: files, folders, patterns, JSON Lines, packed files and standard input, any mix.

Jobs come one at a time, in the order in which they were named and, in a folder, of their names; so an archive of any size
is gone through in the memory of one job. What is wrong with one source is told in its place and does not stop the others.
"""

from __future__ import annotations

import glob
import gzip
import io
import json
import os
import re
import stat
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import BinaryIO, NamedTuple

from checker.problems.document import Document
from checker.problems.problem import Problem, ProblemsFound, Where, refused
from checker.reading.files import MOST_BYTES, read_bytes, read_job_text

STDIN = "-"
STDIN_NAME = "standard input"
LINES = (".jsonl", ".ndjson")  # a job a line
PACKED = ".gz"
JOBS = (".json", *LINES, ".json.gz", *(ending + PACKED for ending in LINES))  # what of a folder is jobs
GZIP = b"\x1f\x8b"
# How a file begins that this program wrote and that is no job.
OURS = (
    (re.compile(rb'\s*\{\s*"report_version"'), "a report"),
    (re.compile(rb'\s*\{\s*"\$schema": ?"[^"]*sarif[^"]*"'), "a report"),
    (re.compile(rb'\s*\{\s*"baseline_version"'), "a baseline"),
    (re.compile(rb'\s*\{\s*"jobs": ?\d+, ?"to_fix"'), "the totals of a run"),
    (re.compile(rb'\s*\{\s*"run": ?"[^"]*", ?"on"'), "the note of a run that was stopped"),
)
BYTE_ORDER_MARK = b"\xef\xbb\xbf"
BREAKS_OFF = ("The file is cut off or is not gzip.", "Get it again, or compress it again.")


class Item(NamedTuple):
    """One job as bytes, with its file and its line (0: the whole file is the job); or why there is none.

    `folder` is where its photographs are, None where it came without a folder of its own; `weight` counts the bytes of its
    file that were gone through for it.
    """

    file: str
    line: int = 0
    content: bytes = b""
    folder: Path | None = None
    problem: Problem | None = None
    weight: int = 0

    @property
    def name(self) -> str:
        return f"{self.file}:{self.line}" if self.line else self.file


def items(paths: tuple[str, ...], stdin: BinaryIO | None, not_these: tuple[Path, ...] = ()) -> Iterator[Item]:
    """Every job that some words of the command line name.

    Args:
        stdin: None where it is closed.
        not_these: Files of a folder or a pattern that are no jobs, such as the report that this run writes.
    """
    for written in paths:
        if written == STDIN:
            yield from _of_stdin(stdin)
            continue
        for file in files(written, not_these):
            if file != written and _is_special(file):
                yield _wrong(file, "This is not a regular file.", "Name it directly if a job comes out of it.")
            else:
                yield from _of_file(file)


def weight(paths: tuple[str, ...]) -> int:
    """The bytes of all files that some words name; 0 where that cannot be told beforehand."""
    try:
        return 0 if STDIN in paths else sum(os.path.getsize(file) for written in paths for file in files(written))
    except OSError:
        return 0


def files(written: str, aside: tuple[Path, ...] = ()) -> Iterator[str]:
    """The files that a word names: itself, those of a folder, or those that fit a pattern the shell did not open."""
    if os.path.isdir(written):
        inside = _inside(written)
    elif glob.has_magic(written) and not os.path.lexists(written):
        opened = sorted(glob.glob(written, recursive=True))
        inside = (file for one in opened for file in (_inside(one) if os.path.isdir(one) else [one]))
    else:
        yield written
        return
    yield from _or_itself(written, (file for file in inside if not _is_one_of(file, aside)))


def _is_one_of(file: str, aside: tuple[Path, ...]) -> bool:
    """Whether a file of this name is one of some others, by whatever way each is named."""
    return any(path.name == os.path.basename(file) and same_file(path, file) for path in aside)


def same_file(one: str | Path, other: str | Path) -> bool:
    """Whether two names are of one file; also one that is not there yet."""
    try:
        return os.path.samefile(one, other)
    except (OSError, ValueError):
        return os.path.realpath(one) == os.path.realpath(other)


def _is_special(file: str) -> bool:
    """Whether it is a pipe, a device or a socket, which may never end or never begin."""
    try:
        mode = os.stat(file).st_mode
    except OSError:  # told of where it is read
        return False
    return not stat.S_ISREG(mode) and not stat.S_ISDIR(mode)


def _or_itself(written: str, files: Iterator[str]) -> Iterator[str]:
    """Some files, or where there are none the word itself, so that it is told of in its place."""
    first = next(files, None)
    yield from [written] if first is None else [first]
    yield from files


def _inside(folder: str) -> Iterator[str]:
    """The files of a folder and of those in it that hold jobs, by name; a link to a folder is not followed."""
    try:
        entries = sorted(os.scandir(folder), key=lambda entry: entry.name)
    except OSError:  # it vanished, or may not be read: told of in its place as a file that cannot be read
        yield folder
        return
    for entry in entries:
        if entry.name.lower().endswith(JOBS) and not os.path.isdir(entry.path):
            yield entry.path
        elif entry.is_dir(follow_symlinks=False):
            yield from _inside(entry.path)


# --- one source ------------------------------------------------------------------------------------------------------


def _of_file(file: str) -> Iterator[Item]:
    path = Path(file)
    if "\0" in file:
        yield _wrong(file.replace("\0", " "), "There is no file with this name.", "Check the name.")
    elif path.is_dir():
        yield _of_folder(file)
    elif glob.has_magic(file) and not os.path.lexists(file):
        yield _wrong(file, "No file fits this pattern.", "Check the folder and the ending.")
    elif not file.lower().endswith((*LINES, PACKED)):
        yield _whole(file, lambda: read_bytes(path, file, hint="One job a file."), path.parent)
    else:
        yield from _of_stream(file, path)


def _of_folder(folder: str) -> Item:
    """Why a folder gives no job: it may not be looked into, or there is none in it."""
    try:
        os.scandir(folder).close()
    except OSError as error:
        return _wrong(folder, f"The folder cannot be read: {error.strerror or error}.", "Check its permissions.")
    hint = "A job is a file whose name ends in .json; .jsonl holds a job a line, and .gz is compressed."
    return _wrong(folder, "The folder holds no jobs.", hint)


def _of_stream(file: str, path: Path) -> Iterator[Item]:
    """A file that is packed, or holds a job a line, or both."""
    packed = file.lower().endswith(PACKED)
    try:
        with path.open("rb") as raw, gzip.open(raw) if packed else raw as stream:
            if file.lower().removesuffix(PACKED).endswith(LINES):
                yield from _weighed(_lines(file, stream, path.parent), raw)  # type: ignore[arg-type]  # gzip reads so too
            else:
                yield _whole(file, lambda: _bounded(stream.read(MOST_BYTES + 1), file), path.parent)
    except (EOFError, zlib.error, gzip.BadGzipFile):
        yield _wrong(file, *BREAKS_OFF)
    except OSError as error:
        yield _wrong(file, f"The file cannot be read: {error.strerror or error}.", "Check its name and permissions.")


def _weighed(items: Iterator[Item], raw: BinaryIO) -> Iterator[Item]:
    if not raw.seekable():
        yield from items
        return
    before = 0
    for item in items:
        now = raw.tell()
        yield item._replace(weight=now - before)
        before = now


def _of_stdin(stdin: BinaryIO | None) -> Iterator[Item]:
    """One job, or a job a line: that is so where one of the first two lines is a whole job by itself and more follows."""
    if stdin is None:
        yield _wrong(STDIN_NAME, "Standard input is closed.", "Pass a job, or name a file.")
        return
    stream = stdin if isinstance(stdin, io.BufferedReader) else io.BufferedReader(stdin)  # type: ignore[type-var]
    try:
        if stream.peek(2).startswith(GZIP):
            stream = gzip.GzipFile(fileobj=stream)  # type: ignore[assignment]  # gzip reads as a file does
        begun = _Begun([stream.readline(MOST_BYTES + 1), stream.readline(MOST_BYTES + 1)], stream)
        if begun.lines[1].strip() and any(map(_is_job, begun.lines)):
            yield from _lines(STDIN_NAME, begun, None)
        else:
            yield _whole(STDIN_NAME, lambda: _bounded(begun.read(MOST_BYTES + 1), STDIN_NAME), None)
    except (EOFError, zlib.error, gzip.BadGzipFile):
        yield _wrong(STDIN_NAME, *BREAKS_OFF)


def _is_job(line: bytes) -> bool:
    try:
        return isinstance(json.loads(line), dict)
    except (ValueError, RecursionError):
        return False


class _Begun:
    """A stream of which the first lines were read already."""

    def __init__(self, read: list[bytes], rest: BinaryIO) -> None:
        self.lines, self._rest = read, rest

    def readline(self, most: int) -> bytes:
        return self.lines.pop(0) if self.lines else self._rest.readline(most)

    def read(self, most: int) -> bytes:
        begun = b"".join(self.lines)
        return begun + self._rest.read(max(most - len(begun), 0))


def _lines(file: str, stream: BinaryIO | _Begun, folder: Path | None) -> Iterator[Item]:
    """A job a line; an empty line is none. A line has the bound of a file."""
    number = 0
    while line := stream.readline(MOST_BYTES + 1):
        number += 1
        if number == 1 and (kind := ours(line)):
            yield _of_ours(file, kind)
            return
        if len(line) > MOST_BYTES:
            yield _wrong(f"{file}:{number}", f"The line is larger than {MOST_BYTES // 2**20} MiB.", "One job a line.")
            while line and not line.endswith(b"\n"):
                line = stream.readline(MOST_BYTES)
        elif line.strip():
            yield Item(file, number, line.rstrip(b"\r\n"), folder)


def _whole(file: str, read: Callable[[], bytes], folder: Path | None) -> Item:
    try:
        content = read()
        if kind := ours(content):
            return _of_ours(file, kind)
        return Item(file, 0, content, folder, weight=len(content))
    except ProblemsFound as error:
        return Item(file, problem=error.problems[0])


def _bounded(content: bytes, name: str) -> bytes:
    if len(content) > MOST_BYTES:
        what = f"The file is larger than {MOST_BYTES // 2**20} MiB."
        raise refused(name, what, "One job a file, or a job a line in a file named .jsonl.")
    return content


def ours(content: bytes) -> str:
    """Return what a document is if this program wrote it (`a report`), judged by its first bytes; "" if it may be a job."""
    content = content.removeprefix(BYTE_ORDER_MARK)
    return next((kind for begins, kind in OURS if begins.match(content)), "")


def _of_ours(file: str, kind: str) -> Item:
    return _wrong(file, f"This is {kind} of ours, no job.", "Name the jobs, or keep it in another folder.")


def _wrong(name: str, what: str, hint: str) -> Item:
    return Item(name, problem=Problem(Where(name), what, hint))


# --- one job ---------------------------------------------------------------------------------------------------------


def document(item: Item) -> Document:
    """What stands in a job.

    Raises:
        ProblemsFound: It cannot be read; places are those of the file also where the job is one line of it.
    """
    if item.problem:
        raise ProblemsFound([item.problem])
    return read_job_text(item.content, item.name, item.folder)


def place(item: Item, where: Where) -> Where:
    """A place in a job as a place in its file: with a job a line, the line of the file."""
    if not item.line or where.file != item.name:
        return where
    return where._replace(file=item.file, line=item.line, column=max(where.column, 1))


def placed(item: Item, error: ProblemsFound) -> ProblemsFound:
    """What is wrong with a job, each at its place in the file."""
    return ProblemsFound(problem._replace(where=place(item, problem.where)) for problem in error.problems)
