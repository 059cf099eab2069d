"""`changeout check`."""

from __future__ import annotations

import datetime
import sys
from collections.abc import Mapping
from pathlib import Path

import click

from checker.commands import options
from checker.commands.errors import stop, stopping
from checker.commands.guard import Output
from checker.commands.inputs import Inputs, station_named
from checker.commands.output import paint, width

# The forms as `checker.reporting.forms` names them; said here too, so that --help need not read the program.
FORMS = ("text", "json", "page", "pdf", "jsonl", "csv", "junit", "sarif", "markdown")
PAGES = ("page", "pdf")
RESUMABLE = ("jsonl", "csv")


@options.command()
@options.jobs
@click.option("--all", "everything", is_flag=True, help="Everything: what passed, every note.")
@click.option("--station", default="", metavar="NAME", help="Everything of one station; a wrong NAME lists them.")
@options.in_form(*FORMS)
@click.option("--output", type=Output(), help="Write to a file; several pages go to a folder.")
@click.option("--strict", is_flag=True, help="Exit 1 for open questions and practice too.")
@click.option(
    "--workers",
    type=click.IntRange(1, 256),
    default=1,
    cls=options.OfRuns,
    metavar="N",
    show_default=False,
    help="processes",
)
@click.option("--resume", is_flag=True, cls=options.OfRuns, help="go on with a jsonl or csv")
@click.option(
    "--baseline",
    type=click.Path(path_type=Path),
    cls=options.OfRuns,
    help="what is in it is no exit 1",
)
@click.option(
    "--write-baseline",
    "new_baseline",
    type=Output(renews="baseline"),
    cls=options.OfRuns,
    help="make one",
)
@click.option("--summary", "totals", type=Output(), cls=options.OfRuns, help="totals as JSON")
@options.with_inputs()
def check(
    paths: tuple[str, ...],
    given: Inputs,
    form: str,
    everything: bool,
    station: str,
    output: Path | None,
    strict: bool,
    workers: int,
    resume: bool,
    baseline: Path | None,
    new_baseline: Path | None,
    totals: Path | None,
) -> None:
    """Check jobs: what to fix, what is open, what passed. JOB is a file, folder, pattern, .jsonl (a job a line), .gz, .zip or -.

    Exit code: 0 nothing was found wrong; 1 something failed, or life safety is open; 2 wrong usage, or a file that
    cannot be read; 130 stopped.
    """
    from checker.batch.progress import kept
    from checker.batch.running import Judge, Setup
    from checker.commands.check_run import Plan, run
    from checker.commands.partial_file import is_straight, place_of
    from checker.reporting import forms

    written = {"--output": output, "--write-baseline": new_baseline, "--summary": totals}
    _look_at_page(form, {"--workers": workers > 1, "--baseline": baseline, **written, "--output": None})
    _look_at_output(form, output)
    resumable = form in RESUMABLE and output is not None and not is_straight(output)
    _look_at_resume(resumable, resume, new_baseline)
    output = output and place_of(output)
    plan = Plan(paths, form, output, workers, resumable, new_baseline, totals)
    with stopping():
        begun = kept(output) if resume and output else None
        chosen, here = given.chosen, station_named("--station", given.checker.vocabulary, station)
        setup = Setup(
            form=forms.form("text" if form in PAGES else form, width(), paint(output), everything, here),
            on=datetime.date.fromisoformat(begun.on) if begun and not chosen.on else given.day,
            folders=chosen.folders,
            wanted=chosen.wanted,
            equipment=chosen.equipment,
            profile=chosen.profile,
            place=chosen.place,
            settings=chosen.settings,
            strict=strict,
            baseline=baseline,
            entries=new_baseline is not None,
        )
        judge = Judge(setup, given.checker, given.inherited)
    if form in PAGES:
        from checker.commands.check_pages import making, write_pages

        sys.exit(write_pages(judge, paths, output, making(form)))
    sys.exit(run(judge, plan, begun))


def _look_at_page(form: str, others: Mapping[str, object]) -> None:
    """Pages are made one after another, and nothing but pages."""
    for option in (name for name, given in others.items() if given and form in PAGES):
        stop(option, f"This does not go with --format {form}.", f"Leave it out, or use {option} with another form.")


def _look_at_output(form: str, output: Path | None) -> None:
    """Stops before anything is judged where the output cannot be what it has to be."""
    if output is None and sys.stdout is None:
        stop("Standard output", "It is closed, and the report would go there.", "Add --output FILE.")
    if output and form not in PAGES and output.is_dir():
        raise click.BadParameter(f"File '{output}' is a directory.", param_hint="'--output'")


def _look_at_resume(resumable: bool, resume: bool, new_baseline: Path | None) -> None:
    if resume and not resumable:
        stop("--resume", "Only a JSON Lines or CSV file can be continued.", "Add --format jsonl --output FILE.")
    if resume and new_baseline:
        stop("--resume", "A baseline needs a whole run.", "Leave --write-baseline out, or begin anew.")
