"""What the package offers to other programs; `checker` itself hands it on and stays light."""

from __future__ import annotations

import datetime
import functools
import io
import json
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any, NoReturn

from checker.batch.running import Judge, Setup, guarded
from checker.batch.sources import items
from checker.engine import startup
from checker.engine.checker import Checker
from checker.findings.report import Report
from checker.problems.document import Document
from checker.problems.problem import ProblemsFound, refused
from checker.reading import job as jobs
from checker.reading.files import read_file, read_text
from checker.reading.inherited.inheritance import Inherited
from checker.reading.job import Job
from checker.reporting.form import Form

HANDED_OVER = "job"  # how a job that came without a file is named in messages

Written = Mapping[str, Any] | str | Path
Day = datetime.date | str | None


@functools.cache
def _shipped() -> Checker:
    return startup.open_checker()


def load(job: Written, rules: Checker | None) -> Job:
    return jobs.load(_document(job), (rules or _shipped()).vocabulary)


def open_checker(folders: Iterable[str | Path] | str | Path = (), wanted: tuple[str, ...] | str = ()) -> Checker:
    """A checker over the shipped rulesets and those under some folders; a folder of shipped ones is read once.

    Args:
        wanted: Rulesets to use besides those of a job's place, as `id` or `id@version`.

    Raises:
        ProblemsFound: Everything wrong with any of them.
    """
    named = [folders] if isinstance(folders, str | Path) else folders
    return startup.open_checker(map(Path, named), (wanted,) if isinstance(wanted, str) else tuple(wanted))


def check(job: Written, on: Day, rules: Checker | None) -> Report:
    checker, day = rules or _shipped(), _day(on)
    return checker.check(_document(job), day)


def check_many(written: Iterable[Written], on: Day, rules: Checker | None) -> Iterator[Report | ProblemsFound]:
    """
    Raises:
        ProblemsFound: The day is none, or one job came where many are asked for.
    """
    if isinstance(written, str | bytes | Path | Mapping):
        _refuse(
            "This is one job, not many.",
            "Hand over a list of jobs; check_paths() takes the names of files and folders.",
        )
    return _each(written, _day(on), rules)


def _each(written: Iterable[Written], day: datetime.date, rules: Checker | None) -> Iterator[Report | ProblemsFound]:
    for one in written:
        try:
            with guarded(HANDED_OVER):
                outcome: Report | ProblemsFound = check(one, day, rules)
        except ProblemsFound as found:
            outcome = found
        yield outcome


def check_paths(
    paths: tuple[str | Path, ...], on: Day, rules: Checker | None
) -> Iterator[tuple[str, Report | ProblemsFound]]:
    return _each_of_paths(paths, Judge(Setup(Form(), _day(on)), rules or _shipped(), Inherited()))


def _each_of_paths(paths: tuple[str | Path, ...], judge: Judge) -> Iterator[tuple[str, Report | ProblemsFound]]:
    for item in items(tuple(map(str, paths)), io.BytesIO()):
        try:
            yield item.name, judge.judged(item).report
        except ProblemsFound as found:
            yield item.name, found


def _day(on: Day) -> datetime.date:
    """The day that is meant; today where none is told.

    Raises:
        ProblemsFound: It is no day.
    """
    if isinstance(on, datetime.datetime):
        return on.date()
    if isinstance(on, datetime.date):
        return on
    try:
        return datetime.date.fromisoformat(on) if on is not None else datetime.date.today()
    except (TypeError, ValueError):
        _refuse(f"{on!r} is not a date.", "Hand over a date, or write year-month-day.", "on")


def _refuse(what: str, hint: str, where: str = HANDED_OVER) -> NoReturn:
    raise refused(where, what, hint) from None


def _document(job: Written) -> Document:
    """A job as it would stand in a file.

    Raises:
        ProblemsFound: It cannot be read, or is not what JSON can say.
    """
    if isinstance(job, str | Path):
        if "\0" in str(job):
            _refuse("There is no file with this name.", "Check the name.", str(job).replace("\0", " "))
        return read_file(Path(job))
    try:
        text = json.dumps(job, ensure_ascii=False)
    except (TypeError, ValueError, RecursionError) as error:
        _refuse(f"This is not what a job can say: {error}.", "Hand over what JSON has: text, numbers, lists.")
    return read_text(text.encode("utf-8", "surrogatepass"), HANDED_OVER)
