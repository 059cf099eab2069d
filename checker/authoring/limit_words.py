"""Limits for a reader: what a limit is and was, by edition and date, and how sure each value is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from checker.reading import units
from checker.reading.sureness import SURE
from checker.rulesets.limits import in_period
from checker.rulesets.models import Limit, LimitValue, TableRow
from checker.rulesets.ruleset import edition_within

MOST_IN_A_SENTENCE, MOST_CHARACTERS = 4, 90


class Here(NamedTuple):
    """A limit as it is shown: its ruleset, the titles of the documents that its values stand in, and at a place the edition in
    force and the day number (else None)."""

    limit: Limit
    ruleset: str
    documents: Mapping[str, str]
    edition: str | None = None
    day: int | None = None

    def holds(self, value: LimitValue) -> bool:
        """Whether a value is the one that holds at the place on the day; without a place none is."""
        if self.day is None:
            return False
        within = self.edition is None or edition_within(value.editions, self.edition)
        return within and in_period(value.starts, value.until, self.day)


class ValueShown(NamedTuple):
    """A value of a limit: what it is (or the rows of its table), when it holds, where it stands and how sure that is."""

    value: str
    holds: str
    source: str
    sure: str
    heads: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    now: bool = False


class LimitShown(NamedTuple):
    """A limit of a rule. `open` tells that it is left to the authority of the place."""

    name: str
    title: str
    ruleset: str
    open: bool
    values: tuple[ValueShown, ...]


def limit_shown(name: str, here: Here) -> LimitShown:
    """A limit with every value that it has or had."""
    values = tuple(_shown(here, value) for value in here.limit.values)
    return LimitShown(name, " ".join(here.limit.title.split()), here.ruleset, bool(here.limit.open), values)


def _shown(here: Here, value: LimitValue) -> ValueShown:
    limit, now = here.limit, here.holds(value)
    source, sure = _source(value, here.documents), SURE[value.sure]
    if value.rows is None:
        return ValueShown(amount(limit, value), period(value), source, sure, now=now)
    heads = (
        *(_head(name, unit) for name, unit in limit.keys.items()),
        f"value, {units.shown(limit.unit)}" if units.shown(limit.unit) else "value",
    )
    rows = tuple(_row(limit, row) for row in value.rows)
    return ValueShown(f"a table of {len(rows)} rows", period(value), source, sure, heads, rows, now)


def _source(value: LimitValue, documents: Mapping[str, str]) -> str:
    """Where a value stands: the section of its document, or the source in its own words."""
    source = " ".join(value.source.split())
    return f"{documents.get(value.document, value.document)}, {source}" if value.document else source


def _head(name: str, unit: list[str] | str) -> str:
    return name.replace("_", " ") + (f", {units.shown(unit)}" if isinstance(unit, str) else "")


def _row(limit: Limit, row: TableRow) -> tuple[str, ...]:
    keys = row.others
    return (*(_key(keys.get(name, "")) for name in limit.keys), row.value.replace("_", " "))


def _key(key: object) -> str:
    if not isinstance(key, dict):
        return str(key).replace("_", " ")
    ends = [f"{word} {key[name]}" for name, word in (("from", "from"), ("below", "below")) if name in key]
    return " ".join(ends)


def amount(limit: Limit, value: LimitValue) -> str:
    """A value with its unit, or the few words it is."""
    if value.value is None:
        return "a table"
    written = [value.value] if isinstance(value.value, str) else value.value
    unit = units.shown(limit.unit)
    return f"{', '.join(written).replace('_', ' ')} {unit}".strip()


def edition_words(editions: str) -> str:
    """`2014-2020` as a reader says it: `2014 to 2020`; nothing where every edition is meant."""
    return ", ".join(_span(part.strip()) for part in editions.split(",")) if editions else ""


def _span(part: str) -> str:
    first, dash, last = (side.strip() for side in part.partition("-"))
    if not dash:
        return first
    return f"{first} and later" if not last else f"up to {last}" if not first else f"{first} to {last}"


def period(part: LimitValue) -> str:
    """Under which editions and in which time a value holds; nothing where it always does."""
    parts = [edition_words(part.editions)] if part.editions else []
    parts += [f"from {part.starts}"] if part.starts else []
    parts += [f"before {part.until}"] if part.until else []
    return ", ".join(parts)


def standing(here: Here, marked: bool = True) -> str:
    """A limit's value in a few words for the middle of a sentence: at a place the one that holds, else all of them.

    Args:
        marked: Whether to say of a value that it is not sure.
    """
    limit, anywhere = here.limit, here.day is None
    held = [value for value in limit.values if anywhere or here.holds(value)]
    if any(value.rows is not None for value in held):
        return "by the table"
    if not held:
        return "left to the authority" if limit.open else "no value here"
    values = [amount(limit, value) + _bracketed(value, anywhere, marked) for value in held]
    if len(values) > MOST_IN_A_SENTENCE or max(map(len, values)) > MOST_CHARACTERS:
        return "as listed under Limits"
    return "; ".join(values) + ("; otherwise left to the authority" if limit.open and anywhere else "")


def _bracketed(value: LimitValue, anywhere: bool, marked: bool) -> str:
    """In brackets: when a value holds, where no place decides that, and how sure it is where it is not checked."""
    notes = [period(value)] if anywhere and period(value) else []
    notes += [SURE[value.sure]] if marked and value.sure != "checked" else []
    return f" [{', '.join(notes)}]" if notes else ""
