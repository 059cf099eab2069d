"""In which order an interview asks: core rules first, then where one stands, then until when a thing can be seen.

Stations, stages and weights are data of the job schema and the rulesets.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Mapping
from typing import NamedTuple

from checker.findings.finding import Finding
from checker.reading.fact_shapes import Station, pattern
from checker.reading.vocabulary import Vocabulary

CORE = "core"
MOST_TICKS = 14  # a longer list does not fit a screen
MOST_PARTS = 9  # nor does anybody type more than this on one line


Joins = Callable[[str, list[str], "Open"], bool]


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
        told = vocabulary.commands.get("one_thing", ())
        self.things = {section: sections[0] for sections in told for section in sections}

    def station(self, path: str) -> Station:
        return self.vocabulary.station(path)

    def rank(self, path: str, among: Open) -> tuple[object, ...]:
        """The place of a fact: what decides which rules hold; then core, station, stage, the item at hand, life safety, how
        many findings are helped, what may be none and then ends other questions, what is told at a glance before what is
        measured or named, the section at hand, and the order of the schema."""
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
            not (leaf and leaf.may_be_none),
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

    def own_stage(self, path: str) -> int:
        """The last stage at which a fact can be seen."""
        return self.stages[pattern(path)]

    def on_paper(self, path: str) -> bool:
        """Whether a fact is read off a plate or in a manual, at any time."""
        return self.stages[pattern(path)] == len(self.vocabulary.stages) - 1

    # --- tick lists ---

    def ticked(self, path: str, among: Open) -> bool:
        """Whether a fact may stand in a tick list: a plain yes or no on which no life hangs and no rule set."""
        leaf = self.vocabulary.leaf(path)
        plain = bool(leaf and leaf.form == "flag" and not leaf.may_be_none)
        return plain and path not in among.deciding and not among.life_safety(path)

    def tick_list(self, path: str, among: Open) -> list[str]:
        """The facts that are ticked together with one: all of its station, core first, as many as fit a screen."""
        if not self.ticked(path, among):
            return [path]
        here = self.station(path)
        alike = [one for one in among.paths if self.ticked(one, among) and self.station(one) == here]
        others = sorted((one for one in alike if one != path), key=lambda one: self.rank(one, among))[: MOST_TICKS - 1]
        return sorted((path, *others), key=lambda one: self.rank(one, among))

    # --- lines ---

    def one_line(self, path: str, among: Open, may_join: Joins) -> list[str]:
        """The facts that are typed on one line with one: of the same thing, and seen where and when it is.

        Args:
            may_join: Whether a fact may be asked with those already on the line.
        """
        key = self._line_of(path, among)
        if key is None:
            return [path]
        found = self._of_one_thing(path, key, among, may_join)
        return found if len(found) > 1 else self._of_each_item(path, among, may_join)

    def _of_each_item(self, path: str, among: Open, may_join: Joins) -> list[str]:
        """One fact of several items of a list, such as the length of each rope, where each has nothing else to be asked."""
        alike = [
            one for one in among.paths if pattern(one) == pattern(path) and self.station(one) == self.station(path)
        ]
        lines = {one: self._line_of(one, among) for one in among.paths}
        alone = [one for one in alike if list(lines.values()).count(lines[one]) == 1 and may_join(one, [], among)]
        return [path, *(one for one in alone if one != path)][:MOST_PARTS]

    def _of_one_thing(self, path: str, key: tuple[object, ...], among: Open, may_join: Joins) -> list[str]:
        alike = [one for one in among.paths if one != path and self._line_of(one, among) == key]
        found, waiting = [path], sorted(alike, key=lambda one: self.rank(one, among))
        while joins := [one for one in waiting if self._seen_with(one, found) and may_join(one, found, among)]:
            if len(found) == MOST_PARTS:
                break
            found.append(joins[0])
            waiting.remove(joins[0])
        lists = [one for one in found if pattern(one) in self.vocabulary.lists]
        facts = sorted((one for one in found if one not in lists), key=self._on_the_line)
        return facts + lists[:1] if path not in lists[1:] else [path]

    def _on_the_line(self, path: str) -> tuple[bool, int]:
        """The place of a fact on its line: what is known before it is measured, then the order of the schema."""
        return bool(self.vocabulary.leaves[pattern(path)].measured), self.places[pattern(path)]

    def _seen_with(self, path: str, others: list[str]) -> bool:
        """Whether a fact is seen at the same stage as others, or off a plate or a paper."""
        stages = {self.stages[pattern(one)] for one in (path, *others) if not self.on_paper(one)}
        return len(stages) < 2

    def _line_of(self, path: str, among: Open) -> tuple[object, ...] | None:
        """What facts have in common that go on one line; None for what is asked alone."""
        leaf, entry = self.vocabulary.leaf(path), self.vocabulary.lists.get(pattern(path))
        alone = entry.keyed if entry else leaf is None or (leaf.form == "flag" and not leaf.may_be_none)
        if alone or path in among.deciding or (leaf and leaf.form == "flag" and among.life_safety(path)):
            return None
        section = path.rpartition(".")[0]
        thing = self.things.get(pattern(section), pattern(section))
        return self.station(path).place, thing, _item_of(section)

    def prompts(self, among: Open, paths: Iterable[str]) -> int:
        """About how many prompts some facts take."""
        lists, lines, single = Counter[int](), Counter[tuple[object, ...]](), 0
        for path in paths:
            if self.ticked(path, among):
                lists[self.station(path).place] += 1
            elif key := self._line_of(path, among):
                lines[key] += 1
            else:
                single += 1
        full = [*((many, MOST_TICKS) for many in lists.values()), *((many, MOST_PARTS) for many in lines.values())]
        return single + sum(-(-many // most) for many, most in full)


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


def _item_of(path: str) -> str:
    """The innermost list item around a section; empty where there is none."""
    steps = path.split(".")
    last = max((place for place, step in enumerate(steps) if step.isdigit()), default=-1)
    return ".".join(steps[: last + 1])


def _items_shared(path: str, other: str) -> int:
    """Of how many list items, from the outside in, two facts are both a part."""
    shared = 0
    for step, same in zip(path.split("."), other.split("."), strict=False):
        if step != same:
            break
        shared += step.isdigit()
    return shared
