"""JSON that is as it should be, read at once. What may not be is left to `json_text`, which tells what is wrong with it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import orjson

from checker.problems.document import MOST_DEPTH, Document
from checker.reading.json_text import places_of

LARGE = 1e18  # from here on a whole number may have been read as one that is not whole
SPACE = b" \t\n\r"


class QuickDocument(Document):
    """A text of JSON that was read at once. It is decoded only when a line of it is asked for.

    `keys` are the keys that its text holds. Whoever goes through the data and finds fewer knows that one stands twice.
    """

    def __init__(self, file: str, content: bytes, data: Any, folder: Path | None, keys: int) -> None:
        self.file, self.content, self.data, self.folder, self.keys = file, content, data, folder, keys

    def __getattr__(self, name: str) -> Any:
        if name == "text":
            self.text = self.content.decode()
            return self.text
        if name == "_read_places":
            return lambda: places_of(self.text, self.file)
        raise AttributeError(name)


def read_quickly(content: bytes, name: str, folder: Path | None) -> QuickDocument | None:
    """The document of a text, of which it is still open whether a key stands twice; None where it cannot be read so."""
    try:
        data = orjson.loads(content)
    except orjson.JSONDecodeError:
        return None
    if data.__class__ is not dict:
        return None
    # Each key ends in a quote and a colon. A text that begins with a colon looks like one key more: then none is missed.
    return QuickDocument(name, content, data, folder, content.translate(None, SPACE).count(b'":'))


def keys_of(data: Any) -> int:
    """How many keys there are in a group; -1 where it is nested too deep or holds a number that is too large."""
    keys, level = 0, [data]
    for _ in range(MOST_DEPTH):
        inside: list[Any] = []
        for one in level:
            keys += len(one) if one.__class__ is dict else 0
            for value in one.values() if one.__class__ is dict else one:
                kind = value.__class__
                if kind is dict or kind is list:
                    inside.append(value)
                elif kind is float and not -LARGE < value < LARGE:
                    return -1
        if not inside:
            return keys
        level = inside
    return -1
