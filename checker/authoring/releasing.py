"""Releasing a version of a ruleset: what stands against it, and what is written when nothing does."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

from checker.authoring import cases
from checker.authoring.comparing.comparison import Compared, compared, of_data
from checker.authoring.comparing.differences import Difference
from checker.authoring.comparing.ruleset_versions import RulesetVersion, open_version
from checker.authoring.comparing.since_release import Since, since_release
from checker.authoring.comparing.text import CHANGELOG, entry, with_entry
from checker.authoring.comparing.version_steps import STEPS, largest, least_version
from checker.authoring.editing.file_edits import left_to_fill_in
from checker.authoring.lint import linter as lint
from checker.authoring.mutation import mutants
from checker.engine.checker import Checker
from checker.ir.program import document
from checker.problems.problem import Problem, ProblemsFound, refused
from checker.reading.files import read_text
from checker.reading.vocabulary import Vocabulary
from checker.rulesets import frozen_states
from checker.rulesets.headers import ConfirmedChange
from checker.rulesets.library import Library, digest_of
from checker.rulesets.plain_data import lean, plain
from checker.rulesets.record import Baseline, newest, record_text, released_versions
from checker.rulesets.release import VERSION, file_of, freeze, numbers, record_file, standing_on
from checker.rulesets.ruleset import Ruleset, assembled
from checker.rulesets.standing import stands_over_all

VERSION_LINE = re.compile(r"""^(version:[ \t]*)(["']?)[0-9.]+\2""", re.MULTILINE)
HEADER = "ruleset.yaml"
GIT = "# A release is never merged, and no line end in it is changed.\n* binary\n.gitattributes text\n"


class Ready(NamedTuple):
    """A version that may be released: its ruleset's folder, and the texts to write there."""

    id: str
    version: str
    folder: Path
    header: str
    changelog: str
    release: str
    as_record: bool = False

    @property
    def writes(self) -> list[tuple[Path, str]]:
        """What to write, in this order. The release comes last: until it stands there is none, and a new try ends the work."""
        return [
            (self.folder / HEADER, self.header),
            (self.folder / CHANGELOG, self.changelog),
            (self.file.parent / ".gitattributes", GIT),
            (self.file, self.release),
        ]

    @property
    def file(self) -> Path:
        """The file of the release."""
        return (record_file if self.as_record else file_of)(self.folder, self.version)


def ready(
    path: Path,
    version: str,
    folders: Iterable[Path],
    day: str,
    confirm: Callable[[Since], list[ConfirmedChange]],
    as_record: bool = False,
) -> Ready:
    """Everything to write for a release of the ruleset in a folder.

    Args:
        folders: Folders of more rulesets than the shipped ones, on which it may stand.
        day: The day of the entry in the changelog.
        confirm: Says why each change is meant that got looser since the release before, or refuses.
        as_record: Whether a record is written in place of the whole release.

    Raises:
        ProblemsFound: All that stands against it: the version, lint, a case or a flip, or too small a step.
    """
    working = _working_copy(path, folders)
    _refuse_version(working, path, version)
    own = working.library.rulesets[working.id]
    header = VERSION_LINE.sub(rf"\g<1>\g<2>{version}\g<2>", own.documents[HEADER].text, count=1)
    released = _as_released(own, path, header)
    library = working.library.with_one(released)
    before = newest(library, released.id, below=version)
    changes = _changed(library, released, before) if before else []
    _refuse_small_step(own, before.version if before else "", version, changes)
    problems = list(_shortcomings(working.library, own))
    if problems:
        raise ProblemsFound(problems)
    confirmed = confirm(since_release(library, released, before))
    changelog = _changelog(path, changes, version, day)
    if as_record:
        return Ready(working.id, version, path, header, changelog, record_text(released, confirmed), as_record)
    programs = dict(programs_of(library, released, library.vocabulary))
    published = frozen_states.as_data(library.states()) if stands_over_all(released) else {}
    release = freeze(released, library.rulesets, programs, confirmed, published)
    return Ready(working.id, version, path, header, changelog, release)


def programs_of(library: Library, released: Ruleset, vocabulary: Vocabulary) -> Iterator[tuple[str, dict[str, Any]]]:
    """The program of each place that a ruleset covers, or of those that it stands on where it covers none."""
    covered = released.header.covers or [
        place for name in released.header.uses for place in library.rulesets[name].header.covers
    ]
    checker = Checker(library, vocabulary, (released.id,))
    for place in covered:
        yield place, document(checker.whole_program(checker.chain(place)))


def _working_copy(path: Path, folders: Iterable[Path]) -> RulesetVersion:
    if not (path / HEADER).is_file():
        raise refused(str(path), "This is not a ruleset's folder.", "Name a folder with a ruleset.yaml.")
    return open_version(str(path), folders)


def _refuse_version(working: RulesetVersion, path: Path, version: str) -> None:
    if not VERSION.fullmatch(version):
        raise refused("--version", f"'{version}' is not a version number.", "Three numbers: 1.0.0.")
    for file in (file_of(path, version), record_file(path, version)):
        if file.exists():
            last = max(released_versions(working.library, working.id), key=numbers)
            what = f"{working.id}@{version} is released already; a release is never changed."
            raise refused(str(file), what, f"Take a version above {last}.")


# --- what stands against it ------------------------------------------------------------------------------------------


def _shortcomings(library: Library, own: Ruleset) -> Iterator[Problem]:
    """What is still to fill in and what lint finds, in the ruleset and in what it stands on; cases that do not hold, and
    flips that no case notices."""
    checker = Checker(library, library.vocabulary)  # a case may be judged in a place that this does not stand on
    documents = [document for one in standing_on(own, library.rulesets) for document in one.documents.values()]
    files = {document.file for document in documents}
    early = [problem for document in documents for problem in left_to_fill_in(document.text, document.file)]
    early += [problem for problem in lint.problems(checker, {own.id}) if problem.where.file in files]
    if early:  # rules that cannot be read have no cases to run
        yield from early
        return
    failed = [problem for one in cases.stated(own) if (problem := cases.run(checker, one)[0])]
    yield from failed
    if not failed:
        for rule_id in mutants.rules_of(own):
            yield from mutants.flipped(checker, own, rule_id).survivors


def _changed(library: Library, released: Ruleset, before: Baseline) -> list[Compared]:
    """What changed since the release before. Of a record only the ruleset itself can be compared, and what stands in it."""
    if before.version not in library.releases(released.id):
        return [of_data(before.data, lean(plain(released)))]
    old = RulesetVersion(library.using([library.release(before.name)]), (released.id,), before.name)
    return compared(old, RulesetVersion(library, (released.id,), f"{released.id}@{released.header.version}"))


def _refuse_small_step(own: Ruleset, since: str, version: str, changes: list[Compared]) -> None:
    if not since:
        return
    step = largest(one.step for one in changes)
    least = least_version(since, step)
    if numbers(version) >= numbers(least):
        return
    asked = max((size for size in STEPS if numbers(least_version(since, size)) <= numbers(version)), key=STEPS.index)
    wanting = [(one, part) for one in changes for part in one.parts if STEPS.index(part.step) > STEPS.index(asked)]
    what = f"Since {since} the change is {step}; {version} is too small a step for it:"
    lines = "".join(f"\n    {_which(one, part)}: {part.words} [{part.step}]" for one, part in wanting)
    where = own.documents[HEADER].where(("version",))
    raise refused(where, what + lines, f"The least version is {least}.")


def _which(compared: Compared, part: Difference) -> str:
    name = "ruleset.yaml" if part.path[0] == "header" else part.path[1]
    return f"{compared.id}, {name}" if compared.below else name


# --- what is written -------------------------------------------------------------------------------------------------


def _as_released(own: Ruleset, path: Path, header: str) -> Ruleset:
    """The ruleset as it reads with its new version: the digest is that of its files once they are written."""
    content = header.encode()
    shown = own.documents[HEADER].file
    documents = {**own.documents, HEADER: read_text(content, shown)}
    return assembled(documents, str(path), digest_of(path, str(path), {HEADER: content}))


def _changelog(path: Path, changes: list[Compared], version: str, day: str) -> str:
    """The changelog with the entry begun. An entry that stands there already, begun before or written ahead, is kept."""
    file = path / CHANGELOG
    written = file.read_text(encoding="utf-8") if file.exists() else ""
    if re.search(rf"^## {re.escape(version)}(?![0-9.])", written, re.MULTILINE):
        return written
    return with_entry(written, entry(changes, version, day))
