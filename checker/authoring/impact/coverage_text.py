"""What an archive exercised of the rules, as text and as JSON: what it never exercised comes first."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator
from itertools import groupby
from typing import Any

from checker.authoring.impact.coverage import Coverage, Covered, Line, Version
from checker.findings.report import DEFERRAL
from checker.problems import json_out
from checker.reporting.paragraphs import counted, paragraphs

Showing = Callable[[Covered], Iterator[tuple[str, int]]]

COVERAGE_VERSION = 1
ABOUT = (
    "A rule is exercised where it passed or failed; a rule that was never exercised may be right all the same, but no job "
    "here shows it. A job in which a rule passes on one item and fails on another counts for both."
)


def as_text(coverage: Coverage, unusable: int, width: int = 80) -> str:
    """What was exercised, for a terminal of so many columns."""
    return paragraphs(_lines(coverage, unusable), width)


def _lines(coverage: Coverage, unusable: int) -> Iterator[tuple[str, int]]:
    rules = list(coverage.rules())
    yield _head(coverage, rules, unusable), 0
    never = [one for one in rules if not one.exercised]
    yield from _section("Never exercised", never, _never)
    yield from _section("Exercised", [one for one in rules if one.exercised], _exercised)
    not_met = coverage.places_not_met()
    if not_met:
        yield "", 0
        yield f"No job is in: {', '.join(not_met)}.", 0
    yield "", 0
    yield ABOUT, 0
    yield DEFERRAL, 0


def _head(coverage: Coverage, rules: list[Covered], unusable: int) -> str:
    exercised = sum(one.exercised for one in rules)
    partly = f" {coverage.not_judged} of them are not covered by every ruleset." if coverage.not_judged else ""
    bad = f" {unusable} could not be used." if unusable else ""
    return (
        f"{coverage.jobs} jobs checked on {coverage.on.isoformat()}: {exercised} of the {len(rules)} rules of their "
        f"places exercised.{partly}{bad}"
    )


def _section(heading: str, rules: list[Covered], show: Showing) -> Iterator[tuple[str, int]]:
    if not rules:
        return
    yield "", 0
    yield f"{heading} ({len(rules)})", 0
    for ruleset, ones in groupby(rules, lambda one: one.ruleset):
        yield f"{ruleset}:", 2
        for one in ones:
            yield from show(one)


def _never(covered: Covered) -> Iterator[tuple[str, int]]:
    why = f"left open in {counted(covered.open, 'job')}" if covered.applied else "applied to none"
    yield f"{covered.rule}: {covered.title}; {why}", 4


def _exercised(covered: Covered) -> Iterator[tuple[str, int]]:
    applied = f"applied to {counted(covered.applied, 'job')}"
    counts = f"{applied}, passed {covered.passed}, failed {covered.failed}, left open {covered.open}"
    yield f"{covered.rule}: {counts}", 4
    for line in covered.lines:
        if not line.decided:
            yield f"line never decided: {line.words}", 8
        elif covered.failed and not line.broken:
            yield f"line never broken: {line.words}", 8
        yield from ((f"way never met: {branch.words}", 8) for branch in line.branches if not branch.met)
    if covered.unused:
        yield f"not used: {', '.join(map(_version, covered.unused))}", 8


def _version(version: Version) -> str:
    """An edition and, where it is not the first, its period."""
    since = (
        f"from {_day(version.starts)}" if version.starts > 1 else "" if version.edition else "before its first change"
    )
    return " ".join(filter(None, (version.edition, since)))


def _day(day: int) -> str:
    return datetime.date.fromordinal(day).isoformat()


# --- JSON ---


def as_json(coverage: Coverage, unusable: int) -> str:
    """One JSON document; the rules in the order of the text."""
    rules = sorted(coverage.rules(), key=lambda one: one.exercised)
    document = {
        "coverage_version": COVERAGE_VERSION,
        "deferral": DEFERRAL,
        "on": coverage.on.isoformat(),
        "jobs": coverage.jobs,
        "not_judged": coverage.not_judged,
        "unusable": unusable,
        "rules": [_rule(one) for one in rules],
        "places_not_met": coverage.places_not_met(),
    }
    return json_out.document(document)


def _rule(covered: Covered) -> dict[str, Any]:
    data = {name: value for name, value in covered._asdict().items() if name not in ("lines", "used", "unused")}
    return {
        **data,
        "exercised": covered.exercised,
        "lines": [_line(line) for line in covered.lines],
        "used": [_named(version) | {"jobs": jobs} for version, jobs in covered.used],
        "unused": [_named(version) for version in covered.unused],
    }


def _line(line: Line) -> dict[str, Any]:
    return {**line._asdict(), "branches": [branch._asdict() for branch in line.branches]}


def _named(version: Version) -> dict[str, Any]:
    """An edition and the first day of its period, null where that is the first."""
    return {"edition": version.edition or None, "from": _day(version.starts) if version.starts > 1 else None}
