"""One recorded fact read by its form: an amount, a count, yes or no, text, a word out of a list, a date."""

from __future__ import annotations

import datetime
import json
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from checker.ir.kleene import Cause, Known, Nothing, Range
from checker.problems.problem import did_you_mean
from checker.reading import amount_text, units
from checker.reading.fact_shapes import Leaf

DAY = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)


@dataclass(frozen=True, slots=True, eq=False)
class Reading:
    """One recorded fact: its value in base units, and how it was written.

    `origin` says where an inherited fact comes from, such as `from the profile`; empty where it stands in the job itself.
    `added_from` are the full paths of the readings that the program added up to this one.
    A reading is equal to itself alone: what is remembered of one is found by looking at nothing inside it.
    """

    value: Known | Nothing | Range
    written: str
    unit: str = ""
    digits: int = 0
    instrument: str = ""
    origin: str = ""
    added_from: tuple[str, ...] = ()


def called(value: Any) -> str:
    names = {
        bool: "yes or no",
        int: "a number",
        float: "a number",
        str: "text",
        list: "a list",
        dict: "a group of facts",
    }
    return names.get(type(value), "that")


class LeafError(ValueError):
    """A value that a fact cannot have: what is wrong and what to do."""

    def __init__(self, what: str, hint: str) -> None:
        self.what, self.hint = what, hint
        super().__init__(what)


def read_leaf(leaf: Leaf, value: Any) -> Reading:
    """Read one fact as it stands in a job, or as a person typed it.

    Raises:
        LeafError: It is not a value that this fact can have.
    """
    return _READ[leaf.form](leaf, value)


# What stands where nothing is to be said. It is no permit's number and no name, and whether there is none or nobody knows
# stays open.
SAYS_NOTHING = frozenset(("n/a", "na", "n.a.", "tbd", "unknown", "not known"))
NEEDED = ("job_id", "key")  # a job and an item of a list have a name of their own
YES_NO = {"true": True, "yes": True, "false": False, "no": False}


def says_nothing(text: str) -> bool:
    """Whether a text is one of those that stand where nothing is to be said, such as n/a, or has no letter and no digit."""
    return text.strip().casefold() in SAYS_NOTHING or not any(map(str.isalnum, text))


def from_text(leaf: Leaf, value: Any) -> Any:
    """What a text out of YAML would be in a job: yes or no, or a count, where the fact is of that form."""
    if leaf.form == "flag" and isinstance(value, str):
        return YES_NO.get(value, value)
    if leaf.form == "count" and isinstance(value, str) and value.isascii() and value.isdigit():
        return int(value)
    return value


def _quantity(leaf: Leaf, value: Any) -> Reading:
    instrument = ""
    if isinstance(value, dict):
        what = _misshapen(value)
        if what:
            hint = f'Write {{"value": 10, "unit": "{units.shown(leaf.unit)}", "instrument": "its key"}}.'
            raise LeafError(what, hint)
        instrument = str(value.get("instrument", ""))
        value = f"{value['value']!r} {value['unit']}" if "unit" in value else value["value"]
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise LeafError(
            f"this has to be a number of {units.shown(leaf.unit)}, not {called(value)}.",
            f'Write 10 or "10 {units.shown(leaf.unit)}".',
        )
    try:
        return _amount(leaf, value, instrument)
    except units.UnitError as error:
        raise LeafError(error.what, error.hint) from None


def _misshapen(value: Mapping[str, Any]) -> str:
    """What is wrong with a reading whose number, unit and instrument are written apart, or nothing."""
    number = value.get("value")
    if isinstance(number, bool) or not isinstance(number, int | float):
        return "'value' has to be a number."
    for name in sorted(set(value) - {"value"}):
        if name not in ("unit", "instrument"):
            return f"'{name}' is not a part of a reading."
        if not isinstance(value[name], str) or not value[name].strip():
            return f"'{name}' has to be text."
    return ""


def _amount(leaf: Leaf, value: int | float | str, instrument: str) -> Reading:
    if isinstance(value, str):
        value = amount_text.DIFFERENCE.sub("", value, count=1) if leaf.either_way else value
        amount, unit, number = units.read_amount(value, leaf.kind, leaf.unit)
        if unit.name != leaf.unit and number == value.strip().replace(",", ""):  # "12" is not 12 times the whole
            raise units.UnitError(f"'{value}' has no unit.", f'Write "{number} {units.shown(leaf.unit)}".')
    else:
        if not math.isfinite(value) or abs(value) > units.MOST:
            raise units.UnitError(
                f"{value:g} is too large to be an amount.", "Write the reading as the meter shows it."
            )
        found = units.find_unit(leaf.kind, leaf.unit)
        assert found is not None, leaf
        amount, unit, number = units.to_base(float(value), found), found, f"{value:.10g}"
    given = len(number.partition(".")[2].partition("e")[0])
    digits = min(given, units.MOST_DIGITS.get(unit.name, given))
    written = f"{number} {units.shown(unit.name)}".rstrip()
    if digits < given:
        written = units.write_amount(amount, leaf.kind, unit.name, digits)
    look_at_bounds(leaf, amount, written)
    return Reading(amount, written, unit.name, digits, instrument)


