"""Opening a version of a ruleset: a folder, a release file, or `name@X.Y.Z`."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from checker.problems.problem import refused
from checker.rulesets.library import Library, open_library, open_rulesets
from checker.rulesets.release import read_release
from checker.rulesets.ruleset import Ruleset


class RulesetVersion(NamedTuple):
    """A version of a ruleset that was opened: a library that holds it in place of any other version, and its name to show.

    `ids` are the rulesets it is a version of: one, or all those of a folder that holds several.
    """

    library: Library
    ids: tuple[str, ...]
    label: str

    @property
    def id(self) -> str:
        """The one ruleset, or nothing where there are several."""
        return self.ids[0] if len(self.ids) == 1 else ""

    @property
    def rulesets(self) -> list[Ruleset]:
        return [self.library.rulesets[name] for name in self.ids]


def open_both(old: str, new: str, folders: Iterable[Path] = ()) -> tuple[RulesetVersion, RulesetVersion]:
    """Open what OLD and NEW name; a release that one names may stand in the folder that the other names.

    Raises:
        ProblemsFound: There is no such thing, or it cannot be used as it is.
    """
    return open_version(old, folders, new), open_version(new, folders, old)


def open_version(written: str, folders: Iterable[Path] = (), beside: str = "") -> RulesetVersion:
    """Open what an argument OLD or NEW names.

    Args:
        written: A folder of one ruleset or of several, a release file, or `name@X.Y.Z`.
        folders: Folders of more rulesets than the shipped ones, on which it may stand.
        beside: A folder in which a release that is named may stand, too.

    Raises:
        ProblemsFound: There is no such thing, or it cannot be used as it is.
    """
    path = Path(written)
    if path.is_dir():
        return _folder(path, folders)
    if path.is_file() and path.suffix == ".json":
        frozen = read_release(path, written)
        library = open_rulesets(folders).using([frozen])
        return RulesetVersion(library, (frozen.id,), frozen.name)
    if "@" not in written or path.exists():
        hint = "Name a ruleset's folder, a release file, or a release as name@1.0.0."
        raise refused(written, "This is neither a folder nor a release file.", hint)
    library = _folder(Path(beside), folders).library if beside and Path(beside).is_dir() else open_rulesets(folders)
    frozen = library.release(written, written)
    return RulesetVersion(library.using([frozen]), (frozen.id,), written)


def _folder(path: Path, folders: Iterable[Path]) -> RulesetVersion:
    """The rulesets of a folder, in place of those with the same ids: a changed copy instead of the shipped one."""
    own = open_library([path], {path: str(path)})
    if not own.rulesets:
        hint = "A ruleset's folder has a ruleset.yaml in it."
        raise refused(path, "The folder holds no ruleset.", hint)
    around = open_rulesets(folders, beside=[path])
    places = {**around.folders, **own.folders}
    library = Library({**around.rulesets, **own.rulesets}.values(), places, around.schema, around.of_states)
    ids = tuple(sorted(own.rulesets))
    label = f"{path} ({own.rulesets[ids[0]].header.version})" if len(ids) == 1 else str(path)
    return RulesetVersion(library, ids, label)
