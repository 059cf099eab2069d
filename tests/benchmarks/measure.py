"""Measuring: medians of five rounds, the contenders taking turns in each, so that a busy machine is busy for all of them.

One process alone is measured by the time the processor spent on it, several and whole commands by the clock.
"""

from __future__ import annotations

import gc
import statistics
import time
from collections.abc import Callable, Iterable
from itertools import cycle, islice
from typing import Any, NamedTuple

ROUNDS = 5
SECONDS = 0.3  # about how long one contender runs in a round

Work = Callable[[Any], object]


class Contender(NamedTuple):
    """What is run, over and over, on things in turn."""

    name: str
    run: Work
    things: list[Any]


class _Running:
    """A contender going through its things, on from where it was: none is done again before all others were."""

    def __init__(self, one: Contender) -> None:
        self.name, self.run, self.things = one.name, one.run, cycle(one.things)
        self.took(min(len(one.things), 20))  # which warms up, and is not counted

    def took(self, times: int) -> float:
        """Seconds for the next so many things."""
        things = list(islice(self.things, times))
        run = self.run
        gc.collect()
        began = time.process_time()
        for thing in things:
            run(thing)
        return time.process_time() - began

    def enough(self, seconds: float) -> int:
        """How many things take about so long."""
        times, took = 1, 0.0
        while (took := self.took(times)) < seconds / 10:
            times *= 2
        return max(1, round(times * seconds / took))


def per_second(contenders: Iterable[Contender], seconds: float = SECONDS) -> dict[str, float]:
    """Things done in a second, the median of the rounds, by name."""
    running = [_Running(one) for one in contenders]
    each = [(one, one.enough(seconds)) for one in running]
    found: dict[str, list[float]] = {one.name: [] for one in running}
    for _ in range(ROUNDS):
        for one, times in each:
            found[one.name].append(times / one.took(times))
    return {name: statistics.median(rates) for name, rates in found.items()}


def median_seconds(run: Callable[[], object], rounds: int = ROUNDS) -> float:
    """How long one run takes by the clock, the median."""
    found = []
    for _ in range(rounds):
        began = time.perf_counter()
        run()
        found.append(time.perf_counter() - began)
    return statistics.median(found)


class Told:
    """Prints results, and remembers which goals were reached."""

    def __init__(self) -> None:
        self.goals: list[tuple[str, float, float, bool]] = []

    def heading(self, text: str) -> None:
        print(f"\n{text}\n{'-' * len(text)}", flush=True)

    def rates(self, rates: dict[str, float], first: str, unit: str) -> None:
        """A table of rates, beside how many times each the first one is."""
        wide = max(map(len, rates))
        for name, rate in rates.items():
            print(f"  {name:{wide}}  {rate:>12,.0f} {unit}/s   {rates[first] / rate:>7.2f}", flush=True)

    def goal(self, what: str, found: float, wanted: float, at_most: bool = False) -> None:
        reached = found <= wanted if at_most else found >= wanted
        self.goals.append((what, found, wanted, reached))
        sign = "at most" if at_most else "at least"
        print(f"  {'reached' if reached else 'MISSED '}  {what}: {found:,.2f} ({sign} {wanted:,g})", flush=True)

    def last(self) -> None:
        missed = [what for what, _, _, reached in self.goals if not reached]
        self.heading("Goals")
        print(f"  {len(self.goals) - len(missed)} of {len(self.goals)} reached.")
        for what in missed:
            print(f"  MISSED: {what}")
