"""The packed jobs whose outcomes change between two versions of a ruleset: found over columns, without their words."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

import numpy as np

from checker.engine.checker import Checker
from checker.engine.column_rows import Asked, ColumnRun, Counts, Said
from checker.engine.job_columns import Packed
from checker.judging.columns.column import Words
from checker.judging.columns.outcomes import NONE_APPLY
from checker.judging.instruments import GIVEN_FOR
from checker.reading.archive import Archive
from checker.reading.packed_jobs import DOCUMENT, JOBS, NAME, tables_of

ACCURACIES = GIVEN_FOR.format("")  # how the names of limits begin that give the accuracy of a kind of reading


class Found(NamedTuple):
    """A job whose outcomes change, or that cannot be judged: its file, and the bytes that it was read from."""

    name: str
    content: bytes


class Part(NamedTuple):
    """What came of a part: how many jobs it has, and those to look at."""

    jobs: int
    found: list[Found]


def changed(archive: Archive, before: Checker, after: Checker, on: datetime.date) -> Iterator[Part]:
    """Go through an archive part by part.

    Raises:
        ProblemsFound: A part cannot be read.
    """
    alike = _alike(before, after)
    for part in archive.parts:
        tables = tables_of(archive, part)
        rows = _rows(tables, before, after, on, alike)
        names, contents = (tables[JOBS].column(name) for name in (NAME, DOCUMENT))
        yield Part(part.jobs, [Found(names[row].as_py(), contents[row].as_py()) for row in rows])


def _rows(tables: Any, before: Checker, after: Checker, on: datetime.date, alike: bool) -> list[int]:
    """The rows of the jobs whose outcomes differ, and of those that cannot be judged.

    A job that is asked a rule with the same meaning on both sides is told the same by it, where both are `alike`: such rules are
    left out.
    """
    packed = Packed(tables, Words())
    runs = [ColumnRun(checker, packed, on, Counts()) for checker in (before, after)]
    asked = [run.asked() for run in runs]
    alone = np.union1d(asked[0][1], asked[1][1])
    by_meaning = [_by_meaning(rules.values()) if alike else {} for rules, _ in asked]
    said: list[set[tuple[int, str, str, int]]] = [set(), set()]
    for side, (run, (rules, _)) in enumerate(zip(runs, asked, strict=True)):
        for one in rules.values():
            same = by_meaning[1 - side].get(_meaning(one), np.zeros(0, np.int64))
            for told in run.judged(one, np.setdiff1d(one.jobs, np.union1d(alone, same))):
                said[side].update(_outcomes(told))
        for told in run.walked(alone):
            said[side].update(_outcomes(told))
    return sorted({*runs[0].unusable, *runs[1].unusable, *(one[0] for one in said[0] ^ said[1])})


def _alike(before: Checker, after: Checker) -> bool:
    """Whether both sides give facts the same ranges and readings the same accuracies, which no rule's meaning tells."""
    return bool(_beside_meanings(before) == _beside_meanings(after))


def _beside_meanings(checker: Checker) -> Any:
    return {
        name: (one.header.possible, {limit: held for limit, held in one.limits.items() if limit.startswith(ACCURACIES)})
        for name, one in checker.library.rulesets.items()
    }


def _meaning(asked: Asked) -> Any:
    """What decides the outcomes of a rule: of each version its meaning and its marks."""
    versions = (rule and (rule.meaning, rule.doubtful, rule.stale, rule.life_safety) for rule in asked.rules)
    return asked.name, tuple(versions)


def _by_meaning(asked: Iterable[Asked]) -> dict[Any, Any]:
    """The jobs that are asked a rule with some meaning."""
    found: dict[Any, list[Any]] = {}
    for one in asked:
        found.setdefault(_meaning(one), []).append(one.jobs)
    return {meaning: np.concatenate(jobs) for meaning, jobs in found.items()}


def _outcomes(told: Said) -> Iterator[tuple[int, str, str, int]]:
    """The job, the rule, the item and the outcome at each place where the rule applies."""
    for job, item, outcome in zip(told.jobs.tolist(), told.items, told.outcomes.tolist(), strict=True):
        if outcome != NONE_APPLY:
            yield job, told.rule, item, outcome
