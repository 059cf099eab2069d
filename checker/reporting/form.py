"""What a form of report for many jobs is: a text before the jobs, one for each job, one behind them.

The text of a job depends on that job alone, so that it can be made in any process; how the texts are put together is the
business of the one process that writes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import NamedTuple

from checker.engine.checker import Checker
from checker.findings.report import Report
from checker.problems.problem import Problem, ProblemsFound, Where
from checker.reading.job import Job
from checker.reporting.totals import Totals


class Judged(NamedTuple):
    """A job and what was found of it.

    `name` is its file as it was named, with the line where a file holds many jobs; `where` tells the place of a fact in
    that file, or of the nearest part around it; `known` are the ids of findings that stand in a baseline, None without one.
    """

    report: Report
    job: Job
    name: str
    checker: Checker
    where: Callable[[str], Where]
    known: frozenset[str] | None = None


class Once(NamedTuple):
    """What a form tells once for many jobs, as JSON: the rule `name`, say, of the rulebook `of`; empty where it is of none."""

    of: str
    name: str
    text: str


class Form:
    """A form of report. `between` stands between two jobs; `resumable` says that a half of it is the half of a whole."""

    between = ""
    resumable = False

    def for_jobs(self, several: bool) -> Form:
        """The form for one job or for several, where they differ."""
        return self

    def begin(self) -> str:
        """What stands before the jobs."""
        return ""

    def job(self, one: Judged) -> str:
        """One job."""
        raise NotImplementedError

    def once(self, one: Judged) -> tuple[Once, ...]:
        """What the text of a job refers to, and no job before it in this process; nothing where each job is whole."""
        return ()

    def tell(self, pieces: Iterable[Once]) -> str:
        """What is written before a job of what `once` gave; in the process that writes."""
        return ""

    def resume(self, lines: Iterable[bytes]) -> None:
        """Takes in what an earlier run wrote, where what is told once stands in it."""

    def unreadable(self, name: str, found: ProblemsFound) -> str:
        """A job that could not be read or judged; nothing where a form has no place for it."""
        return ""

    def gather(self, name: str, problems: tuple[Problem, ...]) -> None:
        """Keeps what is wrong with a job, where a form tells of it behind the jobs; in the process that writes."""

    def add(self, text: str, first: bool) -> str:
        """What is written for the text of a job."""
        return text if first or not text else self.between + text

    def end(self, totals: Totals, checker: Checker, whole: bool) -> str:
        """What stands behind the jobs.

        Args:
            whole: Whether the run came to its end.
        """
        return ""


class TellsOnce(Form):
    """A form in which something, such as a rule, stands once for all jobs.

    The process that judges hands over what it has not handed over yet, the one that writes tells what is not told yet; so
    any number of processes writes the same.
    """

    def __init__(self) -> None:
        self._handed_over: set[tuple[str, str]] = set()
        self.told: set[tuple[str, str]] = set()

    def names(self, one: Judged) -> Iterable[tuple[str, str]]:
        """What the text of a job refers to, each as the first two fields of its `Once`; the same more than once, perhaps."""
        raise NotImplementedError

    def text_of(self, one: Judged, of: str, name: str) -> str:
        """The text of one of them."""
        raise NotImplementedError

    def once(self, one: Judged) -> tuple[Once, ...]:
        new = [named for named in dict.fromkeys(self.names(one)) if named not in self._handed_over]
        self._handed_over.update(new)
        return tuple(Once(*named, self.text_of(one, *named)) for named in new)

    def new(self, pieces: Iterable[Once]) -> list[Once]:
        """Those that are not told yet; now they are."""
        found = {piece[:2]: piece for piece in pieces if piece[:2] not in self.told}
        self.told.update(found)
        return list(found.values())
