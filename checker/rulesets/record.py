"""The record of a release: what a ruleset said, small enough to keep beside it for good, to be compared with.

A release holds all that a ruleset stands on, and the program of each place: megabytes. The rulesets that ship with this
program are frozen with it, so of their releases a record is kept instead, of the lean data (`plain_data`) of one ruleset, a
rule to a line. Nobody judges by a record. What is compared is the same whichever of the two there is.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from checker.problems.problem import refused
from checker.reading.files import read_bytes, read_text
from checker.rulesets.headers import ConfirmedChange, Record, Topic
from checker.rulesets.library import Library
from checker.rulesets.plain_data import lean, plain, plain_parts
from checker.rulesets.release import (  # fmt: skip
    FOLDER,
    GET_IT_AGAIN,
    RECORD,
    VERSION,
    compact,
    numbers,
    record_file,
    refuse_changed,
    sealed,
)
from checker.rulesets.ruleset import Ruleset

FORMAT = 1
MOST_BYTES = 8 * 1024 * 1024  # those that ship are below 200 KiB each


class Baseline(NamedTuple):
    """A released state of a ruleset to compare with: its name, as name@1.0.0, and its lean data."""

    name: str
    version: str
    data: Mapping[str, Mapping[str, Any]]


def record_text(ruleset: Ruleset, confirmed: Sequence[ConfirmedChange]) -> str:
    """The text of a record: first its digest, then each entry of the ruleset on a line of its own."""
    lines = [f'"record": {FORMAT}', f'"confirmed": {compact([one.as_data() for one in confirmed])}']
    for section, entries in lean(plain(ruleset)).items():
        if entries:
            inside = ",\n  ".join(f"{compact(name)}: {compact(entry)}" for name, entry in entries.items())
            lines.append(f'"{section}": {{\n  {inside}\n }}')
    return sealed(",\n ".join(lines) + "\n}\n")


def read_record(path: Path, shown: str) -> Baseline:
    """Read a record.

    Raises:
        ProblemsFound: It cannot be read, or is not as it was written.
    """
    return _of(read_bytes(path, shown, MOST_BYTES, "A record is of one ruleset."), shown)


@functools.lru_cache(maxsize=64)  # one edit of a ruleset is looked at several times
def _of(content: bytes, shown: str) -> Baseline:
    document = read_text(content, shown)
    if not isinstance(document.data, dict) or document.data.get("record") != FORMAT:
        raise refused(shown, f"This is not a record of a release of format {FORMAT}.", GET_IT_AGAIN)
    refuse_changed(document)
    from checker.rulesets.misfits import shaped  # pydantic

    one = shaped(document, Record)
    sections = {name: getattr(one, name) for name in Topic.fields}
    header = one.header
    return Baseline(f"{header.id}@{header.version}", header.version, lean(plain_parts(header, sections)))


def newest(library: Library, ruleset_id: str, below: str = "") -> Baseline | None:
    """The newest release of a ruleset, whole or as a record; None where there is none.

    Args:
        below: A version; only what was released under a smaller one counts.

    Raises:
        ProblemsFound: It cannot be read, or is not as it was written.
    """
    released = released_versions(library, ruleset_id)
    versions = [one for one in released if not below or numbers(one) < numbers(below)]
    if not versions:
        return None
    version = max(versions, key=numbers)
    if version in library.releases(ruleset_id):
        frozen = library.release(f"{ruleset_id}@{version}")
        return Baseline(frozen.name, version, lean(plain(frozen.rulesets[ruleset_id])))
    file, shown = record_file(library.folders[ruleset_id], version), library.shown(ruleset_id)
    one = read_record(file, str(record_file(shown, version)))
    if one.name != f"{ruleset_id}@{version}":
        raise refused(file, f"This is the record of {one.name}, not of {ruleset_id}@{version}.", GET_IT_AGAIN)
    return one


def released_versions(library: Library, ruleset_id: str) -> set[str]:
    """The versions of a ruleset that were released, whole or as a record."""
    folder = library.folders.get(ruleset_id)
    names = {path.name.removesuffix(RECORD) for path in (folder / FOLDER).glob(f"*{RECORD}")} if folder else set()
    return {*library.releases(ruleset_id), *(name for name in names if VERSION.fullmatch(name))}
