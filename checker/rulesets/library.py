"""The rulesets on disk: which there are, and reading the ones that are asked for."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from pathlib import Path

from checker.problems.problem import ProblemsFound, did_you_mean, refused
from checker.reading import cache
from checker.reading.files import files_inside, read_bytes, read_file
from checker.reading.job_schema import JOB_SCHEMA, job_vocabulary, schema_problems
from checker.reading.shipped import shipped
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.frozen_states import state_of
from checker.rulesets.release import GET_IT_AGAIN, Frozen, file_of, read_release, record_file, versions_in
from checker.rulesets.ruleset import EVERYWHERE, Ruleset, kept, read_ruleset, recalled, ruleset_files
from checker.rulesets.standing import elsewhere, stands_over_all, without
from checker.rulesets.state_rulesets import StateRules, counties_of, folders_of_states, state_rules

SHIPPED = shipped("rulesets")
OWN_SCHEMA = "job.schema.json"  # at the top of a folder of rulesets of another trade
MOST_OF_A_RULESET = 8 * 1024 * 1024  # bytes of its files; twenty times what the largest has


class Library:
    """Every ruleset under some folders, by id. Those inside the releases in use take the place of those on disk.

    `folders` tells where a ruleset stands on disk, `released` holds the releases in use by `id@version`, `schema` is the
    job schema that they are written for. `of_states` are the folders of states' files; one is read when it is asked for.
    """

    def __init__(
        self,
        rulesets: Iterable[Ruleset],
        folders: Mapping[str, Path] | None = None,
        schema: Path = JOB_SCHEMA,
        of_states: Iterable[Path] = (),
    ) -> None:
        self.schema, self.of_states = schema, tuple(of_states)
        self._states: dict[str, StateRules | None] = {}
        self._at_places: dict[tuple[str, frozenset[tuple[str, str]]], Ruleset] = {}
        self.rulesets: dict[str, Ruleset] = {}
        self.folders = dict(folders or {})
        self.released: dict[str, Frozen] = {}
        problems = []
        for ruleset in rulesets:
            if ruleset.id in self.rulesets:
                part, first = ruleset.parts["header", ""], self.rulesets[ruleset.id].parts["header", ""]
                problems.append(
                    part.problem(
                        ("id",),
                        f"Two rulesets are named '{ruleset.id}'; the other is at {first.document.file}.",
                        "Rename one.",
                    )
                )
            self.rulesets[ruleset.id] = ruleset
        if problems:
            raise ProblemsFound(problems)

    def get(self, wanted: str) -> Ruleset:
        """The ruleset of an id, or of `id@version` where that release is in use.

        Raises:
            ProblemsFound: There is none, or that version is not in use here.
        """
        name = self._known(wanted)
        if wanted != name and wanted not in self.released:
            raise self._not_here(name, wanted)
        return self.rulesets[name]

    @property
    def vocabulary(self) -> Vocabulary:
        """The facts of the job schema, without those that the rulesets add."""
        return job_vocabulary(self.schema)

    def covering(self, place: str) -> list[Ruleset]:
        """The rulesets whose `covers` names a place, in the order of their ids."""
        return [ruleset for _, ruleset in sorted(self.rulesets.items()) if place in ruleset.header.covers]

    def worked_at(self, ruleset: Ruleset) -> list[str]:
        """The places at which a group's ruleset stands on others: of those that it uses, else all. None for other rulesets."""
        if not stands_over_all(ruleset):
            return []
        used = [self.rulesets[name] for name in ruleset.header.uses if name in self.rulesets]
        places = {place for one in used for place in one.header.covers}
        every = (one for one in self.rulesets.values() if not stands_over_all(one))
        return sorted(places or {place for one in every for place in one.header.covers})

    def at_place(self, ruleset: Ruleset, place: str) -> tuple[Ruleset, frozenset[tuple[str, str]]]:
        """A ruleset as it holds at a place, one object for all places alike in that; and what of it holds elsewhere alone."""
        left_out = elsewhere(ruleset, place)
        if not left_out:
            return ruleset, left_out
        return self._at_places.setdefault((ruleset.id, left_out), without(ruleset, left_out)), left_out

    def state(self, state: str) -> StateRules | None:
        """What is published of a state, by its name in the job schema; None where nothing is. Releases in use that hold what
        is published go before the files on disk.

        Raises:
            ProblemsFound: Its file is not of the right form.
        """
        if state not in self._states:
            frozen = [one for one in self.released.values() if one.published]
            held = state_of(frozen[0], state) if frozen else state_rules(self.of_states, state)
            self._states[state] = held
        return self._states[state]

    def counties(self, state: str) -> list[str]:
        """The names of a state's counties and their like, without the word county."""
        return counties_of(self.of_states, state)

    def states(self) -> list[StateRules]:
        """What is published of every state.

        Raises:
            ProblemsFound: A file is not of the right form.
        """
        names = sorted({path.stem for folder in self.of_states for path in folder.glob("??.yaml")})
        return [found for name in names if (found := self.state(name.upper()))]

    def everywhere(self) -> list[Ruleset]:
        """The federal rulesets and those of manufacturers, in force at every place.

        Where releases are in use: those inside them and no others.
        """
        embedded = {name for frozen in self.released.values() for name in frozen.rulesets}
        return [
            ruleset
            for name, ruleset in sorted(self.rulesets.items())
            if ruleset.header.owner_kind in EVERYWHERE and (not embedded or name in embedded)
        ]

    # --- releases ---

    def releases(self, name: str) -> list[str]:
        """The versions of a ruleset that were released, oldest first."""
        folder = self.folders.get(name)
        return versions_in(folder) if folder else []

    def release(self, wanted: str, where: str = "--ruleset") -> Frozen:
        """The release of `id@version`, out of the folder of its ruleset; `where` is what asked for it.

        Raises:
            ProblemsFound: There is none, or it is not as it was written.
        """
        name = self._known(wanted, where)
        version = wanted.removeprefix(f"{name}@")
        if version not in self.releases(name):
            raise self._not_here(name, wanted, where)
        frozen = read_release(file_of(self.folders[name], version), str(file_of(self.shown(name), version)))
        if frozen.name != wanted:
            raise _refused(frozen.shown, f"This is the release of {frozen.name}, not of {wanted}.", GET_IT_AGAIN)
        return frozen

    def shown(self, name: str) -> Path:
        """The folder of a ruleset as messages name it."""
        return Path(self.rulesets[name].parts["header", ""].document.file).parent

    def using(self, releases: Iterable[Frozen]) -> Library:
        """This library with the rulesets inside some releases in the place of those on disk.

        Raises:
            ProblemsFound: Two releases hold different states of one ruleset.
        """
        releases = list(releases)
        embedded: dict[str, tuple[Ruleset, Frozen]] = {}
        for frozen in releases:
            for name, ruleset in frozen.rulesets.items():
                first, holder = embedded.setdefault(name, (ruleset, frozen))
                if first.digest != ruleset.digest:
                    raise _two_states(first, holder, ruleset, frozen)
        published = [frozen for frozen in releases if frozen.published]
        for frozen in published[1:]:
            if frozen.published != published[0].published:
                what = f"{published[0].name} and {frozen.name} hold different files of the states."
                raise _refused("--ruleset", what, "Judge with one of them at a time.")
        rulesets = {**self.rulesets, **{name: ruleset for name, (ruleset, _) in embedded.items()}}
        found = Library(rulesets.values(), self.folders, self.schema, self.of_states)
        found.released = {frozen.name: frozen for frozen in releases}
        return found

    def with_one(self, ruleset: Ruleset) -> Library:
        """This library with another state of one of its rulesets."""
        found = Library({**self.rulesets, ruleset.id: ruleset}.values(), self.folders, self.schema, self.of_states)
        found.released = self.released
        return found

    def _known(self, wanted: str, where: str = "--ruleset") -> str:
        name = wanted.partition("@")[0]
        if name not in self.rulesets:
            raise _refused(
                where,
                f"There is no ruleset '{name}'.",
                did_you_mean(name, self.rulesets) or f"Known: {', '.join(sorted(self.rulesets))}.",
            )
        return name

    def _not_here(self, name: str, wanted: str, where: str = "--ruleset") -> ProblemsFound:
        version, released = self.rulesets[name].header.version, ", ".join(self.releases(name))
        what = f"'{wanted}' is not here; released: {released or 'no version yet'}; the working copy is {version}."
        hint = "Another version could give another verdict."
        if wanted == f"{name}@{version}":
            hint = (
                "A working copy may have changed since it was given its version. Leave the version out to use it as it "
                f"is, or release it: changeout rules release FOLDER --version {version}"
            )
        its = wanted.removeprefix(f"{name}@")
        if name in self.folders and record_file(self.folders[name], its).is_file():
            hint = f"Only a record of {wanted} is kept. It tells what changed since; no job can be judged by it."
        return _refused(where, what, hint)


