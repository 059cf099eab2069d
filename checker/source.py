"""YAML and JSON text read into plain data that remembers where each part stood. The door of yaml.

YAML here is a small part of YAML: mappings, lists and text. Every scalar stays text (`403.10`, `no` and `12:30` are
what they look like), a key stands once, and anchors, aliases, merge keys and tags are refused. JSON keeps its own
types but no key twice, no NaN and no Infinity.
"""

from __future__ import annotations

import functools
import json
import math
import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any, NoReturn

import json_source_map
import yaml

from checker import plain_words
from checker.problems import Problem, ProblemsFound, Where, tell

MOST_BYTES = 8 * 1024 * 1024
MOST_DEPTH = 40
MOST_SHOWN = 120

Path_ = tuple[str | int, ...]


class Document:
    """Plain data and the places its parts came from.

    `data` is what was read. `where(path)` is the place of the part at a path of keys and list positions; where the part
    itself is missing, the place of the nearest part around it. A path that ends in "=" is the place of its key.
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
        if path in self._places:
            return self._places[path]
        for length in range(len(path) - 1, -1, -1):
            if path[:length] in self._places:
                return self._places[path[:length]]
        return Where(self.file)

    def problem(self, path: Path_, what: str, mend: str = "", caret: int = 1) -> Problem:
        """A problem at a part of this document, with the line it stands on.

        `caret` counts characters from the start of the part's own text, quotes and the folding of lines left out.
        """
        where = self.where(path)
        return problem_at(self.text, self._inside(where, caret) if caret > 1 else where, what, mend)

    def _inside(self, where: Where, caret: int) -> Where:
        """The place of the character `caret` of a part's own text."""
        at = _offset(self.text, where)
        at = OPENING.match(self.text, at).end()  # type: ignore[union-attr]
        for _ in range(caret - 1):
            fold = FOLD.match(self.text, at)
            at = fold.end() if fold else min(at + 1, len(self.text))
        return where._replace(line=self.text.count("\n", 0, at) + 1, column=at - self.text.rfind("\n", 0, at))


class Unopened(Document):
    """A file that is read only when something of it is asked for: its text, its data or a place in it."""

    def __init__(self, path: Path, shown: str) -> None:
        self.file, self._path = shown, path

    def __getattr__(self, name: str) -> Any:
        if name not in ("text", "data", "_read_places"):
            raise AttributeError(name)
        read = read_file(self._path, self.file)
        self.text, self.data, self._read_places = read.text, read.data, read._read_places
        return getattr(self, name)


# What stands before a part's own text: a quote, or the mark of a block and its line's end. And a line folded away.
OPENING = re.compile(r"[\"']|[|>][-+0-9]*[ \t]*\n\s*|")
FOLD = re.compile(r"[ \t]*\n\s*")


