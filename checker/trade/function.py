"""What a function that a rule may call has to say of itself.

A trade function takes and returns plain numbers in the base unit of each kind (`units.txt`), words, or dates as day
numbers (`datetime.date.toordinal`). It opens no file, reads no clock and remembers nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple


class OutOfRange(ValueError):
    """A reading that the function cannot serve: outside its range, or not a thing it knows. Said in trade words."""


class Argument(NamedTuple):
    """One argument: its name, its kind, and how the result moves when it grows.

    `kind` is a kind of `units.txt`, or `word`, `flag` or `date`. `moves` is +1 (never falls), -1 (never rises) or 0
    (not declared). Only a declared direction lets a range of possible values pass through.
    """

    name: str
    kind: str
    moves: int = 0


class Function(NamedTuple):
    """A function as the rule language sees it.

    `compute` takes the arguments in order, then one value for each of `tables`: the limits of those names in the
    rulesets (a list of amounts in the base unit). `definition` says how another backend would build it: formula,
    table, curve, fold or sorted look-up. `version` changes whenever a result may change. `remark` may give a note on
    one result, such as that it was interpolated.
    """

    name: str
    arguments: tuple[Argument, ...]
    result: str
    compute: Callable[..., Any]
    definition: str
    source: str
    version: int = 1
    tables: tuple[str, ...] = ()
    remark: Callable[..., str | None] | None = None
