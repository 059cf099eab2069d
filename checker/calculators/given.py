"""Reading what was given for a quantity: texts in, amounts in base units out, everything wrong said at once."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from checker.calculators import equations_of_state
from checker.calculators.quantity import SHOWS, Input, Quantity, Values
from checker.calculators.recorded_as import FACTS, MINUTE
from checker.problems.problem import Problem, ProblemsFound, Where, did_you_mean
from checker.reading import fact_reader, second_look, units
from checker.reading.fact_shapes import Leaf
from checker.reading.job_schema import job_vocabulary

Texts = Mapping[str, str | tuple[str, ...] | None]
LOOSE = re.compile(r"[-_ ]")


def read(quantity: Quantity, texts: Texts) -> Values:
    """The values of a quantity's inputs.

    Raises:
        ProblemsFound: An input is missing, or cannot be read.
    """
    values: dict[str, Any] = {}
    problems = []
    for wanted in quantity.inputs:
        text = texts.get(wanted.name)
        try:
            if text:
                values[wanted.name] = _value(wanted, text, FACTS.get(quantity.name, {}).get(wanted.name, ""))
            elif not wanted.optional:
                raise units.UnitError("This is missing.", f"{wanted.help}.")
        except units.UnitError as error:
            problems.append(Problem(Where(wanted.option), error.what, error.hint))
    if problems:
        raise ProblemsFound(problems)
    return values


def _value(wanted: Input, text: str | tuple[str, ...], fact: str) -> Any:
    if wanted.shows == "readings":
        return _readings(fact, (text,) if isinstance(text, str) else text)
    written = text if isinstance(text, str) else " ".join(text)
    if wanted.shows == "word":
        return _word(written, wanted.words)
    if wanted.shows == "refrigerant":
        return equations_of_state.designation(written)
    if wanted.shows == "date":
        return _day(written)
    return _bounded(fact, amount(written, wanted.shows))


def amount(text: str, shows: str) -> float:
    """An amount in base units; a plain number is in the US unit that the input is shown in.

    Raises:
        units.UnitError: It cannot be read.
    """
    kind, (unit, _), _ = SHOWS[shows]
    match = units.NUMBER.fullmatch(text)
    if match and match[1] and not match[2] and kind != "number":
        text = f"{text} {units.shown(unit)}"
    return units.read_amount(text, kind, unit)[0]


def _bounded(fact: str, amount: float) -> float:
    """An amount, where it is one that a fact of a job can be.

    Raises:
        units.UnitError: It cannot be that.
    """
    leaf = _leaf(fact)
    if leaf is None:
        return amount
    try:
        fact_reader.look_at_bounds(leaf, amount, units.write_amount(amount, leaf.kind, leaf.unit))
    except fact_reader.LeafError as error:
        raise units.UnitError(f"{error.what[0].upper()}{error.what[1:]}", error.hint) from None
    return amount


def _leaf(fact: str) -> Leaf | None:
    """The fact of a job that an input would be; None where it would be none."""
    return job_vocabulary().leaves[fact] if fact else None


def unusual(quantity: Quantity, values: Values) -> Iterator[str]:
    """A sentence for each amount that is possible and far from usual."""
    facts = FACTS.get(quantity.name, {})
    for wanted in quantity.inputs:
        leaf, value = _leaf(facts.get(wanted.name, "")), values.get(wanted.name)
        if leaf is None or value is None:
            continue
        amounts = dict.fromkeys(level for _, level in value) if wanted.shows == "readings" else [value]
        for amount in filter(None, amounts):  # 0: there is none
            why = second_look.far_from_usual(leaf, amount)
            if why:
                yield f"Look again: {units.write_amount(amount, leaf.kind, leaf.unit)}. {why}."


def _word(text: str, words: tuple[str, ...]) -> str:
    """A word of a closed list; case, spaces and hyphens are forgiven. Without a list, any word."""
    if not words or text in words:
        return text
    for word in words:
        if LOOSE.sub("", word).casefold() == LOOSE.sub("", text).casefold():
            return word
    raise units.UnitError(f"'{text}' is not one of them.", did_you_mean(text, words) or f"One of: {', '.join(words)}.")


def _day(text: str) -> int:
    try:
        return datetime.date.fromisoformat(text).toordinal()
    except ValueError:
        raise units.UnitError(f"'{text}' is not a date.", "Write year-month-day, as in 2026-05-04.") from None


def _readings(fact: str, texts: Iterable[str]) -> tuple[tuple[float, float], ...]:
    """`0:300 5:420` → (minute, psia) each; a plain level is in microns."""
    readings = []
    for text in texts:
        minute, colon, level = text.partition(":")
        if not colon:
            raise units.UnitError(
                f"'{text}' is not a time and a reading.", "Write 5:420 for 420 micron after 5 minutes."
            )
        at, read_there = amount(minute, "duration"), amount(level, "vacuum")
        readings.append((_bounded(MINUTE, at), _bounded(fact, read_there)))
    return tuple(readings)
