"""Rulesets read once, made ready once and asked once of a job in a worker, however many commands its tests run.

A ruleset is known again by its folder and the digest of its files, a checker by the rulesets that it stands on, so that a
test that changes a file meets the changed one. Judging changes nothing in a checker but what it has made ready. A report is
known again by all that its job records, and by the day; a test that the same job gets the same report forgets them between.
"""

from __future__ import annotations

import datetime
import functools
import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from checker.engine import startup
from checker.engine.checker import Checker
from checker.findings.report import Report
from checker.reading.job import Job
from checker.reading.vocabulary import Vocabulary
from checker.rulesets import library
from checker.rulesets.library import Library
from checker.rulesets.ruleset import Ruleset

read_anew, MOST_CHECKERS, MOST_REPORTS = library._read, 8, 80
LARGE, MOST_LARGE = 10, 3  # as many rulesets as ship: what takes seconds to make ready does not go for what takes none
CHECKERS: dict[tuple[Any, ...], tuple[Checker, Library]] = {}


class Remembering(Checker):
    """A checker that gives the report that it has given of the same job before, with the words that were made for it."""

    @functools.cached_property
    def reports(self) -> dict[tuple[Any, ...], Report]:
        return {}

    def check_job(self, job: Job, on: datetime.date) -> Report:
        key = (repr(job.readings), repr(job.not_known), json.dumps(job.data), job.notes, on)
        self.reports[key] = report = self.reports.pop(key, None) or super().check_job(job, on)
        while len(self.reports) > MOST_REPORTS:
            del self.reports[next(iter(self.reports))]  # the one that was asked for longest ago
        return report._replace(file=job.file)  # all else that a report says of a job is in its facts


def forget_reports() -> None:
    """Judge each job anew from now on."""
    for made, _ in CHECKERS.values():
        if isinstance(made, Remembering):
            made.reports.clear()


@functools.lru_cache(maxsize=1024)
def _read_once(folder: Path, shown: str, digest: str) -> Ruleset:
    return read_anew(folder, shown)


def _read(folder: Path, shown: str) -> Ruleset:
    return _read_once(folder, shown, library.digest_of(folder, shown))


def _checker(found: Library, vocabulary: Vocabulary, wanted: tuple[str, ...] = (), kept: bool = False) -> Checker:
    if found.released:
        return Checker(found, vocabulary, wanted, kept)
    key = (*map(id, found.rulesets.values()), vocabulary.digest, found.schema, found.of_states, wanted, kept)
    made = CHECKERS.pop(key, None) or (Remembering(found, vocabulary, wanted, kept), found)
    CHECKERS[key] = made  # the last used stands last; with its library, lest an id be given again
    alike = [one for one, (_, of) in CHECKERS.items() if (len(of.rulesets) < LARGE) == (len(found.rulesets) < LARGE)]
    for one in alike[: -MOST_LARGE if len(found.rulesets) >= LARGE else -MOST_CHECKERS]:
        del CHECKERS[one]
    return made[0]


@contextmanager
def rulesets_shared() -> Iterator[None]:
    """What commands open is shared while this lasts."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(library, "_read", _read)
        patch.setattr(startup, "Checker", _checker)
        yield


def alone() -> None:
    """Share nothing any more: a process that was split off from this one opens what it needs as any other does."""
    library._read, startup.Checker = read_anew, Checker  # type: ignore[misc]
