"""`changeout check`."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path
from typing import NoReturn

import click

from checker.commands.shared import (
    checker_of,
    complain,
    inherited_of,
    paint,
    width,
    with_inherited,
    with_rulesets,
)
from checker.problems import Problem, ProblemsFound, Where

# The forms as `checker.report.forms` names them; said here too, so that --help need not read the program.
FORMS = ("text", "json", "page", "jsonl", "csv", "junit", "sarif", "markdown")
RESUMABLE = ("jsonl", "csv")


@click.command()
@click.argument("paths", nargs=-1, required=True, metavar="JOB…")
@with_rulesets
@with_inherited
@click.option("--format", "form", type=click.Choice(FORMS), default="text", show_default=True)
@click.option(
    "--output",
    type=click.Path(path_type=Path),
    help="Write to a file, whole or not at all; the pages of several jobs go to a folder.",
)
@click.option("--strict", is_flag=True, help="Exit 1 also for open questions and for practice that is not followed.")
@click.option("--workers", type=click.IntRange(1, 256), default=1, show_default=True, help="Processes that judge.")
@click.option(
    "--resume", is_flag=True, help="Go on with a run that was stopped. Needs --output, and --format jsonl or csv."
)
@click.option(
    "--baseline",
    type=click.Path(path_type=Path),
    help="What stands in this file does not count for the exit code; what is new does.",
)
@click.option(
    "--write-baseline",
    "new_baseline",
    type=click.Path(path_type=Path),
    help="Write what is not in order to a baseline.",
)
@click.option(
    "--summary", "totals", type=click.Path(path_type=Path), help="Write the totals, by rule too, to a file as JSON."
)
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
    workers: int,
    resume: bool,
    baseline: Path | None,
    new_baseline: Path | None,
    totals: Path | None,
) -> None:
    """Check jobs: files, folders of them and of theirs, patterns, files with a job a line (.jsonl), all of these also
    packed (.gz), or - for standard input.

    A page is one HTML file a job, which opens from disk and needs no network; several jobs get an index.html too.

    \b
    Exit code, the worst of the run:
      0  nothing was found wrong in what the rules read
      1  a requirement failed without the authority's acceptance, or a question of life safety is open
      2  wrong usage, a job or ruleset that cannot be read or judged, or nothing to check
    And 130 where it was stopped with Ctrl-C.
    """
    from checker.batch.progress import kept
    from checker.batch.running import Judge, Setup
    from checker.commands.checking import Plan, run
    from checker.report import forms

    _look_at_output(paths, form, output)
    _look_at_resume(form, output, resume, new_baseline)
    plan = Plan(paths, form, output, workers, form in RESUMABLE and output is not None, new_baseline, totals)
    try:
        begun = kept(output) if resume and output else None
        day = on or (datetime.date.fromisoformat(begun.on) if begun else datetime.date.today())
        checker = checker_of(folders, wanted)
        inherited = inherited_of(checker, equipment, profile)
        setup = Setup(
            form=forms.form("text" if form == "page" else form, width(), paint(output)),
            on=day,
            folders=folders,
            wanted=wanted,
            equipment=equipment,
            profile=profile,
            strict=strict,
            baseline=baseline,
            entries=new_baseline is not None,
        )
        judge = Judge(setup, checker, inherited)
    except ProblemsFound as found:
        complain(found)
        sys.exit(2)
    if form == "page":
        from checker.commands.pages import write_pages

        sys.exit(write_pages(judge, paths, output))
    sys.exit(run(judge, plan, begun))


def _look_at_output(paths: tuple[str, ...], form: str, output: Path | None) -> None:
    """Stops before anything is judged where the output cannot be what it has to be."""
    if output is None:
        return
    if form != "page" and output.is_dir():
        raise click.BadParameter(f"File '{output}' is a directory.", param_hint="'--output'")
    if any(
        written != "-" and output.is_file() and output.samefile(written) for written in paths if Path(written).exists()
    ):
        _stop(output, "This is a job, and the report would take its place.", "Name another file for the report.")


def _look_at_resume(form: str, output: Path | None, resume: bool, new_baseline: Path | None) -> None:
    if resume and (form not in RESUMABLE or output is None):
        _stop("--resume", "Only a JSON Lines or CSV file can be gone on with.", "Add --format jsonl --output FILE.")
    if resume and new_baseline:
        _stop("--resume", "A baseline is of a whole run.", "Leave --write-baseline out, or begin anew.")


def _stop(where: Path | str, what: str, mend: str) -> NoReturn:
    complain(ProblemsFound([Problem(Where(str(where)), what, mend)]))
    sys.exit(2)
