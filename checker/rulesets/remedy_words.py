"""A remedy, a headline or what to bring, in words that nobody has tried on a job."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from checker.problems.sanitize import in_case
from checker.rulesets.models import Bring, Words


def alternatives(words: Words) -> list[Any]:
    """The alternatives of a remedy as they are written; a plain text is one that is always said."""
    return words if isinstance(words, list) else [{"say": words}] if words else []


def parts_of(bring: Bring) -> list[Any]:
    """The parts that are to be brought, as they are written; nothing where a text says what to bring."""
    listed = bring if isinstance(bring, list) else [bring]
    return listed if any(isinstance(one, dict) and "part" in one for one in listed) else []


def spoken(words: Bring) -> list[str]:
    """Each alternative of a remedy, or each part to bring, as it is read where no job decides between them."""
    if parts := parts_of(words):
        return [_part_said(one) for one in parts]
    assert not isinstance(words, dict)
    found, before = [], False
    for one in alternatives(words):
        condition = one.get("if", "")
        found.append(in_case(condition, before, " ".join(one["say"].split())))
        before = bool(condition)
    return found


def _part_said(one: Mapping[str, str]) -> str:
    ends = [f"{{{one[end]}}} {words}" for end, words in (("at_least", "or more"), ("at_most", "at most")) if end in one]
    said = ", ".join(filter(None, (one["part"].replace("_", " "), one.get("size", ""), *ends, one.get("note", ""))))
    said = f"If {one['if']}: {said}" if "if" in one else said
    return said[0].upper() + said[1:]
