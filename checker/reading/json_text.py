"""JSON text read into plain data: no key twice, no NaN, no Infinity, no half of a character. The door of json_source_map."""

from __future__ import annotations

import json
import math
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Any, NoReturn

from checker.problems import sanitize
from checker.problems.document import MOST_DEPTH, Document, Path_, refuse_at, steps
from checker.problems.problem import Problem, ProblemsFound, Where, tell

MOST_PLACED = 50_000  # commas of a text in which places are looked for; the largest example job has 700


class _Twice(dict[str, Any]):
    """An object in which a key stood more than once."""

    keys_twice: tuple[str, ...] = ()


HALF_A_CHARACTER = re.compile(r"\\u[dD][89a-fA-F]")  # how JSON writes one; UTF-8 has none
# A text, or one of what may stand outside of texts: brackets and bare words and numbers.
JSON_PART = re.compile(r'"(?:[^"\\\n]|\\.)*"?|[\[\]{}]|[-+\w.]+')


def read_json(text: str, name: str) -> Document:
    twice: list[bool] = []

    def in_one(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        found = dict(pairs)
        return found if len(found) == len(pairs) else _twice(pairs, twice)

    try:
        data = json.loads(
            text, object_pairs_hook=in_one, parse_constant=_constant, parse_float=_number, parse_int=_whole
        )
    except RecursionError:
        _refuse_deep(text, name)
        raise
    except json.JSONDecodeError as error:
        _refuse_deep(text, name)
        what, hint = sanitize.of_json(error.msg, error.doc[error.pos :])
        refuse_at(text, Where(name, error.lineno, error.colno), what, hint)
    except _NotANumber as error:
        what = f"{error.written[:20]} is not a number that can be judged."
        refuse_at(text, _place_of(text, name, error.written), what, 'Write the reading, or {"not_known": "why"}.')
    if _deeper_than(data, MOST_DEPTH):
        _refuse_deep(text, name)
    document = Document(name, text, data, lambda: places_of(text, name))
    if twice or HALF_A_CHARACTER.search(text):  # nothing else needs the walk
        problems: list[Problem] = []
        for problem in _structure_problems(document, data, ()):
            tell(problems, problem)
        if problems:
            raise ProblemsFound(problems)
    return document


def _deeper_than(data: Any, depth: int) -> bool:
    """Whether lists and objects stand in each other more than so many deep."""
    level = [data] if isinstance(data, dict | list) else []
    for _ in range(depth):
        values = [value for one in level for value in (one.values() if isinstance(one, dict) else one)]
        level = [value for value in values if isinstance(value, dict | list)]
    return bool(level)


def _refuse_deep(text: str, name: str) -> None:
    depth = 0
    for part in JSON_PART.finditer(text):
        depth += (part[0] in "[{") - (part[0] in "]}")
        if depth > MOST_DEPTH:
            what = f"Nested more than {MOST_DEPTH} deep."
            refuse_at(text, _place_at(text, name, part.start()), what, "Look for a bracket too many.")


class _NotANumber(ValueError):
    def __init__(self, written: str) -> None:
        self.written = written
        super().__init__(written)


def _twice(pairs: list[tuple[str, Any]], noted: list[bool]) -> dict[str, Any]:
    """An object in which a key stands more than once, and that there is one noted."""
    noted.append(True)
    found = _Twice(pairs)
    keys = Counter(key for key, _ in pairs)
    found.keys_twice = tuple(sorted(key for key, times in keys.items() if times > 1))
    return found


def _constant(written: str) -> NoReturn:
    raise _NotANumber(written)


def _number(written: str) -> float:
    number = float(written)
    if not math.isfinite(number):
        raise _NotANumber(written)
    return number


def _whole(written: str) -> int:
    if len(written) > 20:
        raise _NotANumber(written)
    return int(written)


def _structure_problems(document: Document, data: Any, path: Path_) -> Iterator[Problem]:
    if isinstance(data, _Twice):
        for twice in data.keys_twice:
            yield document.problem((*path, twice, "="), f"'{twice}' is here twice.", "Keep one of the two.")
    if isinstance(data, str) and not data.isprintable() and any("\ud800" <= letter <= "\udfff" for letter in data):
        yield document.problem(path, "The text ends in half a character.", "Type it again.")
    children: Iterable[tuple[str | int, Any]] = ()
    if isinstance(data, dict | list):
        children = data.items() if isinstance(data, dict) else enumerate(data)
    for key, child in children:
        yield from _structure_problems(document, child, (*path, key))


def places_of(text: str, name: str) -> dict[Path_, Where]:
    """Where each part stands; nothing of a text that has very many, since finding them would take minutes."""
    places: dict[Path_, Where] = {}
    if text.count(",") > MOST_PLACED:
        return places
    import json_source_map  # only a text with a mistake in it, or a report that names lines, asks for places

    for pointer, entry in json_source_map.calculate(text).items():
        parts = [part.replace("~1", "/").replace("~0", "~") for part in pointer.split("/")[1:]]
        where = Where(name, entry.value_start.line + 1, entry.value_start.column + 1, pointer)
        key = entry.key_start or entry.value_start
        # A pointer does not tell a list position from a key that is a number; both spellings lead here.
        for path in (tuple(parts), steps(parts)):
            places[path] = where
            places[*path, "="] = Where(name, key.line + 1, key.column + 1, pointer)
    return places


def _place_of(text: str, name: str, written: str) -> Where:
    """Where a bare word or number stands first, texts passed over; more may be glued to it that is no JSON."""
    found = (part.start() for part in JSON_PART.finditer(text) if part[0].startswith(written))
    return _place_at(text, name, next(found, 0))


def _place_at(text: str, name: str, at: int) -> Where:
    return Where(name, text.count("\n", 0, at) + 1, at - text.rfind("\n", 0, at))
