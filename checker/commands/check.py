"""`changeout check`."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, NoReturn

import click

from checker.commands.shared import (
    checker_of,
    complain,
    inherited_of,
    jobs_in,
    load_job,
    paint,
    width,
    with_inherited,
    with_rulesets,
    write,
)
from checker.problems import Problem, ProblemsFound, Where

if TYPE_CHECKING:
    from checker.check import Checker
    from checker.inherit import Inherited
    from checker.job import Job
    from checker.report.model import Report


class Checked(NamedTuple):
    """A job that was judged: its report, its facts, and its file (None: standard input)."""

    report: Report
    job: Job
    path: Path | None


class Run(NamedTuple):
    """The jobs of one run, and those that could not be read or judged, each with its problems."""

    checked: list[Checked]
    unreadable: list[tuple[str, ProblemsFound]]

    @property
    def reports(self) -> list[Report]:
        return [one.report for one in self.checked]

    def exit_code(self, strict: bool) -> int:
        return max([2 if self.unreadable else 0, *(report.exit_code(strict) for report in self.reports)])


@click.command()
@click.argument("paths", nargs=-1, required=True, metavar="JOB…")
@with_rulesets
@with_inherited
@click.option("--format", "form", type=click.Choice(["text", "json", "page"]), default="text", show_default=True)
@click.option(
    "--output",
    type=click.Path(path_type=Path),
    help="Write to a file, whole or not at all; the pages of several jobs go to a folder.",
)
@click.option("--strict", is_flag=True, help="Exit 1 also for open questions and for practice that is not followed.")
def check(
    paths: tuple[str, ...],
    folders: tuple[Path, ...],
    wanted: tuple[str, ...],
    on: datetime.date | None,
    equipment: tuple[Path, ...],
    profile: Path | None,
    form: str,
    output: Path | None,
    strict: bool,
) -> None:
    """Check jobs: files, folders of them, or - for standard input.

    A page is one HTML file a job, which opens from disk and needs no network; several jobs get an index.html too.

    \b
    Exit code, the worst of the run:
      0  nothing was found wrong in what the rules read
      1  a requirement failed without the authority's acceptance, or a question of life safety is open
      2  wrong usage, a job or ruleset that cannot be read or judged, or nothing to check
    """
    several = len(paths) > 1 or Path(paths[0]).is_dir()
    _look_at_output(paths, form, output, several)
    checker = checker_of(folders, wanted)
    inherited = inherited_of(checker, equipment, profile)
    run = _checked(checker, inherited, paths, on or datetime.date.today())
    if form == "page" and several:
        assert output is not None
        _write_pages(run, output)
    elif form == "page":
        _write_page(run, output)
    elif form == "json":
        from checker.report import json as as_json

        write(as_json.render(run.reports), output)
    else:
        write(_text(run.reports, output), output)
    sys.exit(run.exit_code(strict))


def _checked(checker: Checker, inherited: Inherited, paths: tuple[str, ...], day: datetime.date) -> Run:
    """Every job judged; what is wrong with one is said at once and does not stop the others."""
    from checker.source import read_file, read_text

    run = Run([], [])
    for name, path in jobs_in(paths):
        try:
            document = read_text(sys.stdin.buffer.read(), name) if path is None else read_file(path, name)
            job = load_job(document, checker, inherited)
            run.checked.append(Checked(checker.check_job(job, day), job, path))
        except ProblemsFound as found:
            complain(found)
            run.unreadable.append((name, found))
    return run


def _text(reports: list[Report], output: Path | None) -> str:
    from checker.report.text import render
    from checker.report.words import counts

    rendered = [render(report, width(), paint(output)) for report in reports]
    closing = [counts(reports) + "\n"] if len(reports) > 1 else []
    return "\n".join(rendered + closing)


def _write_page(run: Run, output: Path | None) -> None:
    """The page of one job: to standard output, to a file, or into a folder that is there."""
    from checker.report.page import file_name

    for one in run.checked:
        inside = output is not None and output.is_dir()
        write(_page(one), output / f"{file_name(one.report.job_id)}.html" if output and inside else output)


def _write_pages(run: Run, folder: Path) -> None:
    """One page a job and the index of them, into a folder that is made where it is missing."""
    from checker.report import index_page

    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        _stop(folder, f"The folder cannot be made: {error.strerror}.", "Check its name and the permissions above it.")
    entries = [
        index_page.Entry(report, file)
        for report, file in zip(run.reports, index_page.file_names(run.reports), strict=True)
    ]
    for one, entry in zip(run.checked, entries, strict=True):
        write(_page(one), folder / entry.file)
    unreadable = [index_page.Unreadable(name, tuple(found.problems)) for name, found in run.unreadable]
    write(index_page.render(entries, unreadable), folder / "index.html")


def _page(one: Checked) -> str:
    from checker.report.page import render

    return render(one.report, one.job, one.path.parent if one.path else None)


def _look_at_output(paths: tuple[str, ...], form: str, output: Path | None, several: bool) -> None:
    """Stops before anything is judged where the output cannot be what it has to be."""
    if form == "page" and several and output is None:
        _stop("--output", "The pages of several jobs need a folder to go to.", "Add --output FOLDER.")
    if output is None:
        return
    if form == "page" and several and output.exists() and not output.is_dir():
        _stop(output, "The pages of several jobs need a folder, and this is a file.", "Name a folder, new or old.")
    if form != "page" and output.is_dir():
        raise click.BadParameter(f"File '{output}' is a directory.", param_hint="'--output'")
    if any(
        written != "-" and output.is_file() and output.samefile(written) for written in paths if Path(written).exists()
    ):
        _stop(output, "This is a job, and the report would take its place.", "Name another file for the report.")


def _stop(where: Path | str, what: str, mend: str) -> NoReturn:
    complain(ProblemsFound([Problem(Where(str(where)), what, mend)]))
    sys.exit(2)
