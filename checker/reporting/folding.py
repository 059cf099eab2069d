"""Open questions folded for a reader: what one manual answers is one line, and so is practice that nobody recorded.

Nothing is left out and nothing is counted otherwise: a line holds its findings, and the reports in other forms list each.
Questions of life safety are never folded.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import NamedTuple

from checker.findings.finding import Finding, Need

MANUAL = "The manufacturers' instructions answer this"
PRACTICE = "Good practice that is not recorded"
SHARED = "One answer settles this"


class OpenLine(NamedTuple):
    """Open findings that stand on one line: why they stand together (empty: one by itself), and all that they need."""

    why: str
    findings: tuple[Finding, ...]

    @property
    def needs(self) -> tuple[Need, ...]:
        """What to record for them, each fact once."""
        return tuple({need.fact: need for finding in self.findings for need in finding.needs}.values())


def folded(findings: Iterable[Finding]) -> list[OpenLine]:
    """The lines of findings that are open because something is not recorded, in the order of their first findings."""
    found: dict[object, list[Finding]] = {}
    for finding in findings:
        found.setdefault(_together(finding), []).append(finding)
    return [OpenLine(_why(key) if len(same) > 1 else "", tuple(same)) for key, same in found.items()]


def _together(finding: Finding) -> object:
    """What findings have in common that are told on one line."""
    facts = frozenset(need.fact for need in finding.needs)
    if not facts or finding.life_safety or finding.reason != "not_recorded":
        return finding.finding_id
    if all(need.by_manual for need in finding.needs):
        return MANUAL
    return PRACTICE if finding.obligation == "should" else facts


def _why(key: object) -> str:
    return key if isinstance(key, str) else SHARED


class Waiting(NamedTuple):
    """A fact that is not recorded, and how many requirements wait for it."""

    need: Need
    requirements: int


def waiting(findings: list[Finding]) -> list[Waiting]:
    """What open findings need, each fact once, in the order in which the facts can be seen on the visit."""
    needs = [need for finding in findings for need in finding.needs]
    counted = Counter(need.fact for need in needs)
    found = [Waiting(need, counted[need.fact]) for need in {need.fact: need for need in needs}.values()]
    return sorted(found, key=lambda one: one.need.stage)