def _refused(where: str, what: str, hint: str) -> ProblemsFound:
    return refused(where, what, hint)


def _two_states(first: Ruleset, holder: Frozen, second: Ruleset, other: Frozen) -> ProblemsFound:
    what = (
        f"{holder.name} holds {first.id} {first.header.version} ({first.digest}), "
        f"{other.name} holds {second.id} {second.header.version} ({second.digest})."
    )
    return _refused(
        "--ruleset", what, "One job is judged by one version of a ruleset. Check with one of them at a time."
    )


def open_rulesets(folders: Iterable[Path] = (), wanted: Iterable[str] = (), beside: Iterable[Path] = ()) -> Library:
    """The shipped rulesets and those under some folders; a folder of shipped ones is read once.

    A folder that brings a job schema of its own (`job.schema.json`) is of another trade: nothing shipped is read then.

    Args:
        wanted: Releases to use, by `id@version`; other names are passed over.
        beside: Folders that are not read and may bring the job schema all the same.

    Raises:
        ProblemsFound: Everything wrong with any of them.
    """
    folders = list(folders)
    schema = _schema_of([*folders, *beside])
    more = [folder for folder in folders if not folder.resolve().is_relative_to(SHIPPED.resolve())]
    shown = {SHIPPED: "rulesets", **{folder: str(folder) for folder in more}}
    return open_library(more if schema else [SHIPPED, *more], shown, wanted, schema or JOB_SCHEMA)


