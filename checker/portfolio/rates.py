"""A share of a count with its interval, and no share where there is too little to tell one from."""

from __future__ import annotations

import math
from statistics import NormalDist
from typing import Any, NamedTuple

LEAST = 20  # a rate is not told of fewer than this: of 19, half of them, the interval is some 40 points wide
QUANTILE = NormalDist().inv_cdf(0.975)


def wilson(hits: int, of: int) -> tuple[float, float]:
    """The 95 % interval of a proportion, each end between 0 and 1; `of` is at least 1.

    Source: E. B. Wilson 1927; method 3 of R. G. Newcombe, Statistics in Medicine 17:857 (1998).
    """
    share, square = hits / of, QUANTILE**2
    middle = share + square / (2 * of)
    half = QUANTILE * math.sqrt(share * (1 - share) / of + square / (4 * of * of))
    low, high = ((middle - half) / (1 + square / of), (middle + half) / (1 + square / of))
    return 0.0 if hits == 0 else low, 1.0 if hits == of else high


class Rate(NamedTuple):
    """How many of how many, under a name."""

    name: str
    hits: int
    of: int

    @property
    def interval(self) -> tuple[float, float] | None:
        return wilson(self.hits, self.of) if self.of >= LEAST else None

    @property
    def words(self) -> str:
        counted = f"{self.hits} of {self.of}"
        if self.interval is None:
            return f"{counted}, too few for a rate"
        low, high = self.interval
        return f"{counted}, {100 * self.hits / self.of:.0f} % (95 % interval {100 * low:.0f} to {100 * high:.0f} %)"

    def data(self) -> dict[str, Any]:
        """As plain data: a rate of too few has none."""
        if self.interval is None:
            return {"name": self.name, "count": self.hits, "of": self.of, "rate": None, "interval": None}
        rate, ends = round(self.hits / self.of, 4), [round(end, 4) for end in self.interval]
        return {"name": self.name, "count": self.hits, "of": self.of, "rate": rate, "interval": ends}


class Tally:
    """Counts by name."""

    def __init__(self) -> None:
        self.counts: dict[str, tuple[int, int]] = {}

    def add(self, name: str, hit: bool) -> None:
        hits, of = self.counts.get(name, (0, 0))
        self.counts[name] = hits + hit, of + 1

    def rates(self) -> list[Rate]:
        """In the order of the names."""
        return [Rate(name, hits, of) for name, (hits, of) in sorted(self.counts.items())]
