"""What a function that a rule may call has to say of itself.

A trade function takes and returns plain numbers in the base unit of each kind (`units.txt`), words, or dates as day
numbers (`datetime.date.toordinal`). It opens no file, reads no clock and remembers nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any, NamedTuple, TypeVar


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


class Definition(NamedTuple):
    """How a reader in another language comes to the same result, for arguments that the function serves.

    `kind` tells how to read the rest:

    - `formula`: `says` is arithmetic on the arguments by name, with `+ - * / % **`, brackets, `min`, `max` and `abs`; a name with
      brackets behind it is another function of the trade, or a list in `data` (`factor[phase]`).
    - `table`: `data` holds rows, for each argument a word, a range `[low, high)` with null for an open end, or null for
      anything, then the value. The first row that fits counts.
    - `grid`: `data` has an axis for each argument and the cells; between cells the value goes straight along each side, and
      where a cell that is used is null there is no value, and `none` says so. A value `within` so much of a step is on it.
    - `look_up`: in the limit `data["table"]` the `first` or `last` entry, in order, that stands so to the argument, `within` so
      much; or whether there is `any`. Where there is no such entry, `none` says so; `nearest` in it is the one at that end.
    - `curve`: `data["file"]` in `checker/trade/data` holds the curves, `says` tells how to read them. `unknown` says that there
      is no curve for a refrigerant, `outside` that the pressure is on none.
    - `working_day`: the first day after the argument, Monday to Friday, that is not in the limit `data["table"]`; there is none
      in a year without an entry, and `unknown` says so.
    - `months_after`: so many whole months of the calendar after the first argument, or the month's last day where it has no
      such day; `outside` says that the years 1 to 9999 end there.
    - `gas`: `data["file"]` holds the coefficients of a real gas, `says` tells how to read them; `cold` and `high` say that a
      temperature or pressure is outside what they were fitted for.
    - `none`: there is no form of it as data. `says` is the working, in equations for a person to follow.

    `serves` holds, in the order in which they are looked at, conditions on the arguments and what is said where one does not
    hold. A condition is a comparison of formulas, or `name in rows` for a word that stands in the rows of the table. What is
    said is the message of `OutOfRange`, with formulas in braces and how to write their numbers, as Python writes them:
    `{elevation / 12:.0f}`.
    """

    kind: str
    says: str
    data: Any = None
    serves: tuple[tuple[str, str], ...] = ()


def formula(says: str, *serves: tuple[str, str], **data: Any) -> Definition:
    """Arithmetic on the arguments by name, and the lists that it names."""
    return Definition("formula", says, data or None, serves)


def table(says: str, rows: Iterable[Iterable[Any]], *serves: tuple[str, str]) -> Definition:
    """Rows of a cell for each argument and the value."""
    return Definition("table", says, tuple(tuple(row) for row in rows), serves)


def look_up(says: str, *serves: tuple[str, str], **data: Any) -> Definition:
    """A search in a sorted list of a ruleset."""
    return Definition("look_up", says, data, serves)


def in_words(says: str) -> Definition:
    """A working that has no form as data."""
    return Definition("none", says)


class Function(NamedTuple):
    """A function as the rule language sees it.

    `compute` takes the arguments in order, then one value for each of `tables`: the limits of those names in the
    rulesets (a list of amounts in the base unit). `definition` says how another reader would build it. `version` changes
    whenever a result may change. `remark` may give a note on one result, such as that it was interpolated.
    """

    name: str
    arguments: tuple[Argument, ...]
    result: str
    compute: Callable[..., Any]
    definition: Definition
    source: str
    version: int = 1
    tables: tuple[str, ...] = ()
    remark: Callable[..., str | None] | None = None


Compute = TypeVar("Compute", bound=Callable[..., Any])
DECLARED: dict[str, Function] = {}  # every function of the modules that were imported, by its name


def rule_function(
    result: str,
    kinds: Sequence[str],
    definition: Definition,
    source: str,
    tables: tuple[str, ...] = (),
    remark: Callable[..., str | None] | None = None,
    version: int = 1,
) -> Callable[[Compute], Compute]:
    """Declare the function below as one that a rule may call, under its own name and with its own arguments.

    Args:
        kinds: The kind of each argument, in order; `length +` where the result never falls when it grows, `length -` where it
            never rises.
        result, definition, source, tables, remark, version: As `Function` tells.
    """

    def declared(compute: Compute) -> Compute:
        name = compute.__name__
        assert name not in DECLARED, name
        arguments = tuple(
            Argument(argument, kind.rstrip(" +-"), {"+": 1, "-": -1}.get(kind[-1], 0))
            for argument, kind in zip(compute.__code__.co_varnames, kinds, strict=False)
        )
        DECLARED[name] = Function(name, arguments, result, compute, definition, source, version, tables, remark)
        return compute

    return declared
