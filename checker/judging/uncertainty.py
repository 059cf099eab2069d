"""How sure a comparison of measured values is: standard and expanded uncertainty, probability of conformity.

Each reading is moved by its standard uncertainty and the changes of the margin are combined root-sum-square (JCGM 100,
5.1.2). Readings that are averaged also bring their scatter, the standard deviation of the mean (JCGM 100, 4.2.3).
Readings of one instrument may all be off the same way, so the larger of moving them together and moving them
independently is taken. The expanded uncertainty is k = 2. The probability of conformity is that of a normal
distribution about the reading (JCGM 106, 7).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import Any, NamedTuple

from checker.ir import tree
from checker.ir.kleene import Scope
from checker.ir.references import facts_read, parts_that_read
from checker.judging.values import evaluate
from checker.trade.sums import deviation, total

COVERAGE = 2.0


class Accuracy(NamedTuple):
    """The accuracy of one reading: half-width in base units, taken as rectangular, and the instrument it came from."""

    half_width: float
    instrument: str

    @property
    def standard(self) -> float:
        """Standard uncertainty of a rectangular distribution, a / √3 (JCGM 100, 4.3.7)."""
        return self.half_width / math.sqrt(3)


class Margin(NamedTuple):
    """How far inside (positive) or outside its limits a comparison is, with the sides' distances, in base units.

    `standard` is the standard uncertainty of the margin, None where an accuracy is unstated, or reaches beyond what a
    function or table knows.
    """

    amount: float
    sides: tuple[float, ...]
    standard: float | None
    unstated: tuple[str, ...]

    @property
    def expanded(self) -> float | None:
        return None if self.standard is None else COVERAGE * self.standard

    @property
    def probability(self) -> float | None:
        return None if self.standard is None else probability_of_conformity(self.sides, self.standard)


def normal(z: float) -> float:
    """The standard normal distribution function."""
    return 0.5 * math.erfc(-z / math.sqrt(2))


def probability_of_conformity(sides: Sequence[float], standard: float) -> float:
    """The chance that the true value is inside, from the distances to one limit or to both (JCGM 106, 7.2 to 7.4)."""
    if standard == 0:
        return 1.0 if min(sides) >= 0 else 0.0
    return total(normal(side / standard) for side in sides) - (len(sides) - 1)


def combined(changes: Sequence[tuple[str, float]]) -> float:
    """Root-sum-square of changes, each with its instrument; the larger of moving an instrument's readings together or apart."""
    apart = math.sqrt(total(change**2 for _, change in changes))
    by_instrument: dict[str, float] = {}
    for instrument, change in changes:
        by_instrument[instrument] = by_instrument.get(instrument, 0.0) + change
    return max(apart, math.sqrt(total(change**2 for change in by_instrument.values())))


AccuracyOf = Callable[[str], "Accuracy | bool | None"]


def margin(node: tree.Compare, scope: Scope, accuracy: AccuracyOf) -> Margin | None:
    """The margin of a comparison of known amounts, and how sure it is.

    Args:
        accuracy: For a full path: its accuracy, None where it is measured and its accuracy unstated, False where it is
            not a measured fact.

    Returns:
        None where the operands are not known amounts or the comparison has no side.
    """
    sides = _sides(node, scope)
    if sides is None:
        return None
    stated: dict[str, Accuracy] = {}
    unstated: list[str] = []
    for path in sorted(facts_read(node, scope)):
        found = accuracy(path)
        if isinstance(found, Accuracy):
            stated[path] = found
        elif found is None:
            unstated.append(path)
    if not stated and not unstated:
        return Margin(min(sides), sides, 0.0, ())
    standard = None if unstated else _standard(node, scope, stated)
    return Margin(min(sides), sides, standard, tuple(unstated))


def _standard(node: tree.Compare, scope: Scope, stated: dict[str, Accuracy]) -> float | None:
    """The standard uncertainty of the margin: of the less certain side, where there are two."""
    steps = [(accuracy.instrument, {path: accuracy.standard}) for path, accuracy in stated.items()]
    steps += [
        (f"scatter {at}", dict.fromkeys(paths, scatter)) for at, (paths, scatter) in enumerate(_scatters(node, scope))
    ]
    moved: list[tuple[str, tuple[float, ...]]] = []
    for instrument, step in steps:
        up, down = (_sides(node, scope.moving({path: sign * by for path, by in step.items()})) for sign in (1, -1))
        if up is None or down is None:
            return None
        moved.append((instrument, tuple((a - b) / 2 for a, b in zip(up, down, strict=True))))
    return max(combined([(name, changes[side]) for name, changes in moved]) for side in range(len(node.operators)))


def _scatters(node: Any, scope: Scope) -> Iterator[tuple[list[str], float]]:
    """The readings of each average in a node, and the standard deviation of their mean."""
    for part in parts_that_read(node):
        if isinstance(part, tree.Named):
            yield from _scatters(scope.where[part.name], scope)
        elif isinstance(part, tree.Fold) and part.name == "average":
            base = scope.path(part.items)
            paths = [f"{base}.{index}.{part.field}" for index in range(len(scope.facts.items(base) or ()))]
            values = [value for path in paths if isinstance(value := scope.facts.value(path), float)]
            if len(values) > 1:
                yield paths, deviation(values) / math.sqrt(len(values))


def _sides(node: tree.Compare, scope: Scope) -> tuple[float, ...] | None:
    values = [evaluate(operand, scope) for operand in node.operands]
    if not all(isinstance(value, int | float) and not isinstance(value, bool) for value in values):
        return None
    if any(op in ("==", "!=") for op in node.operators):
        return None
    numbers = [float(value) for value in values]  # type: ignore[arg-type]
    return tuple(
        numbers[i + 1] - numbers[i] if op in ("<", "<=") else numbers[i] - numbers[i + 1]
        for i, op in enumerate(node.operators)
    )
