"""What a cell says of a fact, as a job would write it."""

from __future__ import annotations

import datetime
import re
from typing import Any

from checker.importing.places import Fault, shortened
from checker.importing.table import MOST_LETTERS, Cell
from checker.reading import typed_input, typed_line, units
from checker.reading.fact_reader import LeafError, says_nothing
from checker.reading.fact_shapes import Leaf
from checker.reading.vocabulary import Vocabulary

WITHOUT_VALUE = re.compile(r"(not[ _]known|none)\s*(?::\s*(.*))?", re.IGNORECASE | re.DOTALL)
NUMBER = re.compile(typed_input.NUMBER)
AMOUNT = re.compile(r"(?:[-+±]|\+/-)?\s*[.,]?\d")
ERRORS = re.compile(r"#(?:N/A|REF!|VALUE!|DIV/0!|NAME\?|NULL!|NUM!|SPILL!|CALC!|FIELD!|GETTING_DATA)")


def values_of(vocabulary: Vocabulary, leaf: Leaf, cell: Cell, unit: str = "", separator: str = ",") -> dict[str, Any]:
    """A filled cell as it stands in a job, by the last name of its fact: an amount may be written with others of its group.

    Args:
        unit: The unit of a number without one; the fact's own where nothing is said.
        separator: What stands between cells; where it is a semicolon, a comma inside a number may mean two things.

    Raises:
        Fault: The fact cannot be that.
    """
    if isinstance(cell, Fault):
        raise cell
    own = typed_input.name_of(leaf.path)
    if isinstance(cell, datetime.date):
        return {own: _day(leaf, cell)}
    if len(cell) > MOST_LETTERS:
        raise Fault(f"{leaf.title}: the text is longer than {MOST_LETTERS:,} characters.", "Shorten it.")
    if ERRORS.fullmatch(cell):
        raise Fault(f"{leaf.title}: the cell shows the error {cell}.", "Fix the formula, or leave the cell empty.")
    if leaf.path == "job_id":
        return {own: cell}
    match = WITHOUT_VALUE.fullmatch(cell)
    if match and not _is_a_word(leaf, match):
        return {own: _without_value(leaf, match[1].casefold().replace(" ", "_"), match[2] or "")}
    if says_nothing(cell):
        what = f"{leaf.title}: '{shortened(cell)}' may mean several things."
        raise Fault(what, "Empty the cell, or write 'none: why' or 'not known: why'.")
    if typed_input.unknown_why(cell):
        return {own: {"not_known": cell}}
    if leaf.form == "quantity" and separator == ";":
        _refuse_comma(leaf, cell)
    try:
        return typed_line.values_of(vocabulary, leaf, cell, unit)
    except LeafError as error:
        if leaf.form == "quantity" and not AMOUNT.match(typed_input.unlabeled(leaf, cell)):
            example = f"10 {units.shown(leaf.unit)}".rstrip()
            what = f"{leaf.title}: '{shortened(cell)}' is not an amount."
            raise Fault(what, f"Write it as '{example}', or 'not known: why'.") from None
        hint = f"{error.hint.rstrip('.')}, or 'not known: why'." if leaf.form == "flag" else error.hint
        raise Fault(f"{leaf.title}: {error.what}", hint) from None


def _day(leaf: Leaf, day: datetime.date) -> str:
    if leaf.form == "date":
        return day.isoformat()
    what = f"{leaf.title}: the cell holds a date ({day.isoformat()})."
    raise Fault(what, "Format the cell as text and type again what it should say.")


def _is_a_word(leaf: Leaf, match: re.Match[str]) -> bool:
    """Whether `none` alone is a value of this fact's own: a word of its list, or free text."""
    alone = match[2] is None and match[1].casefold() == "none"
    return alone and ("none" in leaf.possible or (leaf.form == "text" and not leaf.may_be_none))


def _without_value(leaf: Leaf, word: str, why: str) -> dict[str, str]:
    shown = word.replace("_", " ")
    if word == "none" and not leaf.may_be_none:
        raise Fault(f"{leaf.title}: this cannot be none.", "If it could not be found out, write 'not known: why'.")
    if not why.strip():
        raise Fault(f"{leaf.title}: '{shown}' needs its reason.", f"Write '{shown}: why'.")
    return {word: why.strip()}


def _refuse_comma(leaf: Leaf, text: str) -> None:
    """Refuse a cell whose comma may mean two things."""
    number = NUMBER.match(text)
    if number and "," in number[0]:
        what = f"{leaf.title}: the comma in '{shortened(text)}' may stand for the decimals or for thousands."
        raise Fault(what, "Write decimals after a point, and thousands without a comma.")
