"""What passed, as a page tells of it: a row a rule, and behind a fold what each rests on, every fact told once."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import NamedTuple

from checker.findings.finding import UNSTATED, Evidence, Finding, Working
from checker.ir.tree import Citation
from checker.reading.job import Job
from checker.reporting import words


class Row(NamedTuple):
    """A rule that passed, on all of its items: where, each item with what was read and its limit, and how it is known."""

    number: int
    title: str
    station: str
    readings: list[tuple[str, str, str]]
    section: str
    known: str
    near: bool
    practice: bool
    findings: list[Finding]


class Fact(NamedTuple):
    """A recorded fact that findings rest on, with the number by which they refer to it, and the part of the job it is in."""

    number: int
    within: str
    name: str
    evidence: Evidence


def rows(found: Iterable[Finding], job: Job, photographed: Collection[str]) -> list[Row]:
    """A row a rule, by station, core first.

    Args:
        photographed: The ids of findings that a photograph stands at.
    """
    by_rule: dict[str, list[Finding]] = {}
    for finding in found:
        by_rule.setdefault(finding.rule, []).append(finding)
    ordered = sorted(by_rule.values(), key=lambda findings: (findings[0].station, findings[0].by_weight))
    return [_row(number, findings, job, photographed) for number, findings in enumerate(ordered, 1)]


def _row(number: int, findings: list[Finding], job: Job, photographed: Collection[str]) -> Row:
    first = findings[0]
    known = dict.fromkeys(how_known(one, job, photographed) for one in findings)
    near = any(finding.near for finding in findings)
    return Row(
        number,
        first.title,
        job.vocabulary.stations[first.station].heading,
        list(_readings(findings)),
        words.cited(first.citations),
        ", ".join(known),
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


def reading(working: Working) -> tuple[str, str]:
    """What was read, and the limit it is held against with who set it where a layer did."""
    values, signs = working.values, [words.SIGNS.get(sign, sign) for sign in working.operators]
    if len(values) == 3:  # a range: what was read stands in the middle
        read, limit = values[1], f"{values[0]} {signs[0]} … {signs[1]} {values[2]}"
    else:
        read, limit = values[0], f"{signs[0]} {values[-1]}"
    unsure = f" {working.uncertainty.removesuffix(' (k = 2)')}" if working.uncertainty else ""
    return read + unsure, limit + words.from_layers(working.limits)


def how_known(finding: Finding, job: Job, photographed: Collection[str]) -> str:
    """How the facts of a finding are known, by the best of them: photographed, measured, from a sheet or the manual, stated."""
    if finding.finding_id in photographed:
        return "photographed"
    leaves = [job.vocabulary.leaf(one.fact) for one in finding.evidence]
    if any(leaf and leaf.measured for leaf in leaves):
        return "measured, accuracy unstated" if any(n.startswith(UNSTATED) for n in finding.notes) else "measured"
    if any(one.origin for one in finding.evidence):
        return "sheet or profile"
    if any(job.vocabulary.holds(one.fact, "manual") for one in finding.evidence):
        return "manual"
    return "stated"


def facts(found: Iterable[Finding]) -> dict[str, Fact]:
    """Every fact that findings rest on, once, in the order of the names of the parts that they are in."""
    told = {one.fact: one for finding in found for one in finding.evidence}
    parts = {path: path.rpartition(".")[::2] for path in told}
    ordered = sorted(told, key=lambda path: parts[path])
    return {path: Fact(number, *parts[path], told[path]) for number, path in enumerate(ordered, 1)}


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