HAIR = 1e-9  # of the larger end: what a conversion may add to an amount that stands at its end


def look_at_bounds(leaf: Leaf, amount: float, written: str) -> None:
    """Refuse what no instrument can show.

    Raises:
        LeafError: It lies outside the bounds of the fact.
    """
    low, high = leaf.bounds.lowest, leaf.bounds.highest
    hair = HAIR * max(abs(low), abs(high))
    if low - hair <= amount <= high + hair:
        return
    if amount < 0 == low:
        raise LeafError(
            f"{written} is below zero, and this cannot be.", "Write it without the minus sign, or measure again."
        )
    end, side = (low, "less") if amount < low else (high, "more")
    raise LeafError(
        f"{written} is {side} than this can be: {units.write_amount(end, leaf.kind, leaf.unit)} is the end.",
        "Look at the reading and its unit again.",
    )


def _count(leaf: Leaf, value: Any) -> Reading:
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= 1_000_000:
        raise LeafError("this has to be a whole number.", "Write 0, 1, 2 …")
    look_at_bounds(leaf, float(value), str(value))
    return Reading(float(value), str(value), "one")


def _flag(_: Leaf, value: Any) -> Reading:
    if not isinstance(value, bool):
        raise LeafError(f"the answer is yes or no, not {called(value)}.", "Write true or false, without quotes.")
    return Reading(value, "yes" if value else "no")


def _text(leaf: Leaf, value: Any) -> Reading:
    needed = leaf.path.rpartition(".")[2] in NEEDED
    if not isinstance(value, str) or not value.strip():
        raise LeafError(
            f"this has to be text, not {called(value)}." if not isinstance(value, str) else "the text is empty.",
            'Write "…".' if needed else 'Write "…", or leave it out.',
        )
    if says_nothing(value):
        hint = 'Leave it out, or write {"not_known": "why"}' + (', or {"none": "why"}.' if leaf.may_be_none else ".")
        raise LeafError(f"'{value}' says nothing.", "Write a name." if needed else hint)
    return Reading(value, value)


def _choice(leaf: Leaf, value: Any) -> Reading:
    if value not in leaf.possible or not isinstance(value, str):
        meant = dict(leaf.said).get(str(value).lower().replace("_", " "), ())
        hint = f"Did you mean {' or '.join(map(repr, meant))}?" if meant else did_you_mean(str(value), leaf.possible)
        raise LeafError(
            f"{json.dumps(value, ensure_ascii=False)} is not one of its values.",
            f"{hint} One of: {', '.join(leaf.possible)}.".strip(),
        )
    return Reading(value, value.replace("_", " "))


def _date(leaf: Leaf, value: Any) -> Reading:
    if (
        isinstance(value, dict)
        and set(value) == {"between"}
        and isinstance(value["between"], list)
        and len(value["between"]) == 2
    ):
        low, high = (_day(part) for part in value["between"])
        if low > high:
            raise LeafError("the two days are in the wrong order.", "Write the earlier day first.")
        causes = frozenset([Cause("date_unknown", leaf.path)])
        return Reading(Range(low, high, causes), f"between {value['between'][0]} and {value['between'][1]}")
    return Reading(_day(value), str(value))


def _day(value: Any) -> int:
    try:
        if not isinstance(value, str) or not DAY.fullmatch(value):
            raise ValueError
        return datetime.date.fromisoformat(value).toordinal()
    except ValueError:
        written = json.dumps(value, ensure_ascii=False)
        raise LeafError(f"{written} is not a date.", 'Write year-month-day, as in "2026-05-04".') from None


_READ: dict[str, Callable[[Leaf, Any], Reading]] = {
    "quantity": _quantity,
    "count": _count,
    "flag": _flag,
    "text": _text,
    "choice": _choice,
    "date": _date,
    "constant": lambda leaf, value: Reading(float(value) if isinstance(value, int) else str(value), str(value)),
}


def ends_of(leaf: Leaf) -> tuple[float, float] | None:
    """The lowest and the highest that a fact can be, in the base unit of its kind; None where the schema does not say."""
    if leaf.range is None:
        return None
    unit = units.find_unit(leaf.kind, leaf.unit) or units.base_unit(leaf.kind)
    low, high = leaf.range
    return units.to_base(low, unit), units.to_base(high, unit)