def _schema_of(folders: list[Path]) -> Path | None:
    """The job schema that folders of rulesets bring; None where they are written for the shipped one.

    Raises:
        ProblemsFound: One of them is not as a schema of jobs has to be, or two of them differ.
    """
    found = [file for folder in folders if (file := folder / OWN_SCHEMA).is_file()]
    for other in found[1:]:
        if other.read_bytes() != found[0].read_bytes():
            what = f"{found[0]} and {other} differ: two job schemas, and a job is written for one."
            raise _refused("--rules", what, "Name folders of one trade at a time.")
    if found and (problems := schema_problems(read_file(found[0]))):
        raise ProblemsFound(problems)
    return found[0] if found else None


def open_library(
    folders: Iterable[Path],
    shown: dict[Path, str] | None = None,
    wanted: Iterable[str] = (),
    schema: Path = JOB_SCHEMA,
) -> Library:
    """Read every ruleset under these folders, and the releases that `wanted` names by `id@version`.

    Raises:
        ProblemsFound: Everything wrong with any of them.
    """
    found, problems, places = [], [], {}
    folders = list(folders)
    for folder in folders:
        for header in files_inside(folder, "ruleset.yaml"):
            name = (shown or {}).get(folder, folder.name) + f"/{header.parent.relative_to(folder)}".removesuffix("/.")
            try:
                found.append(_read(header.parent, name))
                places[found[-1].id] = header.parent
            except ProblemsFound as error:
                problems += error.problems
    if problems:
        raise ProblemsFound(problems)
    library = Library(found, places, schema, folders_of_states(folders))
    return library.using([library.release(name) for name in dict.fromkeys(wanted) if "@" in name])


def _read(folder: Path, shown: str) -> Ruleset:
    """A ruleset read from its folder, or recalled where an earlier run read the same files."""
    digest = digest_of(folder, shown)
    before = recalled(cache.recall("ruleset", digest), folder, shown, digest)
    if before is not None:
        return before
    found = read_ruleset(folder, shown, digest)
    cache.keep(kept(found), "ruleset", digest)
    return found


def digest_of(folder: Path, shown: str, instead: Mapping[str, bytes] | None = None) -> str:
    """The first 16 hex digits of the SHA-256 over the names and bytes of a ruleset's files.

    Args:
        shown: How to name the folder in messages.
        instead: By name, what files are about to hold.

    Raises:
        ProblemsFound: A file cannot be read, or one or all of them are too large.
    """
    total, size = hashlib.sha256(), 0
    for path in ruleset_files(folder):
        name = path.relative_to(folder).as_posix()
        content = instead[name] if instead and name in instead else read_bytes(path, f"{shown}/{name}")
        size += len(content)
        if size > MOST_OF_A_RULESET:
            raise _refused(shown, f"Its files are larger than {MOST_OF_A_RULESET // 2**20} MiB.", "Split it in two.")
        total.update(f"{name}\0{len(content)}\0".encode() + content)
    return total.hexdigest()[:16]
