"""The pages of `changeout check`: one a job, one after another, and an index where there are several."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple

from checker.batch import baseline
from checker.batch.running import Judge, guarded
from checker.batch.sources import Item, items
from checker.commands.errors import complain, stop, stopping
from checker.commands.output import make_folder, write
from checker.findings.report import Report
from checker.problems.file_names import safe_stem
from checker.problems.problem import ProblemsFound
from checker.reading.job import Job
from checker.reporting import index_page
from checker.reporting.form import Judged
from checker.reporting.page import render


class Making(NamedTuple):
    """How a page is made: the ending of its file, and what makes its text or bytes."""

    ending: str
    made: Callable[[Report, Job, Path | None], str | bytes]


def making(form: str) -> Making:
    """How pages of a form are made; stops where the library for it is missing."""
    if form == "page":
        return Making(".html", render)
    from checker.reporting import pdf

    if pdf.missing():
        stop("--format pdf", pdf.WANTED, pdf.HINT)
    return Making(".pdf", pdf.render)


def write_pages(judge: Judge, paths: tuple[str, ...], output: Path | None, how: Making) -> int:
    """The page of one job: to standard output, to a file, or into a folder that is there; of several, into a folder.

    Returns:
        The exit code.
    """
    found = items(paths, sys.stdin.buffer if sys.stdin else None)
    first, second = next(found, None), next(found, None)
    if first is None:
        stop(", ".join(paths), "There is no job here.", "Check what was named.")
    if second is None and not _a_folder(paths):
        return _write_one(judge, first, output, how)
    return _write_several(judge, _joined(first, second, found), _folder(output), how)


def _a_folder(paths: tuple[str, ...]) -> bool:
    return len(paths) > 1 or Path(paths[0]).is_dir()


def _joined(first: Item, second: Item | None, rest: Iterator[Item]) -> Iterator[Item]:
    yield first
    if second is not None:
        yield second
    yield from rest


def _write_one(judge: Judge, item: Item, output: Path | None, how: Making) -> int:
    try:
        one, page = _judged(judge, item, how)
    except ProblemsFound as found:
        complain(found)
        return 2
    inside = output is not None and output.is_dir()
    write(page, output / f"{safe_stem(one.report.job_id)}{how.ending}" if output and inside else output)
    return _code(judge, one)


def _write_several(judge: Judge, found: Iterator[Item], folder: Path, how: Making) -> int:
    """One page a job and the index of them. Of a job that is done, only what the index tells is held."""
    names, entries, unreadable, code = index_page.FileNames(), [], [], 0
    for item in found:
        try:
            one, page = _judged(judge, item, how)
        except ProblemsFound as wrong:
            complain(wrong)
            unreadable.append(index_page.Unreadable(item.name, tuple(wrong.problems)))
            code = 2
            continue
        entry = index_page.Entry(_short(one.report), names.of(one.report.job_id, how.ending))
        write(page, folder / entry.file)
        entries.append(entry)
        code = max(code, _code(judge, one))
    write(index_page.render(entries, unreadable), folder / "index.html")
    return code


def _judged(judge: Judge, item: Item, how: Making) -> tuple[Judged, str | bytes]:
    """One job and its page.

    Raises:
        ProblemsFound: It cannot be read or judged.
    """
    one = judge.judged(item)
    with guarded(item.name):
        return one, how.made(one.report, one.job, item.folder)


def _code(judge: Judge, one: Judged) -> int:
    return baseline.exit_code(one.report, one.known or frozenset(), judge.setup.strict)


def _short(report: Report) -> Report:
    """A report without what the index does not tell."""
    short = (f._replace(evidence=(), workings=(), needs=(), notes=(), alternatives=()) for f in report.findings)
    return report._replace(findings=tuple(short), unread=())


def _folder(output: Path | None) -> Path:
    """The folder of the pages, made where it is missing."""
    if output is None:
        stop("--output", "The pages of several jobs need a folder to go to.", "Add --output FOLDER.")
    if output.exists() and not output.is_dir():
        stop(str(output), "The pages of several jobs need a folder, and this is a file.", "Name a folder, new or old.")
    with stopping():
        make_folder(output)
    return output
