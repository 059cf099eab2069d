"""Sums that come out the same in every language: from left to right, rounded after each number.

The `sum` of Python keeps what is rounded off since its version 3.12, so that one list could have two totals: there
0.1 ten times is 1.0, here and in JavaScript it is 0.9999999999999999.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence


def total(numbers: Iterable[float]) -> float:
    """The numbers one after the other, added to 0."""
    so_far: float = 0
    for number in numbers:
        so_far += number
    return so_far


def mean(numbers: Sequence[float]) -> float:
    """The total over how many there are; there is one at least."""
    return total(numbers) / len(numbers)


def deviation(numbers: Sequence[float]) -> float:
    """The standard deviation of a sample: the squares about the mean, over one fewer than there are. There are two at least."""
    middle = mean(numbers)
    return math.sqrt(total((number - middle) * (number - middle) for number in numbers) / (len(numbers) - 1))
