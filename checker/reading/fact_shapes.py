"""What stands in a vocabulary: facts and lists, the places they have in a job, and the stages, stations and parts of the work."""

from __future__ import annotations

import functools
import math
import re
import sys
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from checker.problems.document import is_position

INDEX = re.compile(r"\.\d+(?=\.|$)")


class Stage(NamedTuple):
    """A stage of the work: its name in the schema, its heading, the caution that stands under it, whether it needs no visit,
    how it is called as the last moment to see something, and what is not to be done while something of it is open."""

    name: str
    heading: str
    caution: str = ""
    at_the_desk: bool = False
    last_seen: str = ""
    not_yet: str = ""


class Station(NamedTuple):
    """Where one stands when one sees a thing: its name in the schema, its heading, and its place among the stations."""

    name: str
    heading: str
    place: int = 0


class Part(NamedTuple):
    """A thing to bring along that a rule may name: its name in the schema, its title, its station, and whether it is a tool."""

    name: str
    title: str
    station: str = ""
    tool: bool = False


NOWHERE = Station("", "On the job")  # the one station of a schema that has none


class Bounds(NamedTuple):
    """What a reading can be at all and what is common, both ends included, in the base unit of its kind."""

    lowest: float = -math.inf
    highest: float = math.inf
    usual_lowest: float = -math.inf
    usual_highest: float = math.inf


ANY_AMOUNT = Bounds()


class Leaf(NamedTuple):
    """One fact: its dotted path without list positions, and what the schema says of it.

    `kind` is a kind of `units.txt`, or `word`, `flag` or `date`. `possible` is the closed list of values, where there is
    one; `range` the lowest and highest possible amount in `unit`; `names` the list of which it names an item. `word_of`
    says whose word the fact only reports, and `word_of_values` which of its values do (none named: all). `said` are other
    words that people use for values of the list, each with the values that it may mean; `beside` is the path of the fact
    whose amount is written behind a slash after this one's. `labels` are words that people write beside its value;
    `either_way` tells that it is how far something may be off, which may be written with a plus-minus sign. `stage` is the
    place of `known` among the stages, the last one where it has none.
    `alarming` are the values that would worry whoever inspects the work. `bounds` are those of an amount or a count; `ahead`
    says that a day may lie ahead of the day of a check.
    """

    path: str
    form: str
    kind: str
    title: str
    description: str
    ask: str
    known: str
    unit: str
    digits: int | None
    measured: str
    possible: tuple[str, ...]
    may_be_none: bool
    range: tuple[float, float] | None
    names: str
    stage: int
    word_of: str = ""
    word_of_values: tuple[str, ...] = ()
    said: tuple[tuple[str, tuple[str, ...]], ...] = ()
    beside: str = ""
    labels: tuple[str, ...] = ()
    either_way: bool = False
    alarming: tuple[str | bool, ...] = ()
    bounds: Bounds = ANY_AMOUNT
    ahead: bool = False


class ListOf(NamedTuple):
    """A list: keyed lists can be gone through by a rule, readings only be taken together; `boxes` are the rows on paper.

    `key_says` is the fact of an item that its name says too, where the name is one of that fact's values; `item_line` are
    the facts of an item that may be typed behind its name. A reading of an `untimed` list may be its last fact alone; `clock` is
    the fact of a reading that never goes back."""

    path: str
    title: str
    ask: str
    keyed: bool
    boxes: int
    key_says: str = ""
    item_line: tuple[str, ...] = ()
    untimed: bool = False
    clock: str = ""


Item = Leaf | ListOf | str  # a text is the path of a place under which anything may stand
MOST_PATHS = 1000  # positions of a list of which the paths are kept


class Place:
    """A place in a job: a leaf, a list, an object with places under it, or one under which anything may stand.

    `known` keeps what was read here before, by type and value: the same value is the same reading in every job. `steps`
    keeps what may stand under it, by its own full path: a path is one text in every job and every rule.
    """

    __slots__ = ("free", "known", "leaf", "list", "steps", "under")

    def __init__(self) -> None:
        self.leaf: Leaf | None = None
        self.list: ListOf | None = None
        self.free = False
        self.under: dict[str, Place] = {}
        self.known: dict[Any, Any] = {}
        self.steps: dict[str, dict[str, Step]] = {}

    def steps_under(self, path: str) -> dict[str, Step]:
        """What may stand under this place by its name, with its full path, where the place itself stands at `path`."""
        found = self.steps.get(path)
        if found is None:
            found = {}
            for name, child in self.under.items():
                full = sys.intern(f"{path}.{name}" if path else name)
                found[name] = (full, child, child.known if child.leaf else None)
            if len(self.steps) < MOST_PATHS:
                self.steps[path] = found
        return found


Step = tuple[str, Place, "dict[Any, Any] | None"]  # the full path, the place, and for a leaf what was read there before


@functools.cache
def pattern(path: str) -> str:
    """A path without its list positions: `ropes.0.key` is a `ropes.key`."""
    return INDEX.sub("", path)


def item_of(path: str, lists: Mapping[str, Sequence[str]]) -> str:
    """The list items that a fact is in, by their keys, as findings name them.

    Args:
        lists: The keys of each list by its full path.
    """
    names = path.split(".")
    around = [(".".join(names[:at]), int(name)) for at, name in enumerate(names) if is_position(name)]
    return "/".join(lists[listed][index] for listed, index in around if listed in lists)


def beside(fact: str, path: str) -> str:
    """A fact of the list items that a path is in: `ropes.length` beside `ropes.1.strands.0` is `ropes.1.length`."""
    of, found = path.split("."), list[str]()
    for name in fact.split("."):
        found.append(name)
        here = of[len(found) : len(found) + 1]
        if found == of[: len(found)] and here and is_position(here[0]):
            found.append(here[0])
    return ".".join(found)


def under(path: str, place: str) -> bool:
    """Whether a path is a place, or stands in it."""
    return path == place or path.startswith(f"{place}.")
