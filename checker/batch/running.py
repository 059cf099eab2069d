"""One job of a run: from its bytes to its text in the form of the run, and its share of the totals."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

from checker.batch import baseline
from checker.batch.sources import Item, document, place, placed
from checker.engine.checker import Checker
from checker.engine.startup import open_checker, open_inherited
from checker.problems.document import Path_, steps
from checker.problems.problem import Problem, ProblemsFound, refused
from checker.reading.inherited import inheritance
from checker.reading.inherited.inheritance import Inherited
from checker.reporting.form import Form, Judged, Once
from checker.reporting.totals import Share, share


class Setup(NamedTuple):
    """All that a worker process has to know: what to judge by, and the form to write in. It travels between processes."""

    form: Form
    on: datetime.date
    folders: tuple[Path, ...] = ()
    wanted: tuple[str, ...] = ()
    equipment: tuple[Path, ...] = ()
    profile: Path | None = None
    place: str = ""
    settings: str = ""
    strict: bool = False
    baseline: Path | None = None
    entries: bool = False


class Done(NamedTuple):
    """What came of one job: its text in the form of the run, and its share of the totals or what is wrong with it.

    `entries` are the lines that it adds to a baseline, `once` what its text, or that of a later job, refers to.
    """

    name: str
    text: str
    share: Share | None
    problems: tuple[Problem, ...] = ()
    entries: str = ""
    once: tuple[Once, ...] = ()


class Judge:
    """The rulesets and all else that a run judges by, opened.

    Raises:
        ProblemsFound: Everything wrong with any of it.
    """

    def __init__(self, setup: Setup, checker: Checker | None = None, inherited: Inherited | None = None) -> None:
        self.setup = setup
        self.checker = checker or open_checker(setup.folders, setup.wanted)
        self.inherited = inherited or open_inherited(
            self.checker, setup.equipment, setup.profile, setup.place, setup.settings
        )
        self.baseline = baseline.read(setup.baseline) if setup.baseline else None

    def judged(self, item: Item) -> Judged:
        """One job judged.

        Raises:
            ProblemsFound: It cannot be read or judged.
        """
        try:
            with guarded(item.name):
                read = document(item)
                job = inheritance.load_job(read, self.checker.vocabulary, self.inherited)
                report = self.checker.check_job(job, self.setup.on)
        except ProblemsFound as error:
            raise placed(item, error) from None
        known = None if self.baseline is None else baseline.known(report, self.baseline)
        return Judged(report, job, item.name, self.checker, lambda fact: place(item, read.where(_path(fact))), known)

    def done(self, item: Item) -> Done:
        """One job judged and told in the form of the run."""
        try:
            one = self.judged(item)
            with guarded(item.name):
                return self._told(item, one)
        except ProblemsFound as error:
            return unreadable(item.name, error, self.setup.form)

    def _told(self, item: Item, one: Judged) -> Done:
        known = one.known or frozenset()
        code = baseline.exit_code(one.report, known, self.setup.strict)
        form = self.setup.form
        return Done(
            item.name,
            form.job(one),
            share(one.report, code, len(known)),
            entries=baseline.lines(one.report) if self.setup.entries else "",
            once=form.once(one),
        )


@contextmanager
def guarded(name: str) -> Iterator[None]:
    """Turn an unexpected error inside into a mistake of this job, so that the run goes on.

    Raises:
        ProblemsFound: An error came up inside.
    """
    try:
        yield
    except ProblemsFound:
        raise
    except Exception as error:
        what = f"This job cannot be judged: a bug in this program ({type(error).__name__}: {error})."
        raise refused(name, what, "Please report it, with the job.") from error


def unreadable(name: str, error: ProblemsFound, form: Form) -> Done:
    """A job that could not be read or judged, told in the form of the run."""
    return Done(name, form.unreadable(name, error), None, tuple(error.problems))


def _path(fact: str) -> Path_:
    return steps(fact.split(".")) if fact else ()
