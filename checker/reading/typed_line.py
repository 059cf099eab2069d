"""What is typed on one line about one thing: values in any order, with or without their labels.

What such a line may hold, the job schema says. Of all ways to read a text the plainest counts: labels first, then what
only one fact can be, then the order of the line. Where two ways are as plain and say different things, what they differ
in is not taken: it is told, and asked after.
"""

from __future__ import annotations

import itertools
from collections.abc import Collection, Iterator
from typing import Any, NamedTuple

from checker.reading import typed_input
from checker.reading.fact_reader import LeafError
from checker.reading.fact_shapes import Leaf
from checker.reading.line import Line, line_of
from checker.reading.typed_items import LOST, Facts, Finder, Item
from checker.reading.vocabulary import Vocabulary

MOST_LETTERS = 400
MOST_WAYS = 24  # ways to read one line that are as plain as each other; more are not looked at

Way = tuple[Item, ...]


class Unclear(NamedTuple):
    """A part of a line that may mean several things: what was typed, and what it may mean."""

    text: str
    meanings: tuple[str, ...]


class LineRead(NamedTuple):
    """What was read off one line: the facts by their paths without list positions, what was not understood, what may mean
    several things, and what was understood but is kept by no fact. `by_label` are the facts whose label stands there."""

    facts: Facts
    not_understood: tuple[str, ...] = ()
    unclear: tuple[Unclear, ...] = ()
    aside: tuple[str, ...] = ()
    by_label: frozenset[str] = frozenset()


def read_line(line: Line, text: str, vocabulary: Vocabulary) -> LineRead:
    """Read what was typed about one thing."""
    if len(text) > MOST_LETTERS:
        return LineRead({}, (f"{text[:40]} …",))
    finder = Finder(line, vocabulary, text)
    ways = [_said(finder, way) for way in _plainest(finder)]
    first = ways[0]
    at_odds = {
        path for way in ways for path in way.facts if any(way.facts[path] != one.facts.get(path) for one in ways)
    }
    if not at_odds:
        return first
    kept = {path: value for path, value in first.facts.items() if path not in at_odds}
    meanings = tuple(dict.fromkeys(_in_words(way.facts, at_odds, vocabulary) for way in ways))
    return first._replace(facts=kept, unclear=(*first.unclear, Unclear(text, meanings)))


def values_of(vocabulary: Vocabulary, leaf: Leaf, text: str, unit: str = "") -> Facts:
    """The values that a text says of a fact and of others in its group, by their last names: poles and amperes for 2p40.

    Args:
        unit: The unit of a number without one; the fact's own where nothing is said.

    Raises:
        LeafError: They cannot be that.
    """
    try:
        return typed_input.values_of(leaf, text, unit)
    except LeafError:
        found = in_one_group(vocabulary, leaf, text)
        if found:
            return found
        raise


def in_one_group(vocabulary: Vocabulary, leaf: Leaf, text: str) -> Facts:
    """What a text says as a line, where it is understood whole and says this fact and others of its group alone."""
    line = line_of(vocabulary, [leaf.path])
    if line is None:
        return {}
    read, group = read_line(line, text, vocabulary), leaf.path.rpartition(".")[0]
    whole = not (read.not_understood or read.unclear or read.aside)
    there = (
        leaf.path in read.facts and len(read.facts) > 1 and {path.rpartition(".")[0] for path in read.facts} == {group}
    )
    return {typed_input.name_of(path): value for path, value in read.facts.items()} if whole and there else {}


def _in_words(facts: Facts, paths: set[str], vocabulary: Vocabulary) -> str:
    told = [f"{vocabulary.title(path)} {written(value)}" for path, value in facts.items() if path in paths]
    return ", ".join(told) or "nothing"


def written(value: Any) -> str:
    """A value as it is told back."""
    if isinstance(value, list):
        return ", ".join(written(one) for one in value)
    if isinstance(value, dict):
        return " ".join(written(one) for one in value.values())
    return ("yes" if value else "no") if isinstance(value, bool) else str(value).replace("_", " ")


def _plainest(finder: Finder) -> list[Way]:
    """Every way to read a text that is as plain as the plainest."""
    count = len(finder.pieces)
    best: list[tuple[float, list[Way]]] = [(0.0, [()])] * (count + 1)
    for at in range(count - 1, -1, -1):
        costs = [(round(item.cost + best[item.end][0], 6), item) for item in finder.items_at(at)]
        least = min(cost for cost, _ in costs)
        ways = ((item, *rest) for cost, item in costs if cost == least for rest in best[item.end][1])
        best[at] = (least, list(itertools.islice(ways, MOST_WAYS)))
    return best[0][1]


def _said(finder: Finder, way: Way) -> LineRead:
    """What one way to read a text says of each fact."""
    facts: Facts = {}
    unclear: list[Unclear] = []
    twice: set[str] = set()
    for item in way:
        for path, value in item.facts.items():
            if path == finder.line.rows:
                facts.setdefault(path, []).append(value)
            elif facts.setdefault(path, value) != value:
                unclear.append(Unclear(item.text, (written(facts[path]), written(value))))
                twice.add(path)
    by_label = frozenset(facts)
    for item in way:
        if item.may_be:
            found = _meant(finder, item, facts) if _room(finder, item, way, by_label) else _only(item, facts)
            facts |= item.may_be.get(found, {})
            if not found:
                titles = [finder.vocabulary.title(path) for path in item.may_be if path not in facts]
                unclear.append(Unclear(item.text, tuple(titles)))
        elif item.meanings and not {*item.meanings} & {written(value) for value in facts.values()}:
            unclear.append(Unclear(item.text, item.meanings))
    kept = {path: value for path, value in facts.items() if path not in twice}
    aside = tuple(item.text for item in way if item.aside)
    return LineRead(kept, tuple(_lost(finder, way)), tuple(unclear), aside, by_label)


def _room(finder: Finder, item: Item, way: Way, by_label: Collection[str]) -> bool:
    """Whether the line has a place in its order for an amount or a word without a label, and for all like it."""
    places = {path for path in finder.line.plain if path not in by_label}
    alike = [one for one in way if set(one.may_be) & set(item.may_be) & places]
    return bool(alike) and len(alike) <= len({path for one in alike for path in one.may_be if path in places})


def _meant(finder: Finder, item: Item, facts: Facts) -> str:
    """The next fact in the order of the line that it may say, else the only one."""
    return next((path for path in finder.line.plain if path in item.may_be and path not in facts), _only(item, facts))


def _only(item: Item, facts: Facts) -> str:
    """The one fact that an amount or a word can be; a number without a unit says none."""
    open_now = [path for path in item.may_be if path not in facts]
    return open_now[0] if len(open_now) == 1 and not item.bare else ""


def _lost(finder: Finder, way: Way) -> Iterator[str]:
    """What was not understood, as it was typed; pieces beside each other together."""
    at = begin = 0
    for lost, items in itertools.groupby(way, lambda item: item.cost == LOST):
        begin, at = at, list(items)[-1].end
        if lost:
            yield finder.slice(begin, at)
