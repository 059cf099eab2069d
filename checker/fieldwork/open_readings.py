"""How a reading stands: what is to be known before it is taken, when it may be called good, and what is not to be closed yet.

Which facts are read on an instrument, and at which stage each can still be seen, says the job schema.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

from checker.findings.finding import Finding
from checker.findings.report import Report
from checker.ir.outcomes import PASS, VERIFY
from checker.reading.fact_shapes import pattern
from checker.reading.vocabulary import Vocabulary


def is_measured(path: str, vocabulary: Vocabulary) -> bool:
    """Whether a fact is read on an instrument, or is a row of such readings."""
    leaf, name = vocabulary.leaf(path), pattern(path)
    if leaf:
        return bool(leaf.measured)
    entry = vocabulary.lists.get(name)
    if entry is None or entry.keyed:
        return False
    return any(one.measured for one in vocabulary.leaves.values() if one.path.startswith(f"{name}."))


def facts_of(finding: Finding) -> set[str]:
    """The facts that a finding rests on or still needs."""
    return {need.fact for need in finding.needs} | {one.fact for one in finding.evidence}


def readings_of(finding: Finding, vocabulary: Vocabulary) -> set[str]:
    """The facts of a finding that are read on an instrument."""
    return {path for path in facts_of(finding) if is_measured(path, vocabulary)}


def good(report: Report, vocabulary: Vocabulary) -> list[Finding]:
    """The findings that passed and of whose readings no other rule is open: those readings may be called good."""
    waiting = _waiting(report, vocabulary)
    return [one for one in report.with_outcome(PASS) if not readings_of(one, vocabulary) & waiting.keys()]


def holding_back(passed: Collection[Finding], report: Report, vocabulary: Vocabulary) -> tuple[Finding, ...]:
    """The open findings for which the readings of some that passed are not called good yet."""
    waiting = _waiting(report, vocabulary)
    paths = set().union(*(readings_of(one, vocabulary) for one in passed)) if passed else set()
    found = {one.finding_id: one for path in sorted(paths & waiting.keys()) for one in waiting[path]}
    return tuple(found.values())


def _waiting(report: Report, vocabulary: Vocabulary) -> Mapping[str, list[Finding]]:
    """Each reading that open findings rest on, with those findings."""
    found: dict[str, list[Finding]] = {}
    for finding in report.with_outcome(VERIFY):
        for path in readings_of(finding, vocabulary):
            found.setdefault(path, []).append(finding)
    return found


def to_know_before(
    path: str,
    needed: Mapping[str, tuple[Finding, ...]],
    open_ones: Collection[str],
    stages: Mapping[str, int],
    vocabulary: Vocabulary,
) -> list[str]:
    """What is to be asked before a reading is: all else that can be known by then and that its rules still need.

    Args:
        needed: The unrecorded facts with the findings that they could settle.
        open_ones: Those among them that may still be asked.
        stages: The last stage at which each fact can be seen.
    """
    if not is_measured(path, vocabulary):
        return []
    own = stages[pattern(path)]
    others = {need.fact for finding in needed.get(path, ()) for need in finding.needs} & set(open_ones)
    return [one for one in others if not is_measured(one, vocabulary) and _by_then(one, own, stages, vocabulary)]


def _by_then(path: str, stage: int, stages: Mapping[str, int], vocabulary: Vocabulary) -> bool:
    """Whether a fact can be known by a stage: it is seen by then, or stands on a plate or paper. A day may lie ahead."""
    leaf, own = vocabulary.leaf(path), stages[pattern(path)]
    any_time = len(vocabulary.stages) - 1  # what stands on plates and papers
    return own <= stage or (own == any_time and not (leaf and leaf.form == "date"))


def still_open(report: Report, stage: int, stages: Mapping[str, int], vocabulary: Vocabulary) -> list[Finding]:
    """The open findings about what is read, or could be seen, at one stage of the visit and not after it."""

    def then(path: str) -> bool:
        return stages.get(pattern(path)) == stage

    return [
        finding
        for finding in report.with_outcome(VERIFY)
        if any(then(need.fact) for need in finding.needs) or any(map(then, readings_of(finding, vocabulary)))
    ]
