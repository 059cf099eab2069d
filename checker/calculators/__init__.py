"""Single quantities for the bench and the roof: texts with units in, the working line by line out."""

from __future__ import annotations

import datetime
import textwrap
from collections.abc import Iterator

from checker.calculators import air_side, charging, circuits, given, tightness
from checker.calculators.quantity import SHOWS, Input, Line, Quantity, Values, Working, shown
from checker.problems.problem import refused
from checker.reading import units
from checker.trade.function import OutOfRange

QUANTITIES: dict[str, Quantity] = {
    quantity.name: quantity
    for module in (charging, tightness, air_side, circuits)
    for quantity in module.QUANTITIES
}  # fmt: skip

CAUTIONS = {
    "electricity": "Electricity kills: the line side stays live with the breaker off. Lock it, and prove it dead with a tested "
    "meter. For qualified persons.",
    "pressure": "Hoses and lines are under pressure. Wear gloves and goggles. Open nothing until you know the pressure.",
    "test_pressure": "Dry nitrogen with a regulator and a relief valve, never oxygen or compressed air, never above the lowest "
    "test pressure of any part in the test.",
    "refrigerant": "Refrigerant freezes skin and displaces air, and some burn. Ventilate, keep flames away, don't vent any.",
}  # fmt: skip
DEFERRAL = "The manufacturer's instructions and the nameplate govern; the authority having jurisdiction decides."
WIDTH = 100


def help_of(wanted: Input) -> str:
    """One line about an input: what it is, its words or the unit of a plain number, and whether it may be left out."""
    also = ", ".join(wanted.words)
    if wanted.shows in SHOWS:
        also = units.shown(SHOWS[wanted.shows].us[0])
    elif wanted.shows == "date":
        also = "year-month-day"
    may = "optional" if wanted.optional else ""
    return f"{wanted.help}." + "".join(f" [{part}]" for part in (also, may) if part)


def compute(name: str, texts: given.Texts, si: bool = False) -> str:
    """The working of one quantity as text, with its cautions and who decides.

    Args:
        name: A key of `QUANTITIES`.
        texts: What was given for each input: `{"pressure": "340 psig"}`.
        si: Show SI units.

    Raises:
        ProblemsFound: Something is missing, cannot be read, or is outside what can be computed.
    """
    quantity = QUANTITIES[name]
    values, working = worked(quantity, texts)
    lines = [*_given(quantity, values), *working.lines]
    notes = (*given.unusual(quantity, values), *working.notes)
    return "\n".join([quantity.meaning, "", *_table(lines, si), "", *_closing(quantity, notes)]) + "\n"


def worked(quantity: Quantity, texts: given.Texts) -> tuple[Values, Working]:
    """The values given for a quantity, and its working.

    Raises:
        ProblemsFound: As `compute`.
    """
    values = given.read(quantity, texts)
    try:
        return values, quantity.work(values)
    except OutOfRange as error:
        sentence = str(error)[0].upper() + str(error)[1:] + "."
        hint = "Check the figure, its unit and where you read it."
        raise refused(quantity.name, sentence, hint) from None


def _given(quantity: Quantity, values: Values) -> Iterator[Line]:
    for wanted in quantity.inputs:
        if wanted.name not in values:
            continue
        name, value = wanted.name.replace("_", " "), values[wanted.name]
        if wanted.shows == "readings":
            yield from (Line(f"after {minute:g} min", level, "vacuum", "given") for minute, level in value)
        elif wanted.shows == "date":
            yield Line(name, _day(value), "word", "given")
        else:
            yield Line(name, value, wanted.shows, "given")


def _day(number: int) -> str:
    return datetime.date.fromordinal(number).isoformat()


def _table(lines: list[Line], si: bool) -> Iterator[str]:
    texts = [shown(line.value, line.shows, si) for line in lines]
    names, amounts = max(len(line.name) for line in lines), max(map(len, texts))
    for line, text in zip(lines, texts, strict=True):
        yield f"  {line.name:<{names}} = {text:<{amounts}}   {line.how}"


def _closing(quantity: Quantity, notes: tuple[str, ...]) -> Iterator[str]:
    for note in (*notes, *(f"Caution: {CAUTIONS[key]}" for key in quantity.cautions)):
        yield from textwrap.wrap(note, WIDTH)
    yield DEFERRAL
