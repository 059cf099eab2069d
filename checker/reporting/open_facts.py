"""What is still to be recorded, fact by fact, the most decisive first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator
from typing import NamedTuple

from checker.findings.finding import Finding, Need
from checker.reading.fact_shapes import Station


class OpenFact(NamedTuple):
    """A fact that open findings wait for.

    `item` is the list item it belongs to, where the same question stands for another item too. `rank` orders the facts: life
    safety, then the weight of what waits, then how many findings it settles alone, then how many wait for it (`waiting`).
    """

    need: Need
    item: str
    life_safety: bool
    rank: tuple[int, int, int, int, int]
    waiting: int


def open_facts(findings: Iterable[Finding]) -> list[OpenFact]:
    """Each fact once, the most decisive first; of two alike, the one that is gone first."""
    waiting: dict[str, list[Finding]] = {}
    needs: dict[str, Need] = {}
    for finding in findings:
        for need in finding.needs:
            needs.setdefault(need.fact, need)
            waiting.setdefault(need.fact, []).append(finding)
    asked = Counter(need.ask or need.title for need in needs.values())
    found = [_open(need, waiting[fact], asked[need.ask or need.title] > 1) for fact, need in needs.items()]
    return sorted(found, key=lambda one: one.rank)


def _open(need: Need, waiting: list[Finding], twice: bool) -> OpenFact:
    life_safety = any(finding.life_safety for finding in waiting)
    alone = sum(len(finding.needs) == 1 for finding in waiting)
    weight = min(finding.by_weight for finding in waiting)
    item = next((finding.item for finding in waiting if finding.item), "") if twice else ""
    return OpenFact(need, item, life_safety, (not life_safety, weight, -alone, -len(waiting), need.stage), len(waiting))


def how_many(facts: Collection[OpenFact], findings: Iterable[Finding]) -> str:
    """How many facts open findings wait for; "up to" where one answer can settle what several were asked for."""
    return f"{'up to ' if any(len(finding.needs) > 1 for finding in findings) else ''}{len(facts)}"


def counted(facts: Iterable[OpenFact], stations: Iterable[Station]) -> Iterator[tuple[str, int]]:
    """The headings of the stations that some facts are asked at, in order, each with how many of them."""
    found = Counter(one.need.station for one in facts)
    return ((station.heading, found[station.place]) for station in stations if found[station.place])
