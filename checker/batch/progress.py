"""How far a run came, kept beside its unfinished file so that a later one goes on from there.

FILE.part is the file so far. FILE.part.json says how many jobs are in it, up to which byte and with which digest, which jobs
those were, and what they were judged by. A run that goes on has to be the same run: the same jobs in the same order up to
there, the same rulesets, day, form and program, on a file that nobody changed.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple, NoReturn

from checker.batch.running import Judge
from checker.batch.sources import Item
from checker.ir.digests import digest
from checker.problems.problem import refused

AT_A_TIME = 1 << 20
AGAIN = "Run it without --resume to start over."


class Progress(NamedTuple):
    """How far a run came: jobs, bytes of the file, the digests of what it was judged by and of the jobs, and the totals.

    `written` is the digest of the file up to there. `claimed` are the jobs whose findings the baseline excused.
    """

    run: str
    on: str
    jobs: int
    bytes: int
    items: str
    written: str
    totals: dict[str, Any]
    claimed: list[str]


class ItemsDigest:
    """The digest of the jobs so far: their names and bytes, in their order."""

    def __init__(self) -> None:
        self._total = hashlib.sha256()

    def add(self, item: Item) -> None:
        wrong = str(item.problem or "")
        for part in (item.name.encode(errors="surrogateescape"), item.content, wrong.encode(errors="surrogateescape")):
            self._total.update(len(part).to_bytes(8) + part)

    def text(self) -> str:
        return self._total.hexdigest()


def part_of(output: Path) -> Path:
    return output.with_name(output.name + ".part")


def note_of(output: Path) -> Path:
    return output.with_name(output.name + ".part.json")


def keep(output: Path, progress: Progress) -> None:
    """Note how far a run came; the note is the old one or the new one and never half."""
    note = note_of(output)
    beside = note.with_name(note.name + ".new")
    beside.write_text(json.dumps(progress._asdict()), encoding="utf-8")
    os.replace(beside, note)


def forget(output: Path) -> None:
    note_of(output).unlink(missing_ok=True)


def kept(output: Path) -> Progress | None:
    """How far an earlier run came, None where there is none to go on with.

    Raises:
        ProblemsFound: The note cannot be understood.
    """
    note, part = note_of(output), part_of(output)
    if not note.exists() or not part.exists():
        return None
    try:
        progress = Progress(**json.loads(note.read_text(encoding="utf-8")))
    except (OSError, ValueError, TypeError):
        _refuse(note, "This does not say how far a run came.", AGAIN)
    if part.stat().st_size < progress.bytes:
        _refuse(part, "The unfinished file is shorter than it was.", AGAIN)
    return progress


def passed_over(items: Iterator[Item], progress: Progress, digest_so_far: ItemsDigest, output: Path) -> None:
    """Skip the jobs that the earlier run has done.

    Raises:
        ProblemsFound: They are not those that were judged.
    """
    for _ in range(progress.jobs):
        item = next(items, None)
        if item is None:
            break
        digest_so_far.add(item)
    if digest_so_far.text() != progress.items:
        what = f"The first {progress.jobs} jobs are not those that were judged before."
        _refuse(part_of(output), what, f"Name the same jobs in the same order, unchanged. {AGAIN}")


def unchanged(progress: Progress, output: Path) -> hashlib._Hash:
    """The digest of the unfinished file, to go on with.

    Raises:
        ProblemsFound: The file is not as the earlier run left it.
    """
    found, left = hashlib.sha256(), progress.bytes
    with part_of(output).open("rb") as file:
        while left and (read := file.read(min(left, AT_A_TIME))):
            found.update(read)
            left -= len(read)
    if found.hexdigest() != progress.written:
        _refuse(part_of(output), "The unfinished file was changed since the earlier run left it.", AGAIN)
    return found


def same_run(progress: Progress, run: str, output: Path) -> None:
    """Hold a run against the earlier one that it goes on with.

    Raises:
        ProblemsFound: The rulesets, the options or the program are others than then.
    """
    if progress.run != run:
        what = "The earlier run was by other rulesets or options, or by another version of this program."
        _refuse(part_of(output), what, AGAIN)


def run_digest(judge: Judge, form: str) -> str:
    """The digest of all that decides what is written of a job."""
    from importlib.metadata import version  # slow to come, and only a run that can be stopped asks for it

    setup = judge.setup
    beside = [
        *setup.equipment,
        *([setup.profile] if setup.profile else []),
        *([setup.baseline] if setup.baseline else []),
    ]
    return digest(
        {
            "program": version("changeout-checker"),
            "form": form,
            "on": setup.on.isoformat(),
            "strict": setup.strict,
            "wanted": setup.wanted,
            "rulesets": {name: ruleset.digest for name, ruleset in judge.checker.library.rulesets.items()},
            "beside": [_bytes_digest(path) for path in beside],
        }
    )


def _bytes_digest(path: Path) -> str:
    """The digest of a file, or of the files in a folder."""
    files = sorted(one for one in path.rglob("*") if one.is_file()) if path.is_dir() else [path]
    total = hashlib.sha256()
    for one in files:
        total.update(hashlib.sha256(one.read_bytes()).digest())
    return total.hexdigest()


def _refuse(where: Path, what: str, hint: str) -> NoReturn:
    raise refused(where, what, hint)
