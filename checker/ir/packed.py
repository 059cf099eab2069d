"""Plain data for JSON in little room: what stands in it several times stands there once.

A packed text is one JSON object:

- `shapes`: lists of names. Each is the names of the objects of one shape, in their order.
- `parts`: every text, and every list or object that stands in the data more than once.
- `whole`: the data itself.

Inside `parts` and `whole` a number, true, false and null are themselves. A text is the place of a part, counted from 0 in
base 36 (`a` is 10). A list begins with a number: 0 is a list, and its items follow; n is an object of the shape at place
n - 1, and its values follow. -n is an object that differs little from the nearest before it in the same list that is written
with n or -n: pairs of a position among its values and what stands there instead follow. In `parts` alone, a text at the top is
that text. `unpacked` is the way back.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from typing import Any, NamedTuple

FORMAT = 1
DIGITS = "0123456789abcdefghijklmnopqrstuvwxyz"


class _Part(NamedTuple):
    """The place of a part among all that differ."""

    at: int


class _Parts:
    """Every text, list and object of some data once: its shape (a text for itself, 0 for a list), and what it holds."""

    def __init__(self) -> None:
        self.each: list[tuple[Any, ...]] = []
        self.shapes: dict[tuple[str, ...], int] = {}
        self._places: dict[tuple[Any, ...], int] = {}

    def seen(self, data: Any) -> Any:
        """A value as itself, or as the part that it is."""
        if isinstance(data, str):
            return self._placed((data,))
        if isinstance(data, list):
            return self._placed((0, *map(self.seen, data)))
        if isinstance(data, dict):
            shape = self.shapes.setdefault(tuple(data), len(self.shapes) + 1)
            return self._placed((shape, *map(self.seen, data.values())))
        return data

    def _placed(self, part: tuple[Any, ...]) -> _Part:
        kinds = tuple(one.__class__ for one in part)  # 1, 1.0 and true are three values
        place = self._places.setdefault((part, kinds), len(self.each))
        if place == len(self.each):
            self.each.append(part)
        return _Part(place)

    def by_use(self) -> list[int]:
        """The parts that get a place of their own, the most used first: they have the shortest names."""
        times = Counter(one.at for part in self.each for one in part if isinstance(one, _Part))
        own = [at for at, part in enumerate(self.each) if isinstance(part[0], str) or times[at] > 1]
        return sorted(own, key=lambda at: -times[at])


def packed(data: Any) -> str:
    """Data as a packed text on one line.

    Args:
        data: As it comes out of JSON: dicts, lists, texts, numbers, true, false, null.
    """
    parts = _Parts()
    whole = parts.seen(data)
    names = {at: _base_36(number) for number, at in enumerate(parts.by_use())}

    def told(value: Any) -> Any:
        return (names.get(value.at) or body(value.at)) if isinstance(value, _Part) else value

    def body(at: int) -> Any:
        shape, *inside = parts.each[at]
        if isinstance(shape, str):
            return shape
        return [shape, *(map(told, inside) if shape else _shortened([*map(told, inside)]))]

    found = {
        "packed": FORMAT,
        "shapes": [list(shape) for shape in parts.shapes],
        "parts": [body(at) for at in names],
        "whole": told(whole),
    }
    return json.dumps(found, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def _shortened(items: list[Any]) -> Iterator[Any]:
    """The items of a list, in which an object that differs little from the one before it is told by what differs."""
    before: dict[int, list[Any]] = {}
    for item in items:
        if not isinstance(item, list) or not item[0]:
            yield item
            continue
        shape, *values = item
        like = before.get(shape)
        before[shape] = values
        other = [] if like is None else [at for at, value in enumerate(values) if not _same(value, like[at])]
        short = like is not None and 2 * len(other) < len(values)
        yield [-shape, *(part for at in other for part in (at, values[at]))] if short else item


def _same(one: Any, other: Any) -> bool:
    """Whether two packed values are written alike."""
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(_same, one, other))
    return one.__class__ is other.__class__ and bool(one == other)


def _whole(items: list[Any]) -> Iterator[Any]:
    """The items of a list, each object with all of its values."""
    before: dict[int, list[Any]] = {}
    for item in items:
        if not isinstance(item, list) or not item[0]:
            yield item
            continue
        shape, *values = item
        if shape < 0:
            other = dict(zip(values[::2], values[1::2], strict=True))
            shape, values = -shape, [other.get(at, value) for at, value in enumerate(before[-shape])]
        before[shape] = values
        yield [shape, *values]


def unpacked(text: str) -> Any:
    """The data of a packed text."""
    told = json.loads(text)
    made: dict[str, Any] = {}

    def value(part: Any) -> Any:
        if isinstance(part, str):
            if part not in made:
                own = told["parts"][int(part, 36)]
                made[part] = own if isinstance(own, str) else value(own)
            return made[part]
        if not isinstance(part, list):
            return part
        return dict(_named(told["shapes"][part[0] - 1], part[1:])) if part[0] else [*map(value, _whole(part[1:]))]

    def _named(names: list[str], values: list[Any]) -> Iterator[tuple[str, Any]]:
        return zip(names, map(value, values), strict=True)

    return value(told["whole"])


def _base_36(number: int) -> str:
    text = DIGITS[number % 36]
    while number := number // 36:
        text = DIGITS[number % 36] + text
    return text
