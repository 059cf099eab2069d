"""A ruleset as plain data without its layout, and the lean form of it that a record of a release keeps.

Lean data has all that decides an outcome, and all that tells how firmly something is said: conditions, limits, citations,
marks, spans of editions. Of texts it has the titles alone, of a message the values in it in their order, and of a worked
case its name and its outcome. It is of the shape that rulesets have.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from checker.rulesets.expression_words import PROSE
from checker.rulesets.headers import Topic
from checker.rulesets.ruleset import Ruleset
from checker.rulesets.shape import Shape

LEFT_OUT = "-"  # what stands where a text has to be
SHOWN = re.compile(r"\{[^{}]*\}")
CONDITIONS = ("applies_when", "verify_when", "require")
# Texts and habits that no outcome hangs on.
NOT_KEPT = {
    "remedy", "bring", "photograph", "picture", "remedy_after", "mend", "asked_of", "note",
}  # fmt: skip
NEEDED = {
    "intent", "ask", "source", "description", "in_words", "who", "office", "question", "printing", "read_by", "read",
    "reference",
}  # fmt: skip


def plain(ruleset: Ruleset) -> dict[str, dict[str, Any]]:
    """A ruleset as plain data: its header and each section by name, spacing and needless fields left out."""
    sections = {name: getattr(ruleset, name) for name in Topic.fields}
    return plain_parts(ruleset.header, sections)


def plain_parts(header: Shape, sections: Mapping[str, Mapping[str, Shape]]) -> dict[str, dict[str, Any]]:
    """The same of a header and sections that were read by themselves."""
    found = {name: {key: _dumped(one) for key, one in entries.items()} for name, entries in sections.items()}
    return {"header": _dumped(header), **found}


def _dumped(shape: Shape) -> dict[str, Any]:
    squeezed: dict[str, Any] = _squeezed(shape.as_data())
    return squeezed


def _squeezed(value: Any) -> Any:
    if isinstance(value, str):
        return " ".join(value.split())
    if isinstance(value, Mapping):
        return {key: _squeezed(child) for key, child in value.items()}
    return [_squeezed(child) for child in value] if isinstance(value, list | tuple) else value


# --- lean ------------------------------------------------------------------------------------------------------------


def lean(data: Mapping[str, Mapping[str, Any]]) -> dict[str, dict[str, Any]]:
    """Plain data with what decides and how firmly, and without its texts."""
    sections = {name: entries for name, entries in data.items() if name != "header"}
    found = {name: {key: _lean(one) for key, one in entries.items()} for name, entries in sections.items()}
    return {"header": dict(data["header"]), **found}


def _lean(entry: Mapping[str, Any]) -> dict[str, Any]:
    return {
        field: _KEPT[field](value) if field in _KEPT else LEFT_OUT if field in NEEDED else value
        for field, value in entry.items()
        if field not in NOT_KEPT
    }


def _shown(words: Any) -> str:
    """The values that a message shows, in their order."""
    return " ".join(SHOWN.findall(str(words))) or LEFT_OUT


def _cases(cases: list[Mapping[str, Any]]) -> list[dict[str, Any]]:
    kept = ("name", "rule", "expect")
    return [{**{field: case[field] for field in kept if field in case}, "given": {}} for case in cases]


def _conditions(part: Any) -> Any:
    """Conditions without what a group of them says to people."""
    if isinstance(part, Mapping):
        return {key: _conditions(value) for key, value in part.items() if key not in PROSE}
    return [_conditions(one) for one in part] if isinstance(part, list) else part


def _entries(entries: list[Mapping[str, Any]]) -> list[dict[str, Any]]:
    return [_lean(entry) for entry in entries]


_KEPT: dict[str, Callable[[Any], Any]] = {
    "failed": _shown,
    "on_fail": _shown,
    "cases": _cases,
    "citation": _entries,
    "values": lambda values: _entries(values) if isinstance(values, list) else values,
    "untried": lambda reasons: dict.fromkeys(reasons, LEFT_OUT),
    "set": _lean,
    "add": _lean,
    "any_of": _conditions,
    **dict.fromkeys(CONDITIONS, _conditions),
}
