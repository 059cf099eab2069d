"""What a cell says of a fact, as a job would write it."""

from __future__ import annotations

import datetime
import re
from typing import Any

from checker import units
from checker.facts import Leaf
from checker.readings import LeafError, read_leaf
from checker.table_import.places import Fault, shortened
from checker.table_import.sheet import MOST_LETTERS, Cell

WITHOUT_VALUE = re.compile(r"(not[ _]known|none)\s*(?::\s*(.*))?", re.IGNORECASE | re.DOTALL)
BARE = re.compile(r"(?=[-+]?[.\d])[-+]?(?:\d[\d,]*)?(?:\.\d+)?(?:[eE][-+]?\d+)?|(?:\d+[ -])?\d+/[1-9]\d*")
AMOUNT = re.compile(r"[-+]?[.,]?\d")
BETWEEN = re.compile(r"between (\S+) and (\S+)")
ERRORS = re.compile(r"#(?:N/A|REF!|VALUE!|DIV/0!|NAME\?|NULL!|NUM!|SPILL!|CALC!|FIELD!|GETTING_DATA)")
FLAGS = {"yes": True, "true": True, "no": False, "false": False}


def value_of(leaf: Leaf, cell: Cell, unit: str = "", separator: str = ",") -> Any:
    """A filled cell as it stands in a job.

    Args:
        unit: The unit of a number without one; the fact's own where nothing is said.
        separator: What stands between cells; where it is a semicolon, a comma inside a number may mean two things.

    Raises:
        Fault: The fact cannot be that.
    """
    if isinstance(cell, Fault):
        raise cell
    if isinstance(cell, datetime.date):
        return _day(leaf, cell)
    if len(cell) > MOST_LETTERS:
        raise Fault(f"{leaf.title}: the text is longer than {MOST_LETTERS:,} characters.", "Shorten it.")
    if ERRORS.fullmatch(cell):
        raise Fault(f"{leaf.title}: the cell shows the error {cell}.", "Mend the formula, or leave the cell empty.")
    if leaf.path == "job_id":
        return cell
    match = WITHOUT_VALUE.fullmatch(cell)
    if match and not _is_a_word(leaf, match):
        return _without_value(leaf, match[1].casefold().replace(" ", "_"), match[2] or "")
    value = _written(leaf, cell, unit, separator)
    try:
        read_leaf(leaf, value)
    except LeafError as error:
        raise Fault(f"{leaf.title}: {error.what}", error.mend) from None
    return value


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


def _written(leaf: Leaf, text: str, unit: str, separator: str) -> Any:
    if leaf.form == "quantity":
        return _quantity(leaf, text, unit, separator)
    if leaf.form == "flag":
        if text.casefold() not in FLAGS:
            raise Fault(
                f"{leaf.title}: yes or no is wanted, not '{shortened(text)}'.", "Write yes or no, or 'not known: why'."
            )
        return FLAGS[text.casefold()]
    if leaf.form == "choice":
        return _choice(leaf, text)
    if leaf.form in ("count", "constant"):
        return int(text) if re.fullmatch(r"[0-9]{1,9}", text) else text
    match = BETWEEN.fullmatch(text) if leaf.form == "date" else None
    return {"between": [match[1], match[2]]} if match else text


def _quantity(leaf: Leaf, text: str, unit: str, separator: str) -> str:
    """The amount with its unit, the number as it was typed."""
    number = BARE.match(text)
    if not AMOUNT.match(text):
        example = f"10 {units.shown(leaf.unit)}".rstrip()
        what = f"{leaf.title}: '{shortened(text)}' is not an amount."
        raise Fault(what, f"Write it as '{example}', or 'not known: why'.")
    if separator == ";" and number and "," in number[0]:
        what = f"{leaf.title}: the comma in '{shortened(text)}' may stand for the decimals or for thousands."
        raise Fault(what, "Write the decimals after a point, and thousands without a sign.")
    if not BARE.fullmatch(text):
        return text
    return f"{text} {unit or units.shown(leaf.unit)}".rstrip()


def _choice(leaf: Leaf, text: str) -> str:
    """The word of the list that is meant, blanks and capitals apart; the text itself where there is none such."""
    wanted = text.casefold().replace(" ", "_")
    found = [word for word in leaf.possible if word.casefold().replace(" ", "_") == wanted]
    return text if text in leaf.possible or len(found) != 1 else found[0]
