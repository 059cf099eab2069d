"""What the package offers to other programs; `checker` itself hands it on and stays light."""

from __future__ import annotations

import datetime
import functools
import io
import json
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from checker import job as jobs
from checker.batch.running import Judge, Setup
from checker.batch.sources import items
from checker.check import Checker
from checker.inherit import Inherited
from checker.job import Job
from checker.opened import open_checker
from checker.problems import Problem, ProblemsFound, Where
from checker.report.form import Form
from checker.report.model import Report
from checker.source import Document, read_file, read_text

HANDED_OVER = "job"  # how a job that came without a file is named in messages

Written = Mapping[str, Any] | str | Path


@functools.cache
def _shipped() -> Checker:
    return open_checker()


def load(job: Written, rules: Checker | None) -> Job:
    return jobs.load(_document(job), (rules or _shipped()).vocabulary)


def check(job: Written, on: datetime.date | None, rules: Checker | None) -> Report:
    checker = rules or _shipped()
    return checker.check(_document(job), on or datetime.date.today())


def check_many(
    written: Iterable[Written], on: datetime.date | None, rules: Checker | None
) -> Iterator[Report | ProblemsFound]:
    for one in written:
        try:
            yield check(one, on, rules)
        except ProblemsFound as found:
            yield found


def check_paths(
    paths: tuple[str | Path, ...], on: datetime.date | None, rules: Checker | None
) -> Iterator[tuple[str, Report | ProblemsFound]]:
    judge = Judge(Setup(Form(), on or datetime.date.today()), rules or _shipped(), Inherited())
    for item in items(tuple(map(str, paths)), io.BytesIO()):
        try:
            yield item.name, judge.judged(item).report
        except ProblemsFound as found:
            yield item.name, found


def _document(job: Written) -> Document:
    """A job as it would stand in a file.

    Raises:
        ProblemsFound: It cannot be read, or is not what JSON can say.
    """
    if isinstance(job, str | Path):
        return read_file(Path(job))
    try:
        text = json.dumps(job, ensure_ascii=False)
    except (TypeError, ValueError, RecursionError) as error:
        what = f"This is not what a job can say: {error}."
        raise ProblemsFound(
            [Problem(Where(HANDED_OVER), what, "Hand over what JSON has: text, numbers, lists.")]
        ) from None
    return read_text(text.encode("utf-8", "surrogatepass"), HANDED_OVER)
