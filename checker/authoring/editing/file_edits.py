"""Edits of a ruleset's files as text: one entry or one name is added, and all else stays as it is.

Text in, text out. Each edit is read again and has to say what the old text said and the new part, and nothing else.
"""

from __future__ import annotations

import copy
import itertools
import os
import re
import textwrap
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from checker.problems.document import Document, Path_
from checker.problems.problem import Problem, ProblemsFound, Where, refused
from checker.reading.files import read_text
from checker.reading.shipped import ROOT, shipped
from checker.rulesets.ruleset import TO_FILL_IN

SCHEMA = shipped("schemas") / "ruleset.schema.json"
WIDTH = 118
OPEN_STILL = re.compile(rf"""(?:^|[:,\[{{-])\s+["']?({TO_FILL_IN})["']?\s*(?=[,}}\]]|#|$)""")
PLAIN = re.compile(r"[A-Za-z][A-Za-z0-9_ ./()'°%<=>+-]*|\d{4}-\d\d-\d\d|\d+\.\d+\.\d+|\d[\d.]* [A-Za-z°%/]+")
SENTENCE = re.compile(r"[A-Za-z](?:[^\n:#\"{}\[\]]|:(?=\S)|(?<=\S)#)*")  # plain where no comma or bracket ends it
NOT_TEXT = re.compile(r"true|false|yes|no|on|off|null|~", re.IGNORECASE)


class OneLine(dict[str, Any]):
    """A mapping to be written on one line, between { and }."""


class OneLineList(list[str]):
    """A list to be written on one line, between [ and ]."""


def schema_line(folder: Path, name: str = "ruleset.yaml") -> str:
    """The line by which an editor finds the schema: never by a path of this machine, which is another on the next.

    Args:
        folder: The ruleset's folder. Inside the clone of the project its schema is named, else a copy in the folder.
        name: The file that begins so, as the folder has it.
    """
    schema = SCHEMA if _in_the_clone(folder) else folder.resolve() / SCHEMA.name
    place = os.path.relpath(schema, (folder.resolve() / name).parent)
    return f"# yaml-language-server: $schema={Path(place).as_posix()}\n"


def schema_beside(folder: Path) -> dict[str, bytes]:
    """The copy of the schema that files of a ruleset's folder name, by its name; nothing inside the clone."""
    return {} if _in_the_clone(folder) else {SCHEMA.name: SCHEMA.read_bytes()}


def _in_the_clone(folder: Path) -> bool:
    return folder.resolve().is_relative_to(ROOT)


# --- YAML as we write it ---------------------------------------------------------------------------------------------


def written(text: str, alone: bool = False) -> str:
    """A text as YAML takes it on one line, quoted where it would be something else.

    Args:
        alone: It stands alone behind its name, not between { and }.
    """
    plain = " ".join(text.split())
    if (PLAIN.fullmatch(plain) or (alone and SENTENCE.fullmatch(plain))) and not NOT_TEXT.fullmatch(plain):
        return plain
    return '"' + plain.replace("\\", "\\\\").replace('"', '\\"') + '"'


def lines_of(data: Mapping[str, Any], indent: int) -> list[str]:
    """A mapping, one name a line, what is inside it two further in."""
    return [line for name, value in data.items() for line in _pair(name, value, indent)]


def _pair(name: str, value: Any, indent: int) -> list[str]:
    margin, key = " " * indent, written(name)
    if isinstance(value, OneLine | OneLineList) or value in ([], {}):
        return _folded(f"{margin}{key}: {_flow(value)}", indent + len(key) + 3)
    if isinstance(value, Mapping):
        return [f"{margin}{key}:", *lines_of(value, indent + 2)]
    if isinstance(value, list):
        return [f"{margin}{key}:", *(line for item in value for line in _item(item, indent + 2))]
    if len(value) > WIDTH - indent - len(key) - 4:
        wrapped = textwrap.wrap(
            " ".join(value.split()), WIDTH - indent - 2, break_long_words=False, break_on_hyphens=False
        )
        return [f"{margin}{key}: >-", *(f"{margin}  {line}" for line in wrapped)]
    return [f"{margin}{key}: {written(value, alone=True)}"]


