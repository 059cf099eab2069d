"""In which order an interview asks: core rules first, then where one stands, then until when a thing can be seen.

Stations, stages and weights are data of the job schema and the rulesets.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import NamedTuple

from checker.findings.finding import Finding
from checker.reading.vocabulary import Station, Vocabulary, pattern

CORE = "core"
MOST_TICKS = 12  # a longer list does not fit a screen


class Open(NamedTuple):
    """What may still be asked at one point: the facts in question, with the findings that each could settle.

    `deciding` are the facts that decide which rules hold, `readings` the measured facts of each open finding, `last` the
    fact that was asked about before.
    """

    paths: tuple[str, ...]
    needed: Mapping[str, tuple[Finding, ...]]
    deciding: Collection[str]
    readings: Mapping[str, frozenset[str]]
    last: str

    def core(self, path: str) -> bool:
        """Whether a fact is asked in the first round: a core rule waits for it, or it decides which rules hold."""
        return path in self.deciding or any(finding.weight == CORE for finding in self.needed.get(path, ()))

    def life_safety(self, path: str) -> bool:
        return any(finding.life_safety for finding in self.needed.get(path, ()))


class Order:
    """The order of asking under one vocabulary."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self.places, self.stages = _places_of(vocabulary), stages_of(vocabulary)

    def station(self, path: str) -> Station:
        return self.vocabulary.station(path)

    def rank(self, path: str, among: Open) -> tuple[object, ...]:
        """The place of a fact: what decides which rules hold; then core, station, stage, the item at hand, life safety, how
        many findings are helped, what is told at a glance before what is measured or named, the section at hand, and the
        order of the schema."""
        leaf = self.vocabulary.leaves.get(pattern(path))
        items = tuple(int(step) for step in path.split(".") if step.isdigit())
        return (
            path not in among.deciding,
            not among.core(path),
            self.station(path).place,
            self.stage(path, among),
            -_items_shared(path, among.last),
            not among.life_safety(path),
            -len(among.needed.get(path, ())),
            not (leaf and (leaf.possible or leaf.form == "flag")),
            path.split(".")[0] != among.last.split(".")[0],
            items,
            self.places[pattern(path)],
        )

    def stage(self, path: str, among: Open) -> int:
        """The stage a fact is asked in: its own, or for what can be read at any time the first that it helps, be it that
        it is a limit of a reading taken then."""
        own = self.stages[pattern(path)]
        leaf = self.vocabulary.leaves.get(pattern(path))
        if own < len(self.vocabulary.stages) - 1 or (leaf and leaf.form == "date"):  # a day may still lie ahead
            return own
        findings = among.needed.get(path, ())
        needs = {need.fact for finding in findings for need in finding.needs} & {*among.paths}
        readings = {fact for finding in findings for fact in among.readings[finding.finding_id]}
        return min([own, *(self.stages[pattern(fact)] for fact in needs | readings)])

    # --- tick lists ---

    def ticked(self, path: str, among: Open) -> bool:
        """Whether a fact may stand in a tick list: a plain yes or no on which no life hangs and no rule set."""
        leaf = self.vocabulary.leaf(path)
        plain = bool(leaf and leaf.form == "flag" and not leaf.may_be_none)
        return plain and path not in among.deciding and not among.life_safety(path)

    def tick_list(self, path: str, among: Open) -> list[str]:
        """The facts that are ticked together with one: of its station and its round, as many as fit a screen."""
        if not self.ticked(path, among):
            return [path]
        key = self._list_of(path, among)
        alike = [one for one in among.paths if self.ticked(one, among) and self._list_of(one, among) == key]
        others = sorted((one for one in alike if one != path), key=lambda one: self.rank(one, among))[: MOST_TICKS - 1]
        return sorted((path, *others), key=lambda one: self.rank(one, among))

    def prompts(self, among: Open, paths: Iterable[str]) -> int:
        """About how many prompts some facts take."""
        lists: dict[tuple[object, ...], int] = {}
        single = 0
        for path in paths:
            if self.ticked(path, among):
                key = self._list_of(path, among)
                lists[key] = lists.get(key, 0) + 1
            else:
                single += 1
        return single + sum(-(-many // MOST_TICKS) for many in lists.values())

    def _list_of(self, path: str, among: Open) -> tuple[object, ...]:
        return among.core(path), self.station(path).place


def stages_of(vocabulary: Vocabulary) -> dict[str, int]:
    """The last stage at which each fact can be seen; for a list, that of whichever fact in it is gone first."""
    any_time = len(vocabulary.stages) - 1  # what stands on plates and papers is asked as soon as it helps
    stages = {leaf.path: leaf.stage for leaf in vocabulary.leaves.values()}
    lists = {name: [stages[path] for path in stages if path.startswith(f"{name}.")] for name in vocabulary.lists}
    return stages | {name: min(inside, default=any_time) for name, inside in lists.items()}


def _places_of(vocabulary: Vocabulary) -> dict[str, int]:
    """The place of every fact and list in the schema; a list stands where its first fact does."""
    order: dict[str, int] = {}
    for place, path in enumerate(vocabulary.leaves):
        order[path] = place
        for name in vocabulary.lists:
            if path.startswith(f"{name}."):
                order.setdefault(name, place)
    return order


def _items_shared(path: str, other: str) -> int:
    """Of how many list items, from the outside in, two facts are both a part."""
    shared = 0
    for step, same in zip(path.split("."), other.split("."), strict=False):
        if step != same:
            break
        shared += step.isdigit()
    return shared
