"""The facts that a rule names: which are recorded and where, which are doubted, what is still to record."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

from checker.findings.finding import Evidence, Need
from checker.ir import tree
from checker.ir.kleene import Scope
from checker.ir.references import facts_read, parts_that_read, reads
from checker.judging.judge import Verdict
from checker.judging.lists import belongs
from checker.problems.document import is_position
from checker.problems.sanitize import low
from checker.reading import units
from checker.reading.fact_shapes import pattern
from checker.reading.job import Job


def evidence(paths: list[str], job: Job) -> tuple[Evidence, ...]:
    """The recorded facts among those that a rule names."""
    found = {}
    for path in paths:
        reading = job.readings.get(path)
        if reading:
            found[path] = Evidence(path, job.vocabulary.title(path), reading.written, reading.origin)
    return tuple(found.values())


def inherited(paths: list[str], job: Job) -> Iterator[str]:
    """Which of the facts that a rule names stand elsewhere than in the job, by where they stand."""
    found: dict[str, list[str]] = {}
    for path in paths:
        reading = job.readings.get(path)
        if reading and reading.origin:
            found.setdefault(reading.origin, []).append(low(job.vocabulary.title(path)))
    yield from (f"inherited {origin}: {', '.join(titles)}" for origin, titles in found.items())


def doubted(paths: list[str], doubts: Mapping[str, str]) -> Iterator[str]:
    """Why some of the readings that a rule names may not be right."""
    yield from (f"Look at the readings first: {doubts[path]}." for path in paths if path in doubts)


def facts_named(rule: tree.BoundRule, scope: Scope) -> list[str]:
    """Every fact a rule names, recorded or not, sorted."""
    return sorted({path for node in rule.conditions for path in facts_read(node, scope)})


def rests_on(node: Any, scope: Scope) -> Iterator[str]:
    """The facts that a node reads; of a narrowed list only those of the items that it is narrowed to."""
    for part in parts_that_read(node):
        if isinstance(part, tree.Named):
            yield from rests_on(scope.where[part.name], scope)
        elif isinstance(part, tree.Fold) and part.where:
            base = scope.path(part.items)
            items = (f"{base}.{index}" for index in range(len(scope.facts.items(base) or ())))
            within = tuple(f"{item}." for item in items if belongs(part, scope, item) is not False)
            yield from (
                fact for fact in reads(part, scope) if fact.startswith(within) or not fact.startswith(f"{base}.")
            )
        else:
            yield from reads(part, scope)


def needs(verdict: Verdict, job: Job) -> tuple[Need, ...]:
    """What to record, with the question in trade words."""
    details = {cause.fact: cause.detail for cause in sorted(verdict.causes) if cause.detail}
    found = []
    for path in verdict.needs:
        leaf = job.vocabulary.leaf(path)
        entry = leaf or job.vocabulary.lists.get(pattern(path))
        detail = details.get(path, "") or (
            f"noted as not known: {job.not_known[path]}" if path in job.not_known else ""
        )
        title, ask, known = (entry.title, entry.ask, leaf.known if leaf else "") if entry else (path, "", "")
        stage = leaf.stage if leaf else len(job.vocabulary.stages) - 1
        by_manual, station = job.vocabulary.holds(path, "manual"), job.vocabulary.station(path).place
        found.append(Need(path, title, ask, detail, known, by_manual, stage, station))
    return tuple(found)


def station(paths: list[str], job: Job) -> int:
    """The place of the station that most of some facts have, the later one of two.

    What was replaced is asked of almost every rule and is seen everywhere: it does not count where there is more.
    """
    section = f"{job.at('scope')}."
    telling = [path for path in paths if not path.startswith(section)] or paths
    counted = Counter(job.vocabulary.station(path).place for path in telling)
    return max(counted, key=lambda place: (counted[place], place), default=0)


def canonical(paths: list[str], job: Job, doubts: Mapping[str, str]) -> Mapping[str, str]:
    """Facts as evidence is bound by them: the same whatever layout, order of items or unit the job used.

    A reading that is doubted is other evidence than the same reading that is not.
    """
    found = {}
    for path in paths:
        value = job.value(path)
        told = (
            "unrecorded" if value is None else repr(units.settled(value)) if isinstance(value, float) else repr(value)
        )
        found[_by_keys(path, job)] = f"doubted: {told}" if path in doubts else told
    return found


def _by_keys(path: str, job: Job) -> str:
    """A path with the keys of list items in the place of their positions."""
    parts = path.split(".")
    named = [
        job.lists[".".join(parts[:i])][int(part)] if is_position(part) and ".".join(parts[:i]) in job.lists else part
        for i, part in enumerate(parts)
    ]
    return "/".join(named)