def _item(item: Any, indent: int) -> list[str]:
    margin = " " * indent
    if isinstance(item, Mapping) and not isinstance(item, OneLine):
        first, *rest = lines_of(item, indent + 2)
        return [f"{margin}- {first.lstrip()}", *rest]
    shown = _flow(item) if isinstance(item, Mapping | list) else written(item, alone=True)
    return _folded(f"{margin}- {shown}", indent + 3)


def _flow(value: Any) -> str:
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{written(name)}: {_flow(inner)}" for name, inner in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(_flow, value)) + "]"
    return written(str(value))


def _folded(line: str, indent: int) -> list[str]:
    """A line too long is broken after commas that stand outside of quotes."""
    lines, rest = [], line
    while len(rest) > WIDTH:
        breaks = [cut.end() for cut in re.finditer(r'"(?:[^"\\]|\\.)*"|(, )', rest[: WIDTH + 1]) if cut[1]]
        if not breaks or breaks[-1] <= indent:
            break
        lines.append(rest[: breaks[-1]].rstrip())
        rest = " " * indent + rest[breaks[-1] :]
    return [*lines, rest]


# --- edits -----------------------------------------------------------------------------------------------------------


def with_entry(text: str, file: str, head: str, section: str, name: str, data: Mapping[str, Any]) -> str:
    """The text of a topic file with one entry more at the end of a section.

    Args:
        text: What the file holds; empty where there is none.
        file: How to name it.
        head: What a new file begins with.

    Raises:
        ProblemsFound: The file cannot be read, has the entry already, or holds the section between { and }.
    """
    document = _read(text, file)
    if document is not None and name in document.data.get(section, {}):
        what = f"'{name}' is already under '{section}'."
        raise ProblemsFound([document.problem((section, name, "="), what, "Change it there, or take it out first.")])
    indent = 2
    if document is not None and document.data.get(section):
        indent = document.where((section, next(iter(document.data[section])), "=")).column - 1
    entry = lines_of({name: data}, indent)
    return _checked(text, _inserted(text, document, head, section, entry, apart=True), file, (section, name), data)


def with_item(text: str, file: str, section: str, data: Mapping[str, Any]) -> str:
    """The text of a `ruleset.yaml` with one item more at the end of one of its lists.

    Raises:
        ProblemsFound: The file cannot be read, or holds the list between [ and ].
    """
    document = _read(text, file)
    held = document.data.get(section, []) if document else []
    indent = 2
    if document and held:
        where = document.where((section, 0))
        indent = document.text.split("\n")[where.line - 1].index("-")
    entry = _item(OneLine(data), indent)
    return _checked(text, _inserted(text, document, "", section, entry, apart=False), file, (section, len(held)), data)


def with_name(text: str, file: str, path: Path_, name: str, value: str) -> str:
    """The text of a file with one name and value more in a mapping of texts, at its end, in the mapping's own layout.

    Raises:
        ProblemsFound: The file cannot be read, or the mapping is not there or empty.
    """
    document = _read(text, file)
    held = document.data if document else {}
    for step in path:
        held = held.get(step, {}) if isinstance(held, dict) else held[int(step)] if isinstance(held, list) else {}
    if document is None or not held:
        if document is not None and len(path) == 1:
            entry = lines_of({name: value}, 2)
            return _checked(
                text, _inserted(text, document, "", str(path[0]), entry, apart=False), file, (*path, name), value
            )
        raise refused(file, f"There is nothing under '{'.'.join(map(str, path))}' to add to.", "Write it by hand.")
    *_, last = held
    at = _end_of_scalar(document, (*path, last))
    between = _between(document, path, last)
    new = document.text[:at] + f"{between}{_key(name)}: {written(value)}" + document.text[at:]
    return _checked(text, _with_mark(text, new), file, (*path, name), value)


def _key(name: str) -> str:
    return f'"{name}"' if name[:1].isdigit() else written(name)


def _between(document: Document, path: Path_, last: str) -> str:
    """What stands between two names of a mapping: a comma, or a new line with its indent."""
    key = document.where((*path, last, "="))
    opening = document.where(path)
    if document.text.split("\n")[opening.line - 1][opening.column - 1 : opening.column] == "{":
        return ", "
    return _line_end(document.text) + " " * (key.column - 1)


