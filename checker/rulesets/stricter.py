"""Of a limit that a group and its place both set, the stricter holds.

A group binds its change to the limit as its own ruleset wrote it, and says `direction: stricter`: `lint` tries that on jobs.
So the change itself tells which way is stricter, lower or higher, and a place's value is held against it that way.
"""

from __future__ import annotations

from typing import NamedTuple

from checker.rulesets import limits
from checker.rulesets.limits import LimitError
from checker.rulesets.models import Limit


class On(NamedTuple):
    """An edition (None: there are none) and a day."""

    edition: str | None
    day: int


def asks_no_more(first: Limit, place: Limit, group: Limit, on: On) -> bool | None:
    """Whether a group's limit asks no more than that of the place; None where that cannot be told.

    Args:
        first: The limit as the ruleset that names it wrote it.
        place: As the place leaves it.
    """
    base, here, wanted = (_number(limit, on) for limit in (first, place, group))
    if here is not None and here == wanted:
        return True
    if base is None or here is None or wanted is None or wanted == base:
        return None
    return wanted >= here if wanted < base else wanted <= here


def _number(limit: Limit, on: On) -> float | None:
    """What a limit is, as a number; None where it is not one: a word, a list, a table, or left open."""
    value = limits.pick(limit, on.edition, on.day)
    if value is None or not isinstance(value.value, str):
        return None
    try:
        read = limits.read(limit, value.value)
    except LimitError:
        return None
    return None if isinstance(read, str) else float(read)
