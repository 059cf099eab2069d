"""Two versions side by side: each ruleset of them, and what they stand on, with what changed, weighed and in words."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

from checker.authoring.comparing.differences import Difference, differences
from checker.authoring.comparing.ruleset_versions import RulesetVersion
from checker.authoring.comparing.version_steps import MAJOR, MEANING, MINOR, largest, weighed
from checker.authoring.comparing.words import worded
from checker.problems.problem import refused
from checker.rulesets.plain_data import plain
from checker.rulesets.release import standing_on
from checker.rulesets.ruleset import Ruleset

Limits = Mapping[str, Mapping[str, Any]]
NO_LIMITS: Limits = MappingProxyType({})


class Compared(NamedTuple):
    """One ruleset in two versions ("": it is not there), and the parts in which they differ.

    `below` tells that it is one of those the compared ruleset stands on. `titles` are the names people know a part by.
    """

    id: str
    old: str
    new: str
    parts: tuple[Difference, ...]
    below: bool
    titles: dict[tuple[str, str], str]

    @property
    def step(self) -> str:
        """The least step that the next version has to take."""
        return largest(part.step for part in self.parts)


def compared(old: RulesetVersion, new: RulesetVersion) -> list[Compared]:
    """What differs between two versions: the rulesets they are of first, then those they stand on that differ too.

    Raises:
        ProblemsFound: They are not of the same ruleset.
    """
    if not {*old.ids} & {*new.ids}:
        what = f"{old.label} and {new.label} are of different rulesets: {', '.join(old.ids)} and {', '.join(new.ids)}."
        raise refused(new.label, what, "Compare two versions of one ruleset.")
    ids = sorted({*old.ids, *new.ids})
    limits = {name: limit.as_data() for side in (old, new) for one in side.library.rulesets.values()
              for name, limit in one.limits.items()}  # fmt: skip
    own = [_of_either(_held(old, name), _held(new, name), below=False, limits=limits) for name in ids]
    before, after = _standing_on(old), _standing_on(new)
    names = sorted({*before, *after} - {*ids})
    below = [_of_either(before.get(name), after.get(name), below=True, limits=limits) for name in names]
    return [one for one in own if one] + [one for one in below if one and one.parts]


def _held(side: RulesetVersion, name: str) -> Ruleset | None:
    return side.library.rulesets[name] if name in side.ids else None


def _standing_on(side: RulesetVersion) -> dict[str, Ruleset]:
    known = side.library.rulesets
    return {one.id: one for name in side.ids for one in standing_on(known[name], known)}


def _of_either(old: Ruleset | None, new: Ruleset | None, below: bool, limits: Limits) -> Compared | None:
    """What differs in a ruleset between two versions; where only one has it, one part that tells it came or is gone."""
    if old and new:
        return of(old, new, below, limits)
    one = old or new
    if one is None:
        return None
    kind, step = ("added", MINOR) if new else ("gone", MINOR if below else MAJOR)
    words = f"Ruleset {kind}: {one.header.title} ({len(one.rules)} rules)"
    part = Difference(
        ("header", "id"), "added" if new else "gone", old and old.id, new and new.id, 0, words, MEANING, step
    )
    return Compared(one.id, old.header.version if old else "", new.header.version if new else "", (part,), below, {})


def of(old: Ruleset, new: Ruleset, below: bool = False, limits: Limits = NO_LIMITS) -> Compared:
    """What differs between two versions of one ruleset.

    Args:
        limits: The limits that it may amend, as plain data.
    """
    return of_data(plain(old), plain(new), below, limits)


def of_data(
    before: Mapping[str, Any], after: Mapping[str, Any], below: bool = False, limits: Limits = NO_LIMITS
) -> Compared:
    """The same of two versions as plain data."""
    parts = worded(before, after, weighed(before, differences(before, after)), limits)
    titles = {(kind, name): one["title"] for side in (before, after) for kind in ("rules", "limits", "facts")
              for name, one in side[kind].items()}  # fmt: skip
    old, new = before["header"], after["header"]
    return Compared(old["id"], old["version"], new["version"], tuple(parts), below, titles)
