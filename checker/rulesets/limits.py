"""Limits and tables: what a number was on a day and under an edition, read into base units.

A table answers exactly one row for every combination of its keys; a gap or an overlap is its author's mistake.
"""

from __future__ import annotations

import datetime
import itertools
import math
from collections.abc import Iterator

from checker.ir.tree import Plain, Row
from checker.problems.problem import Problem, did_you_mean
from checker.reading import units
from checker.rulesets.by_identity import kept_by_identity
from checker.rulesets.models import Limit, LimitValue
from checker.rulesets.ruleset import Part, edition_within

EVERY = (-math.inf, math.inf)


class LimitError(ValueError):
    """Text that is not a value of the limit: what is wrong, what to do, and in a table the position of the row."""

    def __init__(self, what: str, hint: str, row: int | None = None) -> None:
        self.what, self.hint, self.row = what, hint, row
        super().__init__(f"{what} {hint}")


def kind_of(limit: Limit) -> str:
    """The kind of a limit: as it says, or that of its unit."""
    if limit.kind:
        return limit.kind
    if not limit.unit:
        return "word"
    found = units.kinds_written(limit.unit)
    return found[0] if found else ""


def kind_of_key(limit: Limit, name: str) -> str:
    """The kind of a key of a table: a word out of its closed list, or that of its unit.

    Raises:
        LimitError: The key's unit is not one.
    """
    allowed = limit.keys[name]
    if isinstance(allowed, list):
        return "word"
    found = units.kinds_written(allowed)
    if not found:
        raise LimitError(f"'{allowed}' is not a unit.", _unit_like(allowed))
    return found[0]


def _unit_like(written: str) -> str:
    spellings = [spelling for unit in units.all_units().values() for spelling in (unit.name, *unit.also)]
    return did_you_mean(written, spellings) or "The list of units is checker/reading/units.txt."


def day_number(day: str) -> int:
    return datetime.date.fromisoformat(day).toordinal()


def years_later(day: int, years: int) -> int:
    """The same day some years on; 29 February becomes 1 March where the year has none."""
    date = datetime.date.fromordinal(day)
    try:
        return date.replace(year=date.year + years).toordinal()
    except ValueError:
        return datetime.date(date.year + years, 3, 1).toordinal()


def years_on(day: str, years: int) -> str:
    """The same, of a day as text."""
    return datetime.date.fromordinal(years_later(day_number(day), years)).isoformat()


def over_a_year_old(day: str, on: int) -> bool:
    """Whether a day lies more than a year before another."""
    return years_later(day_number(day), 1) < on


def in_period(starts: str | None, until: str | None, day: int) -> bool:
    """Whether a day is in the half-open period [starts, until)."""
    return (starts is None or day_number(starts) <= day) and (until is None or day < day_number(until))


def periods_meet(first: tuple[str | None, str | None], second: tuple[str | None, str | None]) -> bool:
    """Whether two half-open periods share a day."""
    day = max(day_number(starts) if starts else 0 for starts, _ in (first, second))
    return in_period(*first, day) and in_period(*second, day)


def pick(limit: Limit, edition: str | None, day: int) -> LimitValue | None:
    """The value that holds on a day under an edition (None: the limit's ruleset has no editions)."""
    for value in limit.values:
        if (edition is None or edition_within(value.editions, edition)) and in_period(value.starts, value.until, day):
            return value
    return None


def read(limit: Limit, text: str) -> Plain:
    """One value of a limit: an amount in base units, a day number, or a word.

    Raises:
        LimitError: The text is not a value of the limit's kind.
    """
    kind = kind_of(limit)
    if kind == "word":
        return text
    if kind not in ("date", *units.kinds()):
        raise _not_a_kind(limit)
    if kind == "date":
        try:
            return day_number(text)
        except ValueError:
            raise LimitError(f"'{text}' is not a date.", "Write year-month-day, as in 2026-05-04.") from None
    try:
        unit = limit.unit or units.base_unit(kind).name
        plain = text.replace(".", "", 1).replace("-", "", 1).replace(",", "").isdigit()
        return units.read_amount(f"{text} {unit}" if plain else text, kind, unit)[0]
    except units.UnitError as error:
        raise LimitError(error.what, error.hint) from None


MOST_SHOWN = 3  # values of a list of limits that are shown one by one


def _day_shown(day: int) -> str:
    """A day; one that is worked out and that no calendar has is the first or the last there is."""
    first, last = datetime.date.min.toordinal(), datetime.date.max.toordinal()
    return datetime.date.fromordinal(min(max(day, first), last)).isoformat()


