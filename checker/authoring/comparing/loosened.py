"""What asks less than the release before, or says it more firmly: changes that a job would pass by unseen.

Each is told by its weight: `life safety` where a rule that guards life is let go of or asks less, `asks less` for any other
requirement, `says more` where only the ground under it moved: how sure, in which editions a section holds, what a message
shows, which example would notice.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from checker.authoring.comparing.differences import Difference, differences
from checker.authoring.comparing.looser_limits import limit_loosened
from checker.authoring.comparing.which_way import listed, which_way
from checker.authoring.comparing.words import worded
from checker.reading.sureness import SURE
from checker.rulesets.additions import LISTS, added
from checker.rulesets.fingerprint import names_of
from checker.rulesets.models import Addition, Rule
from checker.rulesets.ruleset import edition_within
from checker.trade import functions

LIFE_SAFETY, ASKS_LESS, SAYS_MORE = WEIGHTS = ("life safety", "asks less", "says more")
ACCEPTED_BY = ("none", "state", "local")  # each is easier than the one before
# What of a header lets rules go: by field, the kind of change that does; empty where any does.
HEADER = {
    "uses": "gone",
    "covers": "",
    "adopts": "",
    "cautions": "gone",
    "written_for": "",
    "made_law_by": "",
    "possible": "",
}

Data = Mapping[str, Mapping[str, Any]]


class Loosened(NamedTuple):
    """A change that asks less or says more: of which rule, limit or change, its weight, in words, and where it stands."""

    name: str
    weight: str
    what: str
    section: str
    field: str


def loosened(old: Data, new: Data, below: Data) -> list[Loosened]:
    """Every such change from one state of a ruleset to another, the heaviest first.

    Args:
        old: Lean data, as are the others.
        below: The rules and limits of all other rulesets, by id: those that it may amend, and those that read its limits.
    """
    before, after = (_as_held(side, [*old["amend"], *new["amend"]], below) for side in (old, new))
    changes = _Changes(before, after, below)
    each = dict.fromkeys(changes.each())
    return sorted(each, key=lambda one: (WEIGHTS.index(one.weight), one.name))


def _as_held(data: Data, amended: Iterable[str], below: Data) -> dict[str, Any]:
    """A ruleset's data with each rule and limit that it amends as it holds here, among its own."""
    held: dict[str, Any] = {**data, "rules": dict(data["rules"]), "limits": dict(data["limits"])}
    for name in amended:
        for section in ("rules", "limits"):
            if name in below[section]:
                held[section][name] = _amended(below[section][name], data["amend"].get(name, {}))
    return held


def _amended(entry: Mapping[str, Any], change: Mapping[str, Any]) -> dict[str, Any]:
    """A rule or limit as an amendment leaves it, as lean data."""
    lists = {field: entry.get(field, []) for field in LISTS}
    more = added(lists, Addition.of(change["add"]))[0] if "add" in change else {}
    return {**entry, **change.get("set", {}), **more}


