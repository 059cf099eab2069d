"""What passed, as a page tells of it: a row a rule, and behind a fold what each rests on, every fact told once."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from checker.findings.finding import Evidence, Finding, Working
from checker.findings.report import Report
from checker.ir.tree import Citation
from checker.reporting import words


class Row(NamedTuple):
    """A rule that passed, on all of its items: where, each item with what was read and its limit, the section
    and those that say the same, and how it is known."""

    number: int
    title: str
    station: str
    readings: list[tuple[str, str, str]]
    section: str
    parallel: str
    known: str
    near: bool
    practice: bool
    findings: list[Finding]

    @property
    def bare(self) -> bool:
        """Whether it is practice that no dated book asks for, so that its section says no more than that."""
        return self.practice and not any(one.edition for one in self.findings[0].citations)


class Fact(NamedTuple):
    """A recorded fact that findings rest on, with the number by which they refer to it, and the part of the job it is in."""

    number: int
    within: str
    evidence: Evidence


def rows(report: Report) -> list[Row]:
    """A row a rule, by station, core first."""
    by_rule: dict[str, list[Finding]] = {}
    for finding in report.passed:
        by_rule.setdefault(finding.rule, []).append(finding)
    ordered = sorted(by_rule.values(), key=lambda findings: (findings[0].station, findings[0].by_weight))
    return [_row(number, findings, report) for number, findings in enumerate(ordered, 1)]


def _row(number: int, findings: list[Finding], report: Report) -> Row:
    first = findings[0]
    known = dict.fromkeys(report.known.words(one) for one in findings)
    near = any(finding.near for finding in findings)
    parallel = [one for one in first.published if one.document != first.citations[0].document]
    return Row(
        number,
        first.title,
        report.stations[first.station].heading,
        list(_readings(findings)),
        words.cited(first.citations[:1], first.published),
        words.cited(first.citations[1:], parallel),
        " / ".join(known),
        near,
        first.practice,
        findings,
    )


def _readings(findings: list[Finding]) -> Iterable[tuple[str, str, str]]:
    """Item, what was read and its limit; the items that have no amount on one line."""
    bare = []
    for finding in findings:
        told = dict.fromkeys(reading(one) for one in finding.workings if words.in_amounts(one))
        yield from ((finding.item, *one) for one in told)
        if not told and finding.item:
            bare.append(finding.item)
    if bare:
        yield "; ".join(bare), "", ""


def reading(working: Working, layers: bool = True) -> tuple[str, str]:
    """What was read, and the limit it is held against with who set it where a layer did.

    Args:
        layers: Whether to say who set it; not where the sections beside it do.
    """
    values, signs = working.values, [words.SIGNS.get(sign, sign) for sign in working.operators]
    if len(values) == 3:  # a range: what was read stands in the middle
        read, limit = values[1], f"{values[0]} {signs[0]} … {signs[1]} {values[2]}"
    else:
        read, limit = values[0], f"{signs[0]} {values[-1]}"
    unsure = f" {working.uncertainty.removesuffix(' (k = 2)')}" if working.uncertainty else ""
    return read + unsure, limit + (words.from_layers(working.limits) if layers else "")


def facts(found: Iterable[Finding]) -> dict[str, Fact]:
    """Every fact that findings rest on, once, in the order of the names of the parts that they are in."""
    told = {one.fact: one for finding in found for one in finding.evidence}
    parts = {path: path.rpartition(".")[::2] for path in told}
    ordered = sorted(told, key=lambda path: parts[path])
    return {path: Fact(number, parts[path][0], told[path]) for number, path in enumerate(ordered, 1)}


def sections(found: Iterable[Finding]) -> dict[str, list[str]]:
    """The sections that are not checked in the book, by how sure they are."""
    cited: dict[Citation, None] = dict.fromkeys(one for finding in found for one in finding.citations)
    doubted: dict[str, dict[str, dict[str, None]]] = {}
    for one in cited:
        if said := words.doubted(one):
            of = f"{one.document} {one.edition}".strip()
            numbers = doubted.setdefault(said, {}).setdefault(of, {})
            numbers.update(dict.fromkeys(one.section.split(", ")))
    return {said: [f"{of}: {', '.join(numbers)}" for of, numbers in by.items()] for said, by in doubted.items()}
