"""The rulesets on disk: which there are, and reading the ones that are asked for."""

from __future__ import annotations

import functools
import hashlib
import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from checker.facts import Vocabulary
from checker.problems import Problem, ProblemsFound, Where, did_you_mean
from checker.ruleset import Ruleset, read_ruleset, ruleset_files

ROOT = Path(__file__).resolve().parent.parent
SHIPPED = ROOT / "rulesets"
JOB_SCHEMA = ROOT / "schemas" / "job.schema.json"


class Library:
    """Every ruleset under some folders, by id."""

    def __init__(self, rulesets: Iterable[Ruleset]) -> None:
        self.rulesets: dict[str, Ruleset] = {}
        problems = []
        for ruleset in rulesets:
            if ruleset.id in self.rulesets:
                part, first = ruleset.parts["header", ""], self.rulesets[ruleset.id].parts["header", ""]
                problems.append(
                    part.problem(
                        ("id",),
                        f"Two rulesets are called '{ruleset.id}'; the other stands at {first.document.file}.",
                        "Rename one.",
                    )
                )
            self.rulesets[ruleset.id] = ruleset
        if problems:
            raise ProblemsFound(problems)

    def get(self, wanted: str) -> Ruleset:
        """The ruleset of an id, or of `id@version` where that is the version here.

        Raises:
            ProblemsFound: There is none, or it is another version.
        """
        name, _, version = wanted.partition("@")
        if name not in self.rulesets:
            raise _not_found(
                f"There is no ruleset '{name}'.",
                did_you_mean(name, self.rulesets) or f"Known: {', '.join(sorted(self.rulesets))}.",
            )
        found = self.rulesets[name]
        if version and version != found.header.version:
            raise _not_found(
                f"'{wanted}' is not here; this is {name}@{found.header.version}.",
                "Judging with another version would be another verdict.",
            )
        return found

    def covering(self, place: str) -> list[Ruleset]:
        """The rulesets whose `covers` names a place, in the order of their ids."""
        return [ruleset for _, ruleset in sorted(self.rulesets.items()) if place in ruleset.header.covers]


def _not_found(what: str, mend: str) -> ProblemsFound:
    return ProblemsFound([Problem(Where("--ruleset"), what, mend)])


def open_library(folders: Iterable[Path], shown: dict[Path, str] | None = None) -> Library:
    """Read every ruleset under these folders.

    Raises:
        ProblemsFound: Everything wrong with any of them.
    """
    found, problems = [], []
    for folder in folders:
        for header in sorted(folder.rglob("ruleset.yaml")):
            name = (shown or {}).get(folder, folder.name) + f"/{header.parent.relative_to(folder)}".removesuffix("/.")
            try:
                found.append(read_ruleset(header.parent, name, digest_of(header.parent)))
            except ProblemsFound as error:
                problems += error.problems
    if problems:
        raise ProblemsFound(problems)
    return Library(found)


def digest_of(folder: Path) -> str:
    """The first 16 hex digits of the SHA-256 over the names and bytes of a ruleset's files."""
    total = hashlib.sha256()
    for path in ruleset_files(folder):
        content = path.read_bytes()
        total.update(f"{path.relative_to(folder).as_posix()}\0{len(content)}\0".encode() + content)
    return total.hexdigest()[:16]


@functools.cache
def job_vocabulary(path: Path = JOB_SCHEMA) -> Vocabulary:
    """The vocabulary of a job schema."""
    schema: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return Vocabulary(schema)