def _end_of_scalar(document: Document, path: Path_) -> int:
    """The offset at which a text on one line ends."""
    where = document.where(path)
    start = sum(len(line) + 1 for line in document.text.split("\n")[: where.line - 1]) + where.column - 1
    rest = document.text[start:]
    quoted = re.match(r"\"(?:[^\"\\\n]|\\.)*\"|'(?:[^'\n]|'')*'", rest)
    held: Any = document.data
    for step in path:
        held = held[step]
    if quoted is None and not rest.startswith(held):
        raise ProblemsFound([document.problem(path, "This text runs over several lines.", "Add the new one by hand.")])
    return start + (quoted.end() if quoted else len(held))


def _read(text: str, file: str) -> Document | None:
    """A file's text read; None where it holds nothing yet."""
    if not any(line.strip() and not line.lstrip().startswith("#") for line in text.split("\n")):
        return None
    document = read_text(text.encode(), file)
    if not isinstance(document.data, dict):
        raise ProblemsFound([document.problem((), "This file has to be names with values.", "Look at another.")])
    return document


def _inserted(text: str, document: Document | None, head: str, section: str, entry: list[str], apart: bool) -> str:
    """The text with an entry's lines at the end of a section, or at the end with a section of its own."""
    end = _line_end(text)
    if document is None:
        return (text or head) + end.join([f"{section}:", *entry, ""])
    lines = document.text.split("\n")
    if section not in document.data:
        gap = [] if not apart or not document.text.strip() else [""]
        kept = document.text if document.text.endswith("\n") else document.text + end
        return _with_mark(text, kept + end.join([*gap, f"{section}:", *entry, ""]))
    where = document.where((section,))
    if lines[where.line - 1][where.column - 1 : where.column] in ("{", "["):
        what = f"'{section}' is written between brackets here, and cannot be added to line by line."
        raise ProblemsFound([document.problem((section,), what, "Write it one entry a line, without the brackets.")])
    at = _end_of_section(document, section, lines)
    before = lines[:at]
    if before and not before[-1].endswith("\r") and end == "\r\n":
        before[-1] += "\r"
    added = ["", *entry] if apart else entry
    ends = "\r" if end == "\r\n" else ""
    return _with_mark(text, "\n".join([*before, *(line + ends for line in added), *(lines[at:] or [""])]))


def _end_of_section(document: Document, section: str, lines: list[str]) -> int:
    """How many lines stand up to the end of a section, the blank lines and remarks before the next one left out."""
    starts = sorted(document.where((name, "=")).line for name in document.data)
    own = document.where((section, "=")).line
    at = min([line - 1 for line in starts if line > own], default=len(lines))
    while not lines[at - 1].strip() or lines[at - 1].startswith("#"):
        at -= 1
    return at


def _line_end(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"


def _with_mark(text: str, new: str) -> str:
    """Reading passes a byte-order mark over; a file that had one keeps it."""
    return "\ufeff" + new if text.startswith("\ufeff") else new


def _checked(old: str, new: str, file: str, path: tuple[str | int, ...], data: Any) -> str:
    """The new text, after reading it again: it has to say what the old text said and the new part, nothing else."""
    before = _read(old, file)
    wanted = copy.deepcopy(before.data) if before else {}
    at: Any = wanted
    for step, following in itertools.pairwise(path):
        at = at.setdefault(step, [] if isinstance(following, int) else {}) if isinstance(at, dict) else at[step]
    if isinstance(path[-1], int):
        at.append(_plain(data))
    else:
        at[path[-1]] = _plain(data)
    after = _read(new, file)
    assert after is not None, "the new text is empty"
    assert after.data == wanted, "the new text says something else than was wanted"
    return new


def _plain(data: Any) -> Any:
    """Data as reading gives it: each text on one line."""
    if isinstance(data, Mapping):
        return {name: _plain(value) for name, value in data.items()}
    return [_plain(item) for item in data] if isinstance(data, list) else " ".join(str(data).split())


def left_to_fill_in(text: str, file: str) -> list[Problem]:
    """The places still to be filled in: values that are `to fill in` as a whole, not sentences that hold the words."""
    what, hint = "This has still to be filled in.", "Write it, or take the entry out with its cases."
    return [
        Problem(Where(file, number, open_at.start(1) + 1), what, hint, line, open_at.start(1) + 1)
        for number, line in enumerate(text.splitlines(), 1)
        for open_at in OPEN_STILL.finditer(line)
    ]