class _Changes:
    """The changes from one state of a ruleset to another, looked at one by one."""

    def __init__(self, before: dict[str, Any], after: dict[str, Any], below: Data) -> None:
        self.before, self.after = before, after
        self.parts = worded(before, after, differences(before, after))
        self.renamed = {part.new: part.old for part in self.parts if part.kind == "renamed"}
        self.editions = before["header"].get("editions") or ["any"]
        self.readers = {**below["rules"], **after["rules"]}

    def each(self) -> Iterator[Loosened]:
        for part in self.parts:
            section, name = part.path[0], part.path[1]
            weight = _SECTIONS[section](self, part) if section in _SECTIONS and part.kind != "renamed" else ""
            if weight:
                field = part.path[2] if len(part.path) > 2 else ""
                here = name if section != "header" else "ruleset.yaml"
                yield Loosened(here, self.heavier(weight, section, name), part.words, section, field)
        for name, rule in self.after["rules"].items():
            was = self.before["rules"].get(self.renamed.get(name, name))
            if was:
                yield from self.citations(name, was["citation"], rule["citation"])

    def heavier(self, weight: str, section: str, name: str) -> str:
        """The weight of a change, seen for whose rule it is."""
        if weight != ASKS_LESS:
            return weight
        own = [name] if section in ("rules", "amend", "withdraw") else []
        rules = self.reading(name) if section == "limits" else own
        return LIFE_SAFETY if any(self.guards_life(rule) for rule in rules) else weight

    def guards_life(self, rule: str) -> bool:
        sides = (self.before["rules"].get(self.renamed.get(rule, rule)), self.readers.get(rule))
        return any(side.get("life_safety") for side in sides if side)

    def reading(self, limit: str) -> list[str]:
        """The rules that read a limit."""
        return [name for name, names in self.names.items() if limit in names]

    @functools.cached_property
    def names(self) -> dict[str, set[str]]:
        """What each rule names, limits among it."""
        return {name: named_in(rule) for name, rule in self.readers.items()}

    # --- rules ---

    def of_rule(self, part: Difference) -> str:
        if len(part.path) == 2:
            return ASKS_LESS if part.kind == "gone" else ""
        field = part.path[2]
        if field in ("cases", "untried"):
            return self.of_trial(part, field)
        if field == "places":
            return ASKS_LESS if _fewer_places(part) else ""
        if field == "editions":
            lost = any(_held(part.old, one) and not _held(part.new, one) for one in self.editions)
            return ASKS_LESS if lost else ""
        weight, looser = _FIELDS.get(field, NEVER)
        return weight if looser(part) else ""

    def of_trial(self, part: Difference, field: str) -> str:
        """A case that is gone or expects another outcome, and a reason more to try nothing.

        Cases are counted, so that neither their order nor a second one of the same name is told.
        """
        if field == "untried":
            return SAYS_MORE if part.kind == "added" else ""
        section, name = part.path[:2]
        before = self.before[section].get(self.renamed.get(name, name), {}).get("cases", [])
        after = self.after[section].get(name, {}).get("cases", [])
        tried = part.old if isinstance(part.old, list) else [part.old]
        return SAYS_MORE if any(after.count(one) < before.count(one) for one in tried) else ""

    def citations(self, name: str, old: list[Mapping[str, Any]], new: list[Mapping[str, Any]]) -> Iterator[Loosened]:
        """Marks that were raised, and sections that hold in other editions than before."""
        for entry in new:
            was = _same_section(entry, old)
            if was is None:
                continue
            cited = f"{entry['document']} {entry['section']}"
            for mark in ("section_sure", "requirement_sure"):
                if _surer(was[mark], entry[mark]):
                    of = "of the section" if mark == "section_sure" else "of the requirement"
                    what = f"{cited}: how sure {of}: {SURE[was[mark]]} → {SURE[entry[mark]]}"
                    yield Loosened(name, SAYS_MORE, what, "rules", "citation")
        for section in dict.fromkeys((one["document"], one["section"]) for one in old):
            spans = [_spans(section, side) for side in (old, new)]
            if all(spans) and spans[0] != spans[1]:
                what = f"{' '.join(section)}: editions: {' and '.join(spans[0])} → {' and '.join(spans[1])}"
                yield Loosened(name, SAYS_MORE, what, "rules", "citation")

    # --- limits, changes and the header ---

    def of_limit(self, part: Difference) -> str:
        limit = part.path[1]
        if len(part.path) == 2:
            return ASKS_LESS if part.kind == "gone" else ""
        if part.path[-1] == "sure":
            another = any(one.path[:-1] == part.path[:-1] and one.path[-1] == "value" for one in self.parts)
            return SAYS_MORE if _surer(part.old, part.new) and not another else ""
        way = which_way(limit, [self.readers[rule] for rule in self.reading(limit)])
        sides = (self.before["limits"][limit], self.after["limits"][limit])
        return ASKS_LESS if limit_loosened(part, *sides, way) else ""

    def of_amendment(self, part: Difference) -> str:
        """The time in which a change holds; what it sets is looked at in the rule or limit as it holds here."""
        if part.path[2:3] == ("cases",):
            return self.of_trial(part, "cases")
        if part.path[2:3] == ("places",):
            return ASKS_LESS
        return ASKS_LESS if part.path[2:3] in (("from",), ("until",)) else ""

    def of_withdrawal(self, part: Difference) -> str:
        if part.path[0] == "withdraw":
            return ASKS_LESS if part.kind == "added" else self.of_amendment(part)
        return ASKS_LESS if part.kind == "gone" else self.of_amendment(part)

    def of_answer(self, part: Difference) -> str:
        entry = self.after["answers"].get(part.path[1], {})
        decides = len(part.path) == 2 or part.path[2] in ("answer", "from", "until", "values")
        return ASKS_LESS if decides and part.kind != "gone" and entry.get("answer") == "not_asked" else ""

    def of_fact(self, part: Difference) -> str:
        return ASKS_LESS if part.path[2:] == ("word_of",) and part.kind == "gone" else ""

    def of_header(self, part: Difference) -> str:
        kind = HEADER.get(part.path[1])
        if kind is None or part.path[-1] in ("citation", "otherwise"):  # where it stands, and what is told
            return ""
        return ASKS_LESS if kind in ("", part.kind) else ""


