"""What `amend` asks for a row of a table, or for a list of values."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from checker.commands.prompts import Asking, Option, refuse
from checker.commands.rules.amend_ground import Change

if TYPE_CHECKING:
    from checker.authoring.editing.amend import Amendable, Ground
    from checker.authoring.editing.amend_values import Several
    from checker.authoring.editing.layer_context import Layers

GOING = {word: word for word in ("stricter", "looser", "different")}


def value_changed(
    ask: Asking, layers: Layers, at: Amendable, of: Several, row: str | None, value: str | None, direction: str | None
) -> Callable[[Ground], Change]:
    """A row of a table with another value, or a list of values written anew."""
    from checker.authoring.editing import amend_values as values

    if not of.now.rows:
        new = ask.text(f"{of.limit.title}. All values, with commas between them?", Option("--to", value),
                       lambda text: ", ".join(_read(lambda: values.read_values(of, text))))  # fmt: skip
        which = _direction(ask, at, direction)
        return lambda ground: Change("amend", of.name, values.list_set(layers, of, new.split(", "), which, ground))
    rows = {said.rpartition(": ")[0]: said for said in of.rows}
    said = ask.choice("Which row?", rows, Option("--row", row))
    cell = ask.text(f"The row says {said}. The new value? (none: there is none)", Option("--to", value),
                    lambda text: _read(lambda: values.read_cell(of, said, text)))  # fmt: skip
    which = _direction(ask, at, direction)
    return lambda ground: Change("amend", of.name, values.row_set(layers, of, said, cell, which, ground))


def _read(read: Callable[[], Any]) -> Any:
    """What a value is read as; one that cannot be read is asked for again."""
    from checker.rulesets.limits import LimitError

    try:
        return read()
    except LimitError as error:
        refuse(error.what, error.hint)


def _direction(ask: Asking, at: Amendable, direction: str | None) -> str:
    """Which way the change goes; who may only ask more is not asked."""
    if not at.may_change:
        return "stricter"
    return ask.choice("Does it ask", GOING, Option("--direction", direction))
