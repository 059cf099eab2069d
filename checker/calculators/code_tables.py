"""Tables of the shipped electrical code by edition, before any place has amended them."""

from __future__ import annotations

import datetime
import functools

from checker.ir.tree import Plain
from checker.rulesets import limits
from checker.rulesets.library import SHIPPED, open_library
from checker.rulesets.models import Limit, LimitValue
from checker.rulesets.ruleset import Ruleset
from checker.trade.function import OutOfRange

CODE = "nec"
FOLDER = SHIPPED / "codes" / CODE
LATEST = datetime.date.max.toordinal()  # a code's tables go by edition; where one also has periods, the last holds


@functools.cache
def _ruleset() -> Ruleset:
    return open_library([FOLDER], {FOLDER: f"rulesets/codes/{CODE}"}).get(CODE)


def _limit(name: str, edition: str) -> tuple[Limit, LimitValue]:
    editions = _ruleset().header.editions
    if edition not in editions:
        raise OutOfRange(f"there is no edition '{edition}' of the code here; there are {', '.join(editions)}")
    limit = _ruleset().limits[name]
    value = limits.pick(limit, edition, LATEST)
    if value is None:
        raise OutOfRange(f"the {edition} edition has no table '{limit.title}' here")
    return limit, value


def ratings(edition: str) -> tuple[float, ...]:
    """Standard ratings of fuses and breakers, A."""
    limit, value = _limit("standard_overcurrent_ratings", edition)
    texts = [value.value] if isinstance(value.value, str) else value.value or []
    return tuple(float(limits.read(limit, text)) for text in texts)


def look_up(name: str, edition: str, *keys: str | float) -> Plain | None:
    """The one row of a table for its keys, in the order of the table; None where the table has none."""
    for row in limits.rows(*_limit(name, edition)):
        if all(_hit(cell, key) for cell, key in zip(row.keys, keys, strict=True)):
            return row.value
    raise OutOfRange(f"the table '{name}' has no row for {', '.join(map(str, keys))}")


def notes(edition: str, *names: str) -> tuple[str, ...]:
    """Where tables stand and how sure that is, and that a place may have changed them."""
    sources = []
    for name in names:
        limit, value = _limit(name, edition)
        sources.append(f"{limit.title}: {value.source.rstrip('.')} ({value.sure.replace('_', ' ')}).")
    return (*sources, f"Tables as the {edition} edition has them; what a place has changed is not in them.")


def _hit(cell: str | tuple[float, float], key: str | float) -> bool:
    if isinstance(cell, str) or isinstance(key, str):
        return cell == key
    return cell[0] <= key < cell[1]
