"""A released version of a ruleset: one text that holds all it stands on and is never changed.

A release holds the data of every file of the ruleset, of those it uses and of the federal ones, each with the digest
its files had; that of a group's ruleset, which stands on top of whatever a place has, every code and what is published of the
states too; and for each place that it covers the program: its rules as they were bound on the day of the release, which
is what jobs are judged by. The keys of a file keep the order they were written in, since findings are reported in that order;
everything around them stands in one fixed order, so that the same rulesets always give the same bytes.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple, NoReturn

from checker.problems.document import Document, Path_
from checker.problems.problem import Problem, ProblemsFound, Where, refused
from checker.reading.files import read_bytes, read_text
from checker.rulesets.headers import ConfirmedChange, Release
from checker.rulesets.ruleset import EVERYWHERE, Ruleset, assembled
from checker.rulesets.standing import BASES, stands_over_all

FORMAT = 2
FOLDER = "releases"
RECORD = ".record.json"  # how the name of a record ends that stands in place of a release (`record`)
VERSION = re.compile(r"\d+\.\d+\.\d+", re.ASCII)
DIGEST = re.compile(r'\{\n "digest": "([0-9a-f]{64})",\n')

# All shipped rulesets together are below 1 MiB as texts, and 4 MiB as the program of a place.
MOST_BYTES = 32 * 1024 * 1024
GET_IT_AGAIN = "Get the file again from whoever released it. A release is never edited: a change is a new version."


class Frozen(NamedTuple):
    """A release that was read: its ruleset's id and version, and every ruleset in it by id. `shown` names its file.

    `programs` are the documents of `checker.ir.program` by place, `made_by` is the version of this program that wrote it.
    `published` is what it holds of the states (`frozen_states`).
    """

    id: str
    version: str
    rulesets: Mapping[str, Ruleset]
    shown: str
    programs: Mapping[str, Any] = MappingProxyType({})
    made_by: str = ""
    published: Mapping[str, Any] = MappingProxyType({})

    @property
    def name(self) -> str:
        return f"{self.id}@{self.version}"


class FrozenDocument(Document):
    """A file inside a release. Its places are the release, and the file and the part inside it."""

    def __init__(self, release: str, inside: str, data: Any) -> None:
        super().__init__(f"{release} ({inside})", "", data, dict)
        self.release, self.inside = release, inside

    def where(self, path: Path_ = ()) -> Where:
        parts = (str(part) for part in path if part != "=")
        return Where(self.release, pointer="/".join((self.inside, *parts)))


def file_of(folder: Path, version: str) -> Path:
    """Where the release of a version of the ruleset in a folder stands."""
    return folder / FOLDER / f"{version}.json"


def record_file(folder: Path, version: str) -> Path:
    """Where the record of a version stands."""
    return folder / FOLDER / f"{version}{RECORD}"


def versions_in(folder: Path) -> list[str]:
    """The versions of the ruleset in a folder that were released, oldest first."""
    names = [path.stem for path in (folder / FOLDER).glob("*.json") if VERSION.fullmatch(path.stem)]
    return sorted(names, key=numbers)


def numbers(version: str) -> tuple[int, ...]:
    """A version as numbers, to be compared."""
    return tuple(int(number) for number in version.split("."))


# --- writing ---------------------------------------------------------------------------------------------------------


def freeze(
    ruleset: Ruleset,
    known: Mapping[str, Ruleset],
    programs: Mapping[str, Any] = MappingProxyType({}),
    confirmed: Sequence[ConfirmedChange] = (),
    published: Mapping[str, Any] = MappingProxyType({}),
) -> str:
    """The text of a ruleset's release under the version its header has.

    Args:
        known: The rulesets it may stand on, by id.
        programs: The documents of `checker.ir.program` for the places that it covers, by place.
        confirmed: What got looser since the release before, and why that is intended.
        published: What to hold of the states (`frozen_states.as_data`).
    """
    from importlib.metadata import version  # slow to come, and only writing asks for it

    return _text(
        {
            "format": FORMAT,
            "id": ruleset.id,
            "version": ruleset.header.version,
            "program": version("changeout-checker"),
            **({"confirmed": [one.as_data() for one in confirmed]} if confirmed else {}),
            "rulesets": {one.id: _frozen(one) for one in standing_on(ruleset, known)},
            **({"published": dict(published)} if published else {}),
            "programs": dict(programs),
        }
    )


def standing_on(ruleset: Ruleset, known: Mapping[str, Ruleset]) -> list[Ruleset]:
    """A ruleset, all it uses directly or through others, and those that hold everywhere, in the order of their ids.

    A group's stands on every code too: where no ruleset covers a place all of them count.
    """
    kinds = {*EVERYWHERE, *(BASES if stands_over_all(ruleset) else ())}
    everywhere = {one.id for one in known.values() if one.header.owner_kind in kinds}
    found: dict[str, Ruleset] = {}
    waiting = {ruleset.id, *everywhere}
    while waiting:
        name = waiting.pop()
        if name in found or name not in {ruleset.id, *known}:
            continue
        found[name] = ruleset if name == ruleset.id else known[name]
        waiting |= set(found[name].header.uses)
    return [found[name] for name in sorted(found)]


def _frozen(ruleset: Ruleset) -> dict[str, Any]:
    files = {name: document.data for name, document in ruleset.documents.items()}
    return {"version": ruleset.header.version, "digest": ruleset.digest, "files": files}


def _text(content: Mapping[str, Any]) -> str:
    """The text of a release: what people wrote a value a line, each program and each state on one line, and first the digest
    of the rest."""
    spread = {name: value for name, value in content.items() if name not in ("published", "programs")}
    told = [json.dumps(spread, ensure_ascii=False, indent=1)[2:-2]]
    told += [f' "published": {{{",".join(_lines(content["published"]))}\n }}'] if "published" in content else []
    told.append(f' "programs": {{{",".join(_by_line(content["programs"]))}}}')
    return sealed(",\n".join(told) + "\n}\n")


def _lines(published: Mapping[str, Mapping[str, Any]]) -> Iterator[str]:
    return (f"\n  {compact(name)}: {{{','.join(_by_line(each))}}}" for name, each in published.items())


def _by_line(each: Mapping[str, Any]) -> Iterator[str]:
    return (f"\n  {compact(name)}:{compact(one)}" for name, one in each.items())


def sealed(rest: str) -> str:
    """The text of a release: what follows its first brace, with the digest of that before it."""
    return f'{{\n "digest": "{hashlib.sha256(rest.encode()).hexdigest()}",\n{rest}'


def compact(value: Any) -> str:
    """A value as JSON in as few signs as can be."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


