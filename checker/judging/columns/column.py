"""A fact, a value or a list at many places at once, in three states: present, a known none, or not known.

An amount is in the base unit of its kind, a day is its day number, yes and no are 1 and 0, and a word is a number that
`Words` gives it. What is not a number stands as NaN: it is a known none where `none` says so, lies between two values where
`between` says so, and is not known anywhere else.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple, Protocol

import numpy as np
import numpy.typing as npt

from checker.ir import tree

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Numbers = npt.NDArray[np.int64]


class Column(NamedTuple):
    """One value a row. `none` and `between` are None where no row is so."""

    values: Floats
    none: Flags | None = None
    between: Flags | None = None

    @property
    def known(self) -> Flags:
        """Where there is a value, or a known none."""
        return ~np.isnan(self.values) | self.is_none

    @property
    def missing(self) -> Flags:
        """Where nothing is known of it, not even that it lies between two values."""
        return ~(self.known | self.lies_between)

    @property
    def is_none(self) -> Flags:
        """Where it is a known none."""
        return np.zeros(len(self.values), bool) if self.none is None else self.none

    @property
    def lies_between(self) -> Flags:
        """Where it is known to lie between two values."""
        return np.zeros(len(self.values), bool) if self.between is None else self.between

    def at(self, rows: Numbers) -> Column:
        """The column at some rows."""
        return Column(*(None if part is None else part[rows] for part in self))  # type: ignore[arg-type]


class Words:
    """A number for each word that stands in a job or in a rule."""

    def __init__(self) -> None:
        self._numbers: dict[str, float] = {}
        self.words: list[str] = []

    def number(self, word: str) -> float:
        """The number of a word."""
        found = self._numbers.get(word)
        if found is None:
            found = self._numbers[word] = float(len(self.words))
            self.words.append(word)
        return found


class Items(NamedTuple):
    """A list at many places: whether it is recorded at each, and its items.

    `owner` is the row of the place that an item belongs to; items stand in the order of their owners and of the list.
    """

    recorded: Flags
    owner: Numbers
    fields: Rows


class Rows(Protocol):
    """Places of jobs, a row each: jobs, or items of a list."""

    words: Words

    def __len__(self) -> int: ...

    def fact(self, fact: tree.Fact) -> Column:
        """What is recorded of a fact at each place."""

    def items(self, fact: tree.Fact) -> Items:
        """A list at each place."""

    def taken(self, rows: Numbers) -> Rows:
        """Some of the places."""


def everywhere(value: float, count: int) -> Floats:
    """The same value at each place."""
    return np.full(count, value)


def either(one: Flags | None, other: Flags | None) -> Flags | None:
    """Where one or the other holds; None stands for nowhere."""
    if one is None or other is None:
        return other if one is None else one
    return one | other


def alike(keys: Sequence[npt.NDArray[Any]], rows: Numbers) -> Iterator[Numbers]:
    """Rows in groups of those that have the same keys, in their order.

    Args:
        keys: One value a row each; none of them is a NaN.
    """
    if not len(rows):
        return
    if not keys:
        yield rows
        return
    _, which = np.unique(np.column_stack([key[rows] for key in keys]), axis=0, return_inverse=True)
    which = which.reshape(-1)
    order = np.argsort(which, kind="stable")
    yield from np.split(rows[order], np.flatnonzero(np.diff(which[order])) + 1)
