"""YAML and JSON text read into plain data that remembers where each part stood. The door of yaml.

YAML here is a small part of YAML: mappings, lists and text. Every scalar stays text (`403.10`, `no` and `12:30` are what
they look like), a key stands once, and anchors, aliases, merge keys and tags are refused. JSON keeps its own types but
no key twice, no NaN and no Infinity.
"""

from __future__ import annotations

import functools
import json
import math
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any, NoReturn

import json_source_map
import yaml

from checker.problems import Problem, ProblemsFound, Where

MOST_BYTES = 8 * 1024 * 1024
MOST_DEPTH = 40

Path_ = tuple[str | int, ...]


class Document:
    """Plain data and the places its parts came from.

    `data` is what was read. `where(path)` is the place of the part at a path of keys and list positions; where the part
    itself is missing, the place of the nearest part around it.
    """

    def __init__(self, file: str, text: str, data: Any, places: Callable[[], dict[Path_, Where]]) -> None:
        self.file = file
        self.text = text
        self.data = data
        self._read_places = places

    @functools.cached_property
    def _places(self) -> dict[Path_, Where]:
        return self._read_places()

    def where(self, path: Path_ = ()) -> Where:
        for length in range(len(path), -1, -1):
            if path[:length] in self._places:
                return self._places[path[:length]]
        return Where(self.file)

    def problem(self, path: Path_, what: str, mend: str = "", caret: int = 0) -> Problem:
        """A problem at a part of this document, with the line it stands on.

        `caret` counts columns from the start of the part's own text.
        """
        where = self.where(path)
        line = self.text.splitlines()[where.line - 1] if where.line else ""
        excerpt = line.strip()
        indent = len(line) - len(line.lstrip())
        column = where.column + caret - indent if caret else 0
        return Problem(where, what, mend, excerpt if len(excerpt) <= 160 else "", max(column, 0))


def read_file(path: Path, shown: str | None = None) -> Document:
    """Read one YAML or JSON file, by its ending.

    Raises:
        ProblemsFound: It cannot be opened, is too large, is not UTF-8, or is not what its ending says.
    """
    name = shown or str(path)
    return read_text(read_bytes(path, name), name)


def read_bytes(path: Path, name: str) -> bytes:
    try:
        with path.open("rb") as file:
            content = file.read(MOST_BYTES + 1)
    except OSError as error:
        _refuse(Where(name), f"The file cannot be read: {error.strerror or error}.", "Check its name and permissions.")
    if len(content) > MOST_BYTES:
        _refuse(Where(name), f"The file is larger than {MOST_BYTES // 2**20} MiB.", "One job or one topic a file.")
    return content