# --- reading ---------------------------------------------------------------------------------------------------------


def read_release(path: Path, shown: str) -> Frozen:
    """Read a release file.

    Raises:
        ProblemsFound: It cannot be read, or is not as it was written.
    """
    return thaw(read_bytes(path, shown, MOST_BYTES, "A release holds rulesets and nothing else."), shown)


def thaw(content: bytes, shown: str) -> Frozen:
    """The rulesets of a release, each with the digest that was frozen with it.

    Raises:
        ProblemsFound: It is no release, is of another format, or is not as it was written.
    """
    document = read_text(content, shown)
    _refuse_another_format(document)
    refuse_changed(document)
    from checker.rulesets.misfits import shaped  # pydantic, where a release is in use

    release = shaped(document, Release)
    problems = list(_not_text(document, document.data["rulesets"], ("rulesets",)))
    rulesets = {}
    for name, one in release.rulesets.items():
        files = {file: FrozenDocument(shown, f"{name}/{file}", data) for file, data in one.files.items()}
        try:
            rulesets[name] = assembled(files, f"{shown} ({name})", one.digest, problems)
        except ProblemsFound as found:
            problems = found.problems
    if not problems:
        problems = list(_misnamed(document, release, rulesets))
    if problems:
        raise ProblemsFound(problems)
    programs, published = document.data["programs"], document.data.get("published", {})
    return Frozen(release.id, release.version, rulesets, shown, programs, release.program, published)


def _refuse_another_format(document: Document) -> None:
    data = document.data
    if not isinstance(data, dict) or "format" not in data or "rulesets" not in data:
        _refuse(document, (), "This is not a release.", "'changeout rules release' writes one.")
    if data["format"] != FORMAT:
        what = f"The release is of format {data['format']}; this program reads format {FORMAT}."
        _refuse(document, ("format",), what, "Use the version of the program that wrote it, or a newer one.")


def refuse_changed(document: Document) -> None:
    """Any byte that was changed is noticed; line ends that a copy changed are none of them."""
    text = document.text.replace("\r\n", "\n")
    first = DIGEST.match(text)
    given = hashlib.sha256(text[first.end() :].encode()).hexdigest() if first else ""
    if first is None or given != first[1]:
        what = "The release is not as it was written: its first line has to give the digest of all that follows."
        if first:
            what = (
                f"The release is not as it was written: its digest is {first[1][:16]}, its contents give {given[:16]}."
            )
        raise refused(document.file, what, GET_IT_AGAIN)


def _not_text(document: Document, data: Any, path: Path_) -> Iterator[Problem]:
    """Values in rulesets that are no text: in a ruleset every value is."""
    if isinstance(data, dict | list):
        for key, child in data.items() if isinstance(data, dict) else enumerate(data):
            yield from _not_text(document, child, (*path, key))
    elif not isinstance(data, str):
        yield document.problem(path, "A value in a release is not text.", GET_IT_AGAIN)


def _misnamed(document: Document, release: Release, rulesets: Mapping[str, Ruleset]) -> Iterator[Problem]:
    """Rulesets whose own header says another id or version than the release does."""
    if release.id not in rulesets or rulesets[release.id].header.version != release.version:
        yield document.problem((), f"{release.id}@{release.version} is not in its own release.", GET_IT_AGAIN)
    for name, ruleset in rulesets.items():
        stated = f"{name}@{release.rulesets[name].version}"
        if stated != f"{ruleset.id}@{ruleset.header.version}":
            what = f"What is called {stated} here says it is {ruleset.id}@{ruleset.header.version}."
            yield document.problem(("rulesets", name), what, GET_IT_AGAIN)


def _refuse(document: Document, path: Path_, what: str, hint: str) -> NoReturn:
    raise ProblemsFound([document.problem(path, what, hint)])
