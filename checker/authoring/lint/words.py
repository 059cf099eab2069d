"""Texts that would mislead their reader: a passage that is not our own words, a promise, a placeholder that stays one.

A code is cited and never quoted, and only the authority approves. A value is filled in between braces in what is said of
a job (`FILLED`); everywhere else braces would be printed as they are.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from checker.binding.rule_text import HOLE
from checker.problems.problem import Problem
from checker.rulesets.ruleset import Part, Ruleset

FILLED = ("failed", "on_fail", "remedy", "bring", "size", "say", "photograph", "ask")
FIXED = ("title", "intent", "note", "option", "if", "reason", "otherwise", "description", "cautions")
NOT_PROSE = ("cases", "untried", "where", "applies_when", "adopts", "confirm", "documents")

MOST_WORDS_QUOTED = 12
MOST_CHARACTERS = 600
QUOTED = re.compile(r'"([^"]*)"|“([^”]*)”')

NEVER_SAID = ("approved", "compliant", "certified")
PROMISE = re.compile(
    rf"\b(?:{'|'.join(NEVER_SAID)}|guarantee[ds]?|will pass|passes (?:the )?inspection|up to code|meets code)\b",
    re.IGNORECASE,
)


def word_problems(ruleset: Ruleset) -> Iterator[Problem]:
    """What is wrong with the texts of a ruleset, its own and those it puts into others' rules."""
    for part in ruleset.parts.values():
        for at, field, text in _texts(written(part), (), ""):
            yield from _too_long(part, at, field, text)
            yield from _promises(part, at, text)
            yield from _placeholders(part, at, field, text)


def written(part: Part) -> Any:
    """A part of a ruleset as it was written."""
    data = part.document.data
    for step in part.path:
        data = data[step]
    return data


def _texts(data: Any, at: tuple[str | int, ...], field: str) -> Iterator[tuple[tuple[str | int, ...], str, str]]:
    """Each text for people in a part: where it stands, the field it is, and the text."""
    if isinstance(data, str):
        if field in FILLED or field in FIXED:
            yield at, field, data
        return
    inside = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, value in inside:
        if key not in NOT_PROSE:
            named = field if field == "cautions" or isinstance(key, int) else key
            yield from _texts(value, (*at, key), named)


def _too_long(part: Part, at: tuple[str | int, ...], field: str, text: str) -> Iterator[Problem]:
    for passage in QUOTED.finditer(text):
        words = len((passage[1] or passage[2] or "").split())
        if words > MOST_WORDS_QUOTED:
            what = f"This passage in quotation marks is {words} words long. A code is cited, not quoted."
            hint = (
                f"Say in your own words what it asks. {MOST_WORDS_QUOTED} words are the most between quotation marks."
            )
            yield part.problem(at, what, hint, passage.start() + 1)
    if len(text) > MOST_CHARACTERS:
        what = f"'{field}' is {len(text)} characters long; {MOST_CHARACTERS} are the most."
        yield part.problem(
            at, what, "Say it in two or three sentences of your own. The code's text stays in the code book."
        )


def _promises(part: Part, at: tuple[str | int, ...], text: str) -> Iterator[Problem]:
    for promise in PROMISE.finditer(text):
        what = f"'{promise[0]}' promises what only the authority can give."
        hint = "Say what was found: 'within the limit', 'listed', 'accepted by the authority in writing'."
        yield part.problem(at, what, hint, promise.start() + 1)


def _placeholders(part: Part, at: tuple[str | int, ...], field: str, text: str) -> Iterator[Problem]:
    if field in FIXED or part.path[:1] == ("facts",):
        for hole in HOLE.finditer(text):
            what = f"Nothing can be filled in here: a report would print '{hole[0]}'."
            yield part.problem(at, what, f"Values are filled in under {', '.join(FILLED)}.", hole.start() + 1)
        return
    alone = HOLE.sub(lambda hole: " " * len(hole[0]), text)
    for brace in re.finditer(r"[{}]", alone):
        other = {"{": "}", "}": "{"}[brace[0]]
        what = f"This '{brace[0]}' has no '{other}': nothing would be filled in."
        yield part.problem(at, what, "A value goes between two braces: {lowest_reading}.", brace.start() + 1)
