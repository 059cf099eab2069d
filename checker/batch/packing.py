"""Jobs packed into an archive of columns, a part of some thousand jobs at a time.

A part is called by the digest of the jobs in it and of all that they are read by, so that a part which stands there already is
not read again, and a run that was stopped goes on where it was.
"""

from __future__ import annotations

import hashlib
import itertools
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from checker.batch.sources import Item, document, placed
from checker.problems.problem import ProblemsFound
from checker.reading.archive import FORMAT, Archive, Part, read_archive, write_index
from checker.reading.inherited.inheritance import Inherited, load_job
from checker.reading.packed_jobs import Packing, write_part
from checker.reading.vocabulary import Vocabulary

IN_A_PART = 5000


def pack(
    items: Iterable[Item],
    folder: Path,
    vocabulary: Vocabulary,
    inherited: Inherited,
    tell: Callable[[ProblemsFound], None],
) -> Archive:
    """Pack jobs into a folder.

    Args:
        tell: Is handed what is wrong with each job that cannot be used; such a job is counted and left out.

    Raises:
        ProblemsFound: The folder holds an archive that another job schema or a newer program wrote.
    """
    folder.mkdir(parents=True, exist_ok=True)
    before = _before(folder, vocabulary)
    parts = []
    for chunk in _chunks(items):
        name = _name(chunk, vocabulary, inherited)
        known = before.get(name)
        parts.append(known or _packed(chunk, folder, name, vocabulary, inherited, tell))
    archive = Archive(folder, vocabulary.digest, tuple(parts))
    write_index(archive)
    return archive


def _before(folder: Path, vocabulary: Vocabulary) -> dict[str, Part]:
    """The parts that stand there whole, by name."""
    try:
        archive = read_archive(folder, vocabulary.digest)
    except ProblemsFound:
        return {}
    return {part.name: part for part in archive.parts if (archive.folder_of(part) / "jobs.parquet").is_file()}


def _chunks(items: Iterable[Item]) -> Iterator[list[Item]]:
    left = iter(items)
    while chunk := list(itertools.islice(left, IN_A_PART)):
        yield chunk


def _name(chunk: list[Item], vocabulary: Vocabulary, inherited: Inherited) -> str:
    """The name of a part: a digest of the jobs in it, and of what they are read by."""
    total = hashlib.sha256(f"{FORMAT}\0{vocabulary.digest}\0{inherited!r}".encode())
    for item in chunk:
        total.update(f"\0{item.name}\0{len(item.content)}\0{item.problem or ''}\0".encode() + item.content)
    return total.hexdigest()[:16]


def _packed(
    chunk: list[Item],
    folder: Path,
    name: str,
    vocabulary: Vocabulary,
    inherited: Inherited,
    tell: Callable[[ProblemsFound], None],
) -> Part:
    packing, unusable = Packing(vocabulary), 0
    for item in chunk:
        try:
            packing.add(load_job(document(item), vocabulary, inherited), item.name, item.content)
        except ProblemsFound as error:
            unusable += 1
            tell(placed(item, error))
    write_part(folder, name, packing.tables())
    return Part(name, len(packing), unusable)
