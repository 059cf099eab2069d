"""Whether a change of a limit lets more pass than before, or may do so."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from checker.authoring.comparing.differences import Difference
from checker.authoring.comparing.which_way import UNKNOWN
from checker.rulesets.limits import LimitError, day_number, in_period, pick, read
from checker.rulesets.models import Limit, LimitValue
from checker.rulesets.periods import FIRST_DAY


def limit_loosened(part: Difference, old: Mapping[str, Any], new: Mapping[str, Any], way: int) -> bool:
    """Whether one part of what differs in a limit asks less, or may. What is surely stricter does not.

    Args:
        way: Which way the limit moves where rules ask less (`which_way`).
    """
    field, *inside = part.path[2:]
    if field != "values":
        return field in ("unit", "kind", "keys", "open")
    if not inside or inside[-1] in ("source", "document", "read"):
        return False
    if len(inside) == 1:
        return _value_moved(part, Limit.of(old), way)
    if inside[1] == "value":
        return _looser(Limit.of(new), part.old, part.new, way)
    if inside[1] == "rows":
        return part.kind != "added" and _row_looser(part, inside, Limit.of(new), way)
    return inside[1] == "until" and not _follows(part, Limit.of(new))


def _follows(part: Difference, new: Limit) -> bool:
    """Whether a value begins on the day on which another ends now; what that one asks is looked at by itself."""
    return part.new is not None and any(value.starts == part.new for value in new.values)


def _value_moved(part: Difference, old: Limit, way: int) -> bool:
    """A value that is gone, or one that came: against what held before in its time and under its edition."""
    if part.kind != "added":
        return True
    came = LimitValue.of(part.new)
    before = _held_before(came, old)
    if before is None:
        return False
    if came.value is None or before.value is None:
        return came.rows != before.rows
    return _looser(old, before.value, came.value, way)


def _held_before(came: LimitValue, old: Limit) -> LimitValue | None:
    day = day_number(came.starts) if came.starts else FIRST_DAY
    same = [one for one in old.values if one.editions == came.editions and in_period(one.starts, one.until, day)]
    return same[0] if same else pick(old, None, day) if not came.editions else None


def _row_looser(part: Difference, inside: list[str], limit: Limit, way: int) -> bool:
    if part.kind == "gone":
        return True
    was, now = (side.get("value") if isinstance(side, Mapping) else side for side in (part.old, part.new))
    return _looser(limit, was, now, way)


def _looser(limit: Limit, old: Any, new: Any, way: int) -> bool:
    """Whether a value is looser than another; so is one of which that cannot be told."""
    if old == new:
        return False
    if way == UNKNOWN or isinstance(old, list) or isinstance(new, list):
        return True
    try:
        was, now = read(limit, old), read(limit, new)
    except LimitError:
        return True
    if isinstance(was, str) or isinstance(now, str):
        return True
    return (now - was) * way > 0