def shown(value: Plain | tuple[Plain, ...] | None, kind: str, unit: str, digits: int | None = None) -> str:
    """A value in base units as a person reads it; nothing for none."""
    if value is None:
        return ""
    if isinstance(value, tuple):
        many = len(value) > MOST_SHOWN
        return f"a list of {len(value)}" if many else ", ".join(shown(one, kind, unit, digits) for one in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return value.replace("_", " ")
    if kind == "date":
        return _day_shown(int(value))
    return units.write_amount(float(value), kind, unit, digits)


def unreadable(limit: Limit) -> Iterator[tuple[tuple[str, ...], LimitError]]:
    """What is wrong with a limit's unit, kind and keys, and in which field."""
    if kind_of(limit) not in ("date", "word", *units.kinds()):
        yield ("kind" if limit.kind else "unit",), _not_a_kind(limit)
    elif limit.unit and units.find_unit(kind_of(limit), limit.unit) is None:
        what = f"'{limit.unit}' is not a unit of {kind_of(limit).replace('_', ' ')}."
        yield ("unit",), LimitError(what, "Correct the unit or the kind.")
    for name in limit.keys:
        try:
            kind_of_key(limit, name)
        except LimitError as error:
            yield ("keys", name), error


def _not_a_kind(limit: Limit) -> LimitError:
    if not limit.kind:
        return LimitError(f"'{limit.unit}' is not a unit.", _unit_like(limit.unit))
    known = sorted({"date", "word", *units.kinds()})
    hint = did_you_mean(limit.kind, known) or f"Kinds: {', '.join(known)}."
    return LimitError(f"'{limit.kind}' is not a kind of amount.", hint)


MOST_TABLES = 1000


@kept_by_identity(MOST_TABLES)
def rows(limit: Limit, value: LimitValue) -> tuple[Row, ...]:
    """The rows of a table, in base units; each table is read once.

    Raises:
        LimitError: A row has a key too many or too few, or a value that cannot be read.
    """
    found = []
    for index, row in enumerate(value.rows or ()):
        try:
            found.append(_row(limit, row.others, row.value))
        except LimitError as error:
            raise LimitError(error.what, error.hint, index) from None
    return tuple(found)


def _row(limit: Limit, written: dict[str, object], value: str) -> Row:
    if set(written) != set(limit.keys):
        raise LimitError(
            f"The row gives {', '.join(written) or 'no keys'}; the keys of the table are {', '.join(limit.keys)}.",
            "Give each key once.",
        )
    keys = tuple(_key(limit, name, written[name]) for name in limit.keys)
    return Row(keys, None if value == "none" else read(limit, value))


def _key(limit: Limit, name: str, written: object) -> str | tuple[float, float]:
    allowed = limit.keys[name]
    if isinstance(allowed, list):
        if written not in allowed:
            raise LimitError(f"'{written}' is not a value of the key '{name}'.", f"One of: {', '.join(allowed)}.")
        return str(written)
    if not isinstance(written, dict) or not set(written) <= {"from", "below"}:
        raise LimitError(f"'{name}' is a range.", f"Write {{from: 10 {allowed}, below: 20 {allowed}}}.")
    kind = kind_of_key(limit, name)
    try:
        low, high = (
            units.read_amount(str(written[end]), kind, allowed)[0] if end in written else None
            for end in ("from", "below")
        )
    except units.UnitError as error:
        raise LimitError(error.what, error.hint) from None
    return (-math.inf if low is None else low, math.inf if high is None else high)


def table_problems(limit: Limit, value: LimitValue, part: Part, at: tuple[str | int, ...]) -> Iterator[Problem]:
    """Gaps and overlaps of a table: combinations of keys that no row answers, or two rows do."""
    try:
        found = rows(limit, value)
    except LimitError as error:
        yield part.problem(at if error.row is None else (*at, "rows", error.row), error.what, error.hint)
        return
    for combination in itertools.product(*(_cells(limit, name, found, i) for i, name in enumerate(limit.keys))):
        hits = [
            i
            for i, row in enumerate(found)
            if all(_covers(cell, key) for cell, key in zip(row.keys, combination, strict=True))
        ]
        if len(hits) == 1:
            continue
        named = ", ".join(
            f"{name} {_said(limit, name, cell)}" for name, cell in zip(limit.keys, combination, strict=True)
        )
        if not hits:
            yield part.problem(
                (*at, "rows", "="),
                f"The table has a gap: no row for {named}.",
                "Add a row; write 'value: none' where there is none.",
            )
        else:
            yield part.problem(
                (*at, "rows", hits[1]),
                f"The table has an overlap: rows {hits[0] + 1} and {hits[1] + 1} both answer {named}.",
                "Keep one.",
            )
        return


def _cells(limit: Limit, name: str, found: tuple[Row, ...], index: int) -> list[str | tuple[float, float]]:
    """The closed list of a key, or the pieces into which the rows' ends cut its range."""
    allowed = limit.keys[name]
    if isinstance(allowed, list):
        return list(allowed)
    ends = sorted({end for row in found for end in row.keys[index] if isinstance(end, float)} | set(EVERY))
    return list(itertools.pairwise(ends))


def _covers(cell: str | tuple[float, float], piece: str | tuple[float, float]) -> bool:
    if isinstance(cell, tuple) and isinstance(piece, tuple):
        return cell[0] <= piece[0] and piece[1] <= cell[1]
    return cell == piece


def _said(limit: Limit, name: str, cell: str | tuple[float, float]) -> str:
    if isinstance(cell, str):
        return cell
    unit = str(limit.keys[name])
    kind = kind_of_key(limit, name)
    low, high = (units.write_amount(end, kind, unit) if math.isfinite(end) else "" for end in cell)
    if low and high:
        return f"{low} to {high}"
    return f"from {low}" if low else f"below {high}" if high else "of any size"
