"""The walk over a job along the vocabulary: what is recorded where, and what is wrong with it.

Most mistakes are told here, in the words of the trade. The job schema decides what is left: it tells of a job that read
well so far and does not fit it.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Collection, Mapping
from dataclasses import replace
from typing import Any

from checker.ir.kleene import NONE, Cause, Range
from checker.problems.document import Document
from checker.problems.problem import Problem, ProblemsFound, did_you_mean, tell
from checker.reading import json_schema, known_by
from checker.reading.fact_reader import LeafError, Reading, called, read_leaf
from checker.reading.fact_shapes import Leaf, Place, pattern
from checker.reading.vocabulary import Vocabulary

SCHEMA_VERSION = 1
MOST_ITEMS = 500
MOST_SPELLED = 60  # characters of a value that is kept
PLAIN = (str, int, float, bool)
MOST_KNOWN = 1000  # values kept of one fact


class Reader:
    """Walks a job along the vocabulary, keeps the readings and says what is wrong."""

    def __init__(self, document: Document, vocabulary: Vocabulary) -> None:
        self.document, self.vocabulary = document, vocabulary
        self.readings: dict[str, Reading] = {}
        self.not_known: dict[str, str] = {}
        self.lists: dict[str, tuple[str, ...]] = {}
        self.problems: list[Problem] = []
        self.keys = 0  # of all groups that were gone through, and of the values that are written as groups
        self.with_instrument: list[str] = []
        self.at: tuple[str | int, ...] = ()

    def everything(self, kind: str, begins: str) -> None:
        """Read all that stands in the document.

        Raises:
            ProblemsFound: It holds no facts at all.
        """
        if not isinstance(self.document.data, dict):
            raise ProblemsFound([self.document.problem((), f"A {kind} is a group of facts.", f"Begin with {begins}.")])
        self.object(self.document.data, (), "", self.vocabulary.top)

    def object(self, data: Mapping[str, Any], at: tuple[str | int, ...], path: str, place: Place) -> None:
        """Read what stands under a place. A value that was read there before needs no more than to be found again."""
        readings, steps = self.readings, place.steps_under(path)
        self.keys += len(data)
        for name, value in data.items():
            step = steps.get(name)
            if step is None:
                self._part(value, (*at, name), f"{path}.{name}" if path else name, None)
                continue
            full, child, before = step
            if before is not None:
                kind = value.__class__
                known = before.get(value if kind is str else _spelled(value))
                if known is not None:
                    readings[full] = known
                    if kind is dict:
                        self._in_a_group(value, known, full)
                    continue
            elif value.__class__ is dict and child.list is None:
                self.object(value, (*at, name), full, child)
                continue
            self._part(value, (*at, name), full, child)

    def _in_a_group(self, value: Mapping[str, Any], reading: Reading, path: str) -> None:
        """Note what is written as a group: its keys, and the instrument that it may name."""
        self.keys += len(value)
        if reading.instrument:
            self.with_instrument.append(path)

    def _part(self, value: Any, at: tuple[str | int, ...], path: str, place: Place | None) -> None:
        if path == "$schema":
            return
        self.at = at
        leaf = place.leaf if place else None
        if value is None:
            named = f"{leaf.title}: null" if leaf else "null"
            self._wrong(f"{named} says nothing.", 'Leave it out, or write {"not_known": "why"}' + _or_none(leaf))
        elif place is None:
            self._unknown_fact(at, path)
        elif leaf:
            self._leaf(leaf, value, path, place)
        elif place.list:
            self._list(value, at, path, place)
        elif isinstance(value, dict):
            self.object(value, at, path, place)
        else:
            self._wrong(
                f"'{path}' groups facts and cannot be {called(value)}.",
                f"It may have: {_some(self.vocabulary.children(pattern(path)))}.",
            )

    def _unknown_fact(self, at: tuple[str | int, ...], path: str) -> None:
        name = path.rsplit(".", 1)[-1]
        if any(pattern(path).startswith(f"{free}.") for free in self.vocabulary.free):
            return
        siblings = self.vocabulary.children(pattern(path.rsplit(".", 1)[0]) if "." in path else "")
        hint = self._elsewhere(name, path) or did_you_mean(name, siblings)
        self.at = (*at, "=")
        known = f"Known here: {_some(siblings)}." if siblings else "Take it out."
        self._wrong(f"'{path}' is not a fact of a job.", hint or known)

    def _elsewhere(self, name: str, path: str) -> str:
        """Where a fact of this name does stand: in the same group if there, else wherever it is."""
        found = [place for place in self.vocabulary.leaves if place.rsplit(".", 1)[-1] == name]
        close = [place for place in found if place.split(".")[0] == path.split(".")[0]] or found
        named = " and ".join(f"'{place}'" for place in close)
        return f"There is {named}." if 0 < len(close) <= 3 else ""

    def _list(self, value: Any, at: tuple[str | int, ...], path: str, place: Place) -> None:
        assert place.list is not None
        if not isinstance(value, list):
            self._wrong(
                f"'{path}' is a list and cannot be {called(value)}.", "Write [ … ], and [] where there are none."
            )
            return
        if len(value) > MOST_ITEMS:
            self._wrong(f"'{path}' holds more than {MOST_ITEMS} items.", "A job is one replacement at one address.")
            return
        keys: list[str] = []
        for index, item in enumerate(value):
            self.at = (*at, index)
            if not isinstance(item, dict):
                self._wrong(f"Each item of '{path}' is a group of facts, not {called(item)}.", "Write { … }.")
                continue
            key = str(item.get("key", "")) if place.list.keyed else str(index)
            self._key(place.list.keyed, key, keys, path)
            keys.append(key)
            self.object(item, (*at, index), f"{path}.{index}", place)
        self.lists[path] = tuple(keys)

    def _key(self, keyed: bool, key: str, keys: list[str], path: str) -> None:
        if keyed and not key:
            self._wrong(f"This item of '{path}' has no 'key'.", 'Give it a short name of its own, such as "first".')
        elif keyed and "/" in key:
            self.at = (*self.at, "key")
            self._wrong(
                f"The key '{key}' holds a '/'.", "A '/' separates a key from a key inside it; use another character."
            )
        elif keyed and key in keys:
            self.at = (*self.at, "key")
            self._wrong(f"Two items of '{path}' have the key '{key}'.", "Give each a name of its own.")

    def _leaf(self, leaf: Leaf, value: Any, path: str, place: Place) -> None:
        if isinstance(value, dict) and len(value) == 1 and next(iter(value)) in ("not_known", "none"):
            self._without_value(leaf, value, path, place)
            return
        try:
            reading = _at(path, read_leaf(leaf, value))
        except LeafError as error:
            self._wrong(f"{leaf.title}: {error.what}", error.hint)
            return
        self._keep(path, reading, value, place)

    def _keep(self, path: str, reading: Reading, value: Any, place: Place) -> None:
        self.readings[path] = reading
        if value.__class__ is dict:
            self._in_a_group(value, reading, path)
        spelled = None if isinstance(reading.value, Range) else _spelled(value)  # a day between two names its own path
        if spelled is not None and len(place.known) < MOST_KNOWN:
            place.known[spelled] = reading

    def _without_value(self, leaf: Leaf, value: Mapping[str, Any], path: str, place: Place) -> None:
        word, why = next(iter(value.items()))
        if not isinstance(why, str) or not why.strip():
            self._wrong(f"{leaf.title}: '{word}' needs its reason.", f'Write {{"{word}": "why"}}.')
        elif word == "not_known":
            self.not_known[path] = why
            self.keys += 1
        elif leaf.may_be_none:
            self._keep(path, Reading(NONE, f"none ({why})"), value, place)
        else:
            self._wrong(
                f"{leaf.title}: this cannot be none.", 'If it could not be found out, write {"not_known": "why"}.'
            )

    def _wrong(self, what: str, hint: str) -> None:
        tell(self.problems, self.document.problem(self.at, what, hint))

    def job_id(self) -> None:
        """The name of the job, which everything printed of it carries."""
        self.at = ()
        if "job_id" not in self.document.data:
            self._wrong("The job has no 'job_id'.", 'Write "job_id": "a name of its own".')

    def version(self, kind: str) -> None:
        """The version of the schema that a job or a profile was written for."""
        self.at = ()
        version = self.document.data.get("schema_version")
        if version is None:
            self._wrong(f"The {kind} has no 'schema_version'.", f'Write "schema_version": {SCHEMA_VERSION}.')
        elif version is True or version != SCHEMA_VERSION:
            self.at = ("schema_version",)
            what = f"This program reads {kind}s of schema version {SCHEMA_VERSION}."
            self._wrong(
                what, f'Write "schema_version": {SCHEMA_VERSION}, or use the program that the {kind} was made for.'
            )

    def unlisted_instruments(self, elsewhere: Collection[str]) -> None:
        """Readings that name an instrument which nothing lists."""
        keys = (*self.lists.get(self.vocabulary.at("instruments"), ()), *elsewhere)
        for path in self.with_instrument:
            reading = self.readings[path]
            if reading.instrument not in keys:
                self.at = (*path.split("."), "instrument")
                hint = (
                    did_you_mean(reading.instrument, keys)
                    or f"List it under '{self.vocabulary.at('instruments')}' with this key."
                )
                title = self.vocabulary.title(path)
                self._wrong(f"{title}: '{reading.instrument}' is not among the job's instruments.", hint)

    def how_known(self) -> None:
        """What is wrong with what the job says of how its facts are known."""
        for at, what, hint in known_by.mistakes(self.document.data, self.vocabulary):
            self.at = at
            self._wrong(what, hint)

    def unexplained(self, data: Any) -> None:
        """What the schema refuses in a job of which nothing wrong was said so far."""
        if self.problems or _fits(self.vocabulary)(data):
            return
        for mistake in json_schema.mistakes(self.vocabulary.schema, data):
            self.at, path = mistake.at, ".".join(map(str, mistake.at))
            named = f"'{path}'" if path else "The job"
            self._wrong(f"{named} {mistake.what}.", "See an example job for how it is written.")


def _at(path: str, reading: Reading) -> Reading:
    """A reading at its full path: a day between two days says of itself which one is not known."""
    if not isinstance(reading.value, Range):
        return reading
    return replace(reading, value=reading.value._replace(causes=frozenset([Cause("date_unknown", path)])))


def _spelled(value: Any) -> Any:
    """What a value is found again by: a text by itself, others by their type too, since 1 is also 1.0 and true.

    None for one that is too long or of another form to be kept.
    """
    kind = value.__class__
    if kind is str:
        return value if len(value) <= MOST_SPELLED else None
    if kind is bool or kind is int or kind is float:
        return kind, value
    if kind is dict and 0 < len(value) <= 3 and all(v.__class__ in PLAIN for v in value.values()):
        return tuple((name, v.__class__, v) for name, v in value.items())
    return None


def _some(names: list[str]) -> str:
    return ", ".join(names[:8]) + (" and more" if len(names) > 8 else "")


def _or_none(leaf: Leaf | None) -> str:
    return ', or {"none": "why"} where there is none.' if leaf and leaf.may_be_none else "."


@functools.lru_cache(maxsize=8)
def _fits(vocabulary: Vocabulary) -> Callable[[Any], bool]:
    return json_schema.quick_check(vocabulary.schema)