_SECTIONS = {
    "header": _Changes.of_header, "rules": _Changes.of_rule, "limits": _Changes.of_limit, "amend": _Changes.of_amendment,
    "withdraw": _Changes.of_withdrawal, "restore": _Changes.of_withdrawal, "answers": _Changes.of_answer,
    "facts": _Changes.of_fact,
}  # fmt: skip


# --- small questions ---


def _more_lines(part: Difference) -> bool:
    return bool(_less(part.new, part.old))


def _fewer_lines(part: Difference) -> bool:
    return bool(_less(part.old, part.new))


def _fewer_places(part: Difference) -> bool:
    """Whether a rule holds at fewer places: of one that names none, wherever its ruleset is in use."""
    return bool(part.new) and (not part.old or bool(_less(part.old, part.new)))


def _not_new(part: Difference) -> bool:
    return part.kind != "added"


def named_in(rule: Mapping[str, Any]) -> set[str]:
    """The limits that a rule names, or hands to a function that it calls."""
    words, called = names_of(Rule.of(rule)), functions()
    return {*words, *(table for name in words & set(called) for table in called[name].tables)}


def _less(old: Any, new: Any) -> list[Any]:
    """What stood in a list and no longer does; a text counts as a list of one."""
    return [one for one in listed(old) if one not in listed(new)]


def _held(editions: str | None, edition: str) -> bool:
    return edition_within(editions or "", edition)


def _easier(part: Difference) -> bool:
    return ACCEPTED_BY.index(part.new or "local") > ACCEPTED_BY.index(part.old or "local")


def _surer(old: str, new: str) -> bool:
    return list(SURE).index(new) < list(SURE).index(old)


def _swapped(part: Difference) -> bool:
    """Whether a message shows the same values in a different order."""
    before, after = str(part.old or "").split("} {"), str(part.new or "").split("} {")
    values = [[one.strip("{}") for one in side] for side in (before, after)]
    return values[0] != values[1] and sorted(values[0]) == sorted(values[1])


def _same_section(entry: Mapping[str, Any], among: Iterable[Mapping[str, Any]]) -> Mapping[str, Any] | None:
    """The citation of the same section, or else the one of the same document in the same editions."""
    same = [one for one in among if one["document"] == entry["document"]]
    exact = [one for one in same if one["section"] == entry["section"]]
    spans = [one for one in same if one.get("editions", "") == entry.get("editions", "")]
    at_once = [one for one in exact if one in spans]
    return next(iter(at_once or exact or spans), None)


def _spans(section: tuple[str, str], citations: list[Mapping[str, Any]]) -> list[str]:
    """The editions in which a section is cited, in words."""
    return sorted(one.get("editions") or "all" for one in citations if (one["document"], one["section"]) == section)


# What of a rule asks less or says more, by the field that differs: how much hangs on it, and when it does.
NEVER: tuple[str, Callable[[Difference], bool]] = ("", lambda _: False)
_FIELDS: dict[str, tuple[str, Callable[[Difference], bool]]] = {
    "life_safety": (LIFE_SAFETY, lambda part: not part.new),
    "caution": (LIFE_SAFETY, _fewer_lines),
    "on_fail": (SAYS_MORE, _swapped),
    "failed": (SAYS_MORE, _swapped),
    "obligation": (ASKS_LESS, lambda part: part.new == "should"),
    "acceptable_by": (ASKS_LESS, _easier),
    "judged": (ASKS_LESS, lambda part: part.old == "guarded"),
    "require": (ASKS_LESS, _fewer_lines),
    "applies_when": (ASKS_LESS, _more_lines),
    "verify_when": (ASKS_LESS, _more_lines),
    "where": (ASKS_LESS, _not_new),
    "answers": (ASKS_LESS, _not_new),
    "made_law_by": (ASKS_LESS, _not_new),
    "for_each": (ASKS_LESS, lambda _: True),
    "date": (ASKS_LESS, lambda _: True),
}