def read_text(content: bytes, name: str) -> Document:
    """Read the bytes of a file named `name`; a leading byte-order mark is passed over."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        _refuse(Where(name), f"The file is not UTF-8 text (byte {error.start}).", "Save it as UTF-8.")
    if not text.strip():
        _refuse(Where(name), "The file is empty.", "A job is a JSON object, a ruleset file a YAML mapping.")
    return _read_yaml(text, name) if name.endswith((".yaml", ".yml")) else _read_json(text, name)


# --- YAML ------------------------------------------------------------------------------------------------------------


def _read_yaml(text: str, name: str) -> Document:
    reader = _YamlReader(name)
    loader = yaml.CSafeLoader if hasattr(yaml, "CSafeLoader") else yaml.SafeLoader
    try:
        data = reader.read(iter(yaml.parse(text, Loader=loader)))
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark
        where = Where(name, mark.line + 1, mark.column + 1) if mark else Where(name)
        _refuse(
            where, f"This is not YAML: {error.problem or 'it cannot be read'}.", "Look at the indent and the quotes."
        )
    except yaml.YAMLError:
        _refuse(
            Where(name), "This is not YAML: it holds characters that YAML does not allow.", "Save it as plain text."
        )
    if reader.problems:
        raise ProblemsFound(reader.problems)
    return Document(name, text, data, lambda: reader.places)


class _YamlReader:
    def __init__(self, name: str) -> None:
        self.name = name
        self.places: dict[Path_, Where] = {}
        self.problems: list[Problem] = []

    def read(self, events: Iterator[Any]) -> Any:
        data: Any = None
        for event in events:
            if isinstance(event, yaml.DocumentStartEvent):
                data = self._node(next(events), events, ())
        return data

    def _node(self, event: Any, events: Iterator[Any], path: Path_) -> Any:
        where = Where(self.name, event.start_mark.line + 1, event.start_mark.column + 1)
        self.places[path] = where
        if len(path) > MOST_DEPTH:
            _refuse(where, f"Nested more than {MOST_DEPTH} deep.", "Nothing we define is nested so deep.")
        if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
            self._wrong(
                where, "Anchors and aliases (& and *) are not used here.", "Write the text out where it is meant."
            )
            if isinstance(event, yaml.AliasEvent):
                return ""
        if getattr(event, "tag", None):
            self._wrong(where, f"A tag ({event.tag}) is not used here.", "Leave it out; every value is text.")
        if isinstance(event, yaml.MappingStartEvent):
            return self._mapping(events, path)
        if isinstance(event, yaml.SequenceStartEvent):
            return self._sequence(events, path)
        if not event.value and event.style is None:
            self._wrong(
                where, f"'{path[-1] if path else ''}' has nothing after it.", "Write its value, or leave it out."
            )
        return event.value

    def _mapping(self, events: Iterator[Any], path: Path_) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for event in events:
            if isinstance(event, yaml.MappingEndEvent):
                break
            key = getattr(event, "value", None)
            where = Where(self.name, event.start_mark.line + 1, event.start_mark.column + 1)
            if key is None:
                _refuse(where, "A key has to be a word.", "Write 'name: value'.")
            if key == "<<":
                self._wrong(where, "A merge key (<<) is not used here.", "Write the fields out where they are meant.")
            if key in found:
                self._wrong(where, f"'{key}' stands here twice.", "Keep one of the two.")
            found[key] = self._node(next(events), events, (*path, key))
            self.places[*path, key, "="] = where
        return found

    def _sequence(self, events: Iterator[Any], path: Path_) -> list[Any]:
        found: list[Any] = []
        for event in events:
            if isinstance(event, yaml.SequenceEndEvent):
                break
            found.append(self._node(event, events, (*path, len(found))))
        return found

    def _wrong(self, where: Where, what: str, mend: str) -> None:
        self.problems.append(Problem(where, what, mend))


# --- JSON ------------------------------------------------------------------------------------------------------------


class _Twice(dict[str, Any]):
    """An object in which a key stood more than once."""

    keys_twice: tuple[str, ...] = ()


def _read_json(text: str, name: str) -> Document:
    try:
        data = json.loads(text, object_pairs_hook=_object, parse_constant=_constant, parse_float=_number)
    except json.JSONDecodeError as error:
        where = Where(name, error.lineno, error.colno)
        _refuse(
            where, f"This is not JSON: {error.msg[0].lower()}{error.msg[1:]}.", "Look at the commas and the quotes."
        )
    except RecursionError:
        _refuse(Where(name), "Nested far too deep.", "Nothing in a job is nested so deep.")
    except _NotANumber as error:
        _refuse(_place_of(text, name, error.written), f"{error.written} is not a number that can be judged.",
                'Write the reading, or {"not_known": "why"}.')  # fmt: skip
    document = Document(name, text, data, lambda: _json_places(text, name))
    problems = list(_structure_problems(document, data, ()))
    if problems:
        raise ProblemsFound(problems)
    return document


class _NotANumber(ValueError):
    def __init__(self, written: str) -> None:
        self.written = written
        super().__init__(written)


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) == len(pairs):
        return found
    twice = _Twice(found)
    keys = [key for key, _ in pairs]
    twice.keys_twice = tuple(sorted({key for key in keys if keys.count(key) > 1}))
    return twice


def _constant(written: str) -> NoReturn:
    raise _NotANumber(written)


def _number(written: str) -> float:
    number = float(written)
    if not math.isfinite(number):
        raise _NotANumber(written)
    return number


def _structure_problems(document: Document, data: Any, path: Path_) -> Iterator[Problem]:
    if len(path) > MOST_DEPTH:
        _refuse(document.where(path), f"Nested more than {MOST_DEPTH} deep.", "Nothing in a job is nested so deep.")
    if isinstance(data, _Twice):
        for twice in data.keys_twice:
            yield document.problem((*path, twice), f"'{twice}' stands here twice.", "Keep one of the two.")
    children: Iterable[tuple[str | int, Any]] = ()
    if isinstance(data, dict | list):
        children = data.items() if isinstance(data, dict) else enumerate(data)
    for key, child in children:
        yield from _structure_problems(document, child, (*path, key))


def _json_places(text: str, name: str) -> dict[Path_, Where]:
    places: dict[Path_, Where] = {}
    for pointer, entry in json_source_map.calculate(text).items():
        parts = [part.replace("~1", "/").replace("~0", "~") for part in pointer.split("/")[1:]]
        start = entry.key_start or entry.value_start
        where = Where(name, start.line + 1, start.column + 1, pointer)
        # A pointer does not tell a list position from a key that is a number; both spellings lead here.
        places[tuple(parts)] = where
        places[_indexed(parts)] = where
    return places


def _indexed(parts: list[str]) -> Path_:
    return tuple([int(part) if part.isdigit() else part for part in parts])


def _place_of(text: str, name: str, written: str) -> Where:
    at = text.find(written)
    line = text.count("\n", 0, at) + 1
    return Where(name, line, at - text.rfind("\n", 0, at))


def _refuse(where: Where, what: str, mend: str) -> NoReturn:
    raise ProblemsFound([Problem(where, what, mend)])