def problem_at(text: str, where: Where, what: str, mend: str = "") -> Problem:
    """A problem with the line of the text that it stands on; a long line is cut around its column."""
    lines = _lines(text)
    if not 0 < where.line <= len(lines):
        return Problem(where, what, mend)
    line = lines[where.line - 1].rstrip()
    start = max(len(line) - len(line.lstrip()), where.column - MOST_SHOWN // 2 if len(line) > MOST_SHOWN else 0)
    before, after = "… " if line[:start].strip() else "", " …" if len(line) > start + MOST_SHOWN else ""
    excerpt = before + line[start : start + MOST_SHOWN] + after
    return Problem(where, what, mend, excerpt, max(where.column - start, 1) + len(before))


@functools.lru_cache(maxsize=2)
def _lines(text: str) -> list[str]:
    return text.split("\n")


def _offset(text: str, where: Where) -> int:
    """The offset in a text of a line and column."""
    at = 0
    for _ in range(where.line - 1):
        at = text.index("\n", at) + 1
    return at + max(where.column - 1, 0)


def read_file(path: Path, shown: str | None = None) -> Document:
    """Read one YAML or JSON file, by its ending.

    Raises:
        ProblemsFound: It cannot be opened, is too large, is not UTF-8, or is not what its ending says.
    """
    name = shown or str(path)
    return read_text(read_bytes(path, name), name)


def read_bytes(path: Path, name: str, most: int = MOST_BYTES, mend: str = "One job or one topic a file.") -> bytes:
    """The bytes of a file of at most `most` bytes; `mend` is what to do where it is larger."""
    try:
        with path.open("rb") as file:
            content = file.read(most + 1)
    except OSError as error:
        _refuse(Where(name), f"The file cannot be read: {error.strerror or error}.", "Check its name and permissions.")
    if len(content) > most:
        _refuse(Where(name), f"The file is larger than {most // 2**20} MiB.", mend)
    return content


def read_text(content: bytes, name: str) -> Document:
    """Read the bytes of a file named `name`; a leading byte-order mark is passed over."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = content[: error.start].rsplit(b"\n", 1)[-1]
        where = Where(name, content.count(b"\n", 0, error.start) + 1, len(before) + 1)
        _refuse(where, "A character here is not plain text in UTF-8.", "Save the file as text in UTF-8.")
    if not text.strip():
        _refuse(Where(name), "The file is empty.", "Copy one of its kind and change it.")
    return _read_yaml(text, name) if name.endswith((".yaml", ".yml")) else _read_json(text, name)


# --- YAML ------------------------------------------------------------------------------------------------------------


def _read_yaml(text: str, name: str) -> Document:
    reader = _YamlReader(name, text)
    loader = yaml.CSafeLoader if hasattr(yaml, "CSafeLoader") else yaml.SafeLoader
    try:
        data = reader.read(iter(yaml.parse(text, Loader=loader)))
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark
        where = Where(name, mark.line + 1, mark.column + 1) if mark else Where(name)
        lines = text.split("\n")
        at = lines[mark.line][mark.column :] if mark and mark.line < len(lines) else ""
        _refuse_at(text, where, *plain_words.of_yaml(str(error.problem), at))
    except yaml.YAMLError:
        _refuse(Where(name), "The file holds characters that no text has.", "Save it as plain text.")
    if reader.problems:
        raise ProblemsFound(reader.problems)
    return Document(name, text, data, lambda: reader.places)


class _YamlReader:
    def __init__(self, name: str, text: str) -> None:
        self.name, self.text = name, text
        self.places: dict[Path_, Where] = {}
        self.problems: list[Problem] = []

    def read(self, events: Iterator[Any]) -> Any:
        data: Any = None
        for event in events:
            if isinstance(event, yaml.DocumentStartEvent):
                if self.places:
                    where = self._where(event)
                    _refuse_at(self.text, where, "A second text begins here.", "Take the line '---' out.")
                data = self._node(next(events), events, ())
        return data

    def _node(self, event: Any, events: Iterator[Any], path: Path_) -> Any:
        where = self._where(event)
        self.places[path] = where
        if len(path) > MOST_DEPTH:
            _refuse_at(self.text, where, f"Nested more than {MOST_DEPTH} deep.", "Look at the indents.")
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
        if not event.value and not event.style:
            name = f"'{path[-1]}'" if path and isinstance(path[-1], str) else "This '-'"
            self._wrong(
                where,
                f"{name} has nothing after it.",
                "Write its value, or leave it out. Between { and } a text with a comma wants quotes.",
            )
        return event.value

    def _mapping(self, events: Iterator[Any], path: Path_) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for event in events:
            if isinstance(event, yaml.MappingEndEvent):
                break
            key = getattr(event, "value", None)
            where = self._where(event)
            if key is None:
                _refuse_at(self.text, where, "A name has to be a word.", "Put a text with { or [ in quotes.")
            if key == "<<":
                self._wrong(where, "A merge key (<<) is not used here.", "Write the fields out where they are meant.")
            if key in found:
                first = self.places[*path, key, "="].line
                self._wrong(where, f"'{key}' stands here twice; it is on line {first} already.", "Keep one of the two.")
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

    def _where(self, event: Any) -> Where:
        return Where(self.name, event.start_mark.line + 1, event.start_mark.column + 1)

    def _wrong(self, where: Where, what: str, mend: str) -> None:
        tell(self.problems, problem_at(self.text, where, what, mend))


# --- JSON ------------------------------------------------------------------------------------------------------------


class _Twice(dict[str, Any]):
    """An object in which a key stood more than once."""

    keys_twice: tuple[str, ...] = ()


HALF_A_CHARACTER = re.compile(r"\\u[dD][89a-fA-F]")  # how JSON writes one; UTF-8 has none
# A text, or one of what may stand outside of texts: brackets and bare words and numbers.
JSON_PART = re.compile(r'"(?:[^"\\\n]|\\.)*"?|[\[\]{}]|[-+\w.]+')


def _read_json(text: str, name: str) -> Document:
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
        _refuse_at(text, Where(name, error.lineno, error.colno), *plain_words.of_json(error.msg))
    except _NotANumber as error:
        what = f"{error.written[:20]} is not a number that can be judged."
        _refuse_at(text, _place_of(text, name, error.written), what, 'Write the reading, or {"not_known": "why"}.')
    if _deeper_than(data, MOST_DEPTH):
        _refuse_deep(text, name)
    document = Document(name, text, data, lambda: _json_places(text, name))
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
            _refuse_at(text, _place_at(text, name, part.start()), what, "Look for a bracket too many.")


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
            yield document.problem((*path, twice, "="), f"'{twice}' stands here twice.", "Keep one of the two.")
    if isinstance(data, str) and not data.isprintable() and any("\ud800" <= letter <= "\udfff" for letter in data):
        yield document.problem(path, "The text holds half a character.", "Type it again.")
    children: Iterable[tuple[str | int, Any]] = ()
    if isinstance(data, dict | list):
        children = data.items() if isinstance(data, dict) else enumerate(data)
    for key, child in children:
        yield from _structure_problems(document, child, (*path, key))


def _json_places(text: str, name: str) -> dict[Path_, Where]:
    places: dict[Path_, Where] = {}
    for pointer, entry in json_source_map.calculate(text).items():
        parts = [part.replace("~1", "/").replace("~0", "~") for part in pointer.split("/")[1:]]
        where = Where(name, entry.value_start.line + 1, entry.value_start.column + 1, pointer)
        key = entry.key_start or entry.value_start
        # A pointer does not tell a list position from a key that is a number; both spellings lead here.
        for path in (tuple(parts), _indexed(parts)):
            places[path] = where
            places[*path, "="] = Where(name, key.line + 1, key.column + 1, pointer)
    return places


def _indexed(parts: list[str]) -> Path_:
    return tuple([int(part) if part.isdigit() else part for part in parts])


def _place_of(text: str, name: str, written: str) -> Where:
    """Where a bare word or number stands first, texts passed over; more may be glued to it that is no JSON."""
    found = (part.start() for part in JSON_PART.finditer(text) if part[0].startswith(written))
    return _place_at(text, name, next(found, 0))


def _place_at(text: str, name: str, at: int) -> Where:
    return Where(name, text.count("\n", 0, at) + 1, at - text.rfind("\n", 0, at))


def _refuse(where: Where, what: str, mend: str) -> NoReturn:
    raise ProblemsFound([Problem(where, what, mend)])


def _refuse_at(text: str, where: Where, what: str, mend: str) -> NoReturn:
    raise ProblemsFound([problem_at(text, where, what, mend)])
