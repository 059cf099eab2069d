"""YAML text read into plain data. The door of yaml.

YAML here is a small part of YAML: mappings, lists and text. Every scalar stays text (`403.10`, `no` and `12:30` are
what they look like), a key stands once, and anchors, aliases, merge keys and tags are refused.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import yaml

from checker.problems import sanitize
from checker.problems.document import MOST_DEPTH, Document, Path_, problem_at, refuse_at
from checker.problems.problem import Problem, ProblemsFound, Where, refused, tell

MOST_ENTRIES = 10_000  # of one list; the longest that is shipped has 117


MARKERS = ("<<<<<<< ", ">>>>>>> ")  # what git leaves where two changes of one place met


def refuse_conflict(text: str, name: str) -> None:
    """
    Raises:
        ProblemsFound: Two people's changes of one place stand in the text, not yet brought together.
    """
    for number, line in enumerate(text.split("\n"), 1):
        if line.startswith(MARKERS):
            what = "Two changes of one place collided here: this line is git's conflict mark."
            hint = "Keep what is right of both sides, and take the lines with <<<<<<<, ======= and >>>>>>> out."
            raise ProblemsFound([Problem(Where(name, number, 1), what, hint, line, 1)])


def read_yaml(text: str, name: str) -> Document:
    reader = _YamlReader(name, text)
    loader = yaml.CSafeLoader if hasattr(yaml, "CSafeLoader") else yaml.SafeLoader
    try:
        data = reader.read(iter(yaml.parse(text, Loader=loader)))
    except yaml.MarkedYAMLError as error:
        refuse_conflict(text, name)
        mark = error.problem_mark
        where = Where(name, mark.line + 1, mark.column + 1) if mark else Where(name)
        lines = text.split("\n")
        at = lines[mark.line][mark.column :] if mark and mark.line < len(lines) else ""
        refuse_at(text, where, *sanitize.of_yaml(str(error.problem), at))
    except yaml.YAMLError:
        raise refused(name, "The file has characters that are not text.", "Save it as plain text.") from None
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
                    refuse_at(self.text, where, "A second document begins here.", "Remove the line '---'.")
                data = self._node(next(events), events, ())
        return data

    def _node(self, event: Any, events: Iterator[Any], path: Path_) -> Any:
        where = self._where(event)
        self.places[path] = where
        if len(path) > MOST_DEPTH:
            refuse_at(self.text, where, f"Nested more than {MOST_DEPTH} deep.", "Look at the indents.")
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
            return self._sequence(events, path, where)
        if not event.value and not event.style:
            name = f"'{path[-1]}'" if path and isinstance(path[-1], str) else "This '-'"
            self._wrong(
                where,
                f"{name} has nothing after it.",
                "Write its value, or leave it out. Between { and } a text with a comma needs quotes.",
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
                refuse_at(self.text, where, "A name has to be a word.", "Put a text with { or [ in quotes.")
            if key == "<<":
                self._wrong(where, "A merge key (<<) is not used here.", "Write the fields out where they are meant.")
            if key in found:
                first = self.places[*path, key, "="].line
                self._wrong(where, f"'{key}' is here twice; the first is on line {first}.", "Keep one of the two.")
            found[key] = self._node(next(events), events, (*path, key))
            self.places[*path, key, "="] = where
        return found

    def _sequence(self, events: Iterator[Any], path: Path_, where: Where) -> list[Any]:
        found: list[Any] = []
        for event in events:
            if isinstance(event, yaml.SequenceEndEvent):
                break
            if len(found) == MOST_ENTRIES:
                refuse_at(
                    self.text, where, f"This list has more than {MOST_ENTRIES:,} entries.", "Split it into several."
                )
            found.append(self._node(event, events, (*path, len(found))))
        return found

    def _where(self, event: Any) -> Where:
        return Where(self.name, event.start_mark.line + 1, event.start_mark.column + 1)

    def _wrong(self, where: Where, what: str, hint: str) -> None:
        tell(self.problems, problem_at(self.text, where, what, hint))
