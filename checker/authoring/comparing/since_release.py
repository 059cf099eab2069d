"""What got looser in a ruleset since its newest release, told where it stands, and what of that a release confirms."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any, NamedTuple

from checker.authoring.comparing.loosened import ASKS_LESS, LIFE_SAFETY, SAYS_MORE, Data, Loosened, loosened
from checker.problems.problem import Problem
from checker.rulesets.library import Library
from checker.rulesets.plain_data import lean, plain
from checker.rulesets.record import Baseline, newest
from checker.rulesets.ruleset import Ruleset

SORT = "looser"
SAID = {LIFE_SAFETY: "protects life less", ASKS_LESS: "asks less", SAYS_MORE: "says more"}
HINT = "Put it back; or, where it is intended, say why when the next version is released."


class Since(NamedTuple):
    """A ruleset, the release that it is compared with (None: there is none), and what got looser, the heaviest first."""

    ruleset: Ruleset
    release: Baseline | None
    looser: list[Loosened]

    @property
    def problems(self) -> list[Problem]:
        """Each change as it is told: where it stands, its weight, and what to do."""
        return [self._problem(one, self.release.name) for one in self.looser if self.release]

    def _problem(self, one: Loosened, release: str) -> Problem:
        parts = self.ruleset.parts
        sections = ("amend", one.section) if one.section in ("rules", "limits") else (one.section,)
        part = next((parts[section, one.name] for section in sections if (section, one.name) in parts), None)
        at = (one.field,) if part else ("version",)
        what = f"Since {release} '{one.name}' {SAID[one.weight]}: {one.what}."
        told = (part or parts["header", ""]).problem(at, what, HINT)
        return told._replace(sort=SORT)


def since_release(library: Library, ruleset: Ruleset, release: Baseline | None) -> Since:
    """What got looser in a ruleset since a release of it; nothing where there is none."""
    return _since(ruleset, release, all_lean(library))


def all_since(library: Library, about: Collection[str] = ()) -> Iterator[Since]:
    """The same of every ruleset of a library since its newest release; with `about`, of these alone.

    Raises:
        ProblemsFound: A release cannot be read, or is not as it was written.
    """
    looked_at = [one for one in library.rulesets.values() if not about or one.id in about]
    released = {one.id: newest(library, one.id) for one in looked_at}
    data = all_lean(library) if any(released.values()) else {}
    for ruleset in looked_at:
        yield _since(ruleset, released[ruleset.id], data)


def _since(ruleset: Ruleset, release: Baseline | None, data: Mapping[str, Data]) -> Since:
    if release is None:
        return Since(ruleset, None, [])
    return Since(ruleset, release, loosened(release.data, data[ruleset.id], of_others(data, ruleset.id)))


def of_others(data: Mapping[str, Data], name: str) -> Data:
    """The rules and limits of every ruleset but one, together."""
    found: dict[str, dict[str, Any]] = {"rules": {}, "limits": {}}
    for other, its in data.items():
        for section, entries in found.items() if other != name else ():
            entries.update(its[section])
    return found


def all_lean(library: Library) -> dict[str, Data]:
    """Every ruleset of a library as lean data, by id."""
    return {name: lean(plain(ruleset)) for name, ruleset in library.rulesets.items()}
