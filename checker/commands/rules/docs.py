"""`changeout rules docs`."""

from __future__ import annotations

import datetime
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from checker.commands import options
from checker.commands.errors import complain
from checker.commands.guard import Output
from checker.commands.inputs import checker_of, together
from checker.commands.many_jobs import EachJob
from checker.commands.options import Day
from checker.commands.output import make_folder, write
from checker.problems.problem import ProblemsFound, did_you_mean, refused
from checker.problems.sanitize import inert

if TYPE_CHECKING:
    from checker.authoring.docs.folder import Made
    from checker.authoring.docs.model import Docs
    from checker.authoring.docs.review import Due
    from checker.engine.checker import Checker


@options.command()
@click.option("--output", type=Output(), metavar="DIR", help="An empty folder, or one of such pages.")
@click.option("--format", "form", type=click.Choice(["site", "markdown"]), default="site", show_default=True)
@click.option("--place", default="", metavar="CODE", help="Show the rules as they are in force at a place.")
@click.option("--ruleset", "wanted", multiple=True, metavar="ID", help="Show them with a group's ruleset as well.")
@click.option("--on", type=Day(), default=None, metavar="DATE", help="The day to look at. Default: today.")
@click.option("--jobs", multiple=True, metavar="PATH", help="Jobs whose acceptances are listed with the day they end.")
@click.option("--check", is_flag=True, help="Write nothing; say whether DIR is as it would be written now.")
@options.more_rules_too
@click.argument("folders", nargs=-1, type=click.Path(path_type=Path), metavar="[FOLDER]…")
def docs(
    output: Path | None, form: str, place: str, wanted: tuple[str, ...], on: datetime.date | None,
    jobs: tuple[str, ...], check: bool, folders: tuple[Path, ...], more: tuple[Path, ...],
) -> None:  # fmt: skip
    """A page for every rule, and what the committee has to look at again and when.

    The list of what to look at again is printed; with --output the pages are written, an index by subject and by stage of
    the visit with them. --check takes place, rulesets, form and day from DIR; exit code 0 where DIR is current, 1 where not.
    """
    from checker.authoring.docs import folder as docs_folder
    from checker.authoring.docs import review

    try:
        before = docs_folder.made(output) if output else None
        if check:
            form, place, wanted, on = _as_made(output, before)
        checker = checker_of(together(folders, more), wanted)
        pages = _pages(checker, place, on or datetime.date.today(), jobs)
        files = _files(pages, form)
        if check and output:
            sys.exit(_checked(docs_folder.differences(output, before, files), output))
        if output:
            _written(output, before, docs_folder.Made(form, place, wanted, pages.on, {}), files)
    except ProblemsFound as problems:
        complain(problems)
        sys.exit(2)
    click.echo(inert(review.text(pages.review)), nl=False)


def _as_made(output: Path | None, before: Made | None) -> tuple[str, str, tuple[str, ...], datetime.date]:
    if before is None or before.form not in ("site", "markdown"):
        what = "There are no pages of rules here to check."
        hint = "Name their folder with --output; without --check it is written."
        raise refused(output or "--output", what, hint)
    return before.form, before.place, before.wanted, datetime.date.fromisoformat(before.on)


def _pages(checker: Checker, place: str, on: datetime.date, jobs: tuple[str, ...]) -> Docs:
    from checker.authoring.docs.collection import docs as docs_of

    known = sorted({code for ruleset in checker.library.rulesets.values() for code in ruleset.header.covers})
    if place and place not in known:
        hint = did_you_mean(place, known) or f"Covered: {', '.join(known)}."
        raise refused("--place", f"No ruleset covers '{place}'.", hint)
    return docs_of(checker, place, on, tuple(_accepted(checker, jobs, on)))


def _accepted(checker: Checker, jobs: tuple[str, ...], on: datetime.date) -> Iterator[Due]:
    from checker.authoring.docs.review import accepted
    from checker.reading.job import load

    each = EachJob(jobs)
    for job in each.made(lambda document: load(document, checker.vocabulary)):
        yield from accepted(job, job.file, on)
    if each.unusable:
        sys.exit(2)


def _files(pages: Docs, form: str) -> dict[str, str]:
    from checker.authoring.docs import markdown, site

    return site.files(pages) if form == "site" else markdown.files(pages)


def _checked(differences: list[str], output: Path) -> int:
    for line in differences:
        click.echo(line)
    click.echo(f"{output} is not current." if differences else f"{output} is current.")
    return 1 if differences else 0


def _written(output: Path, before: Made | None, now: Made, files: Mapping[str, str]) -> None:
    """Write the pages: the list first, so that a folder left half written is known for ours; pages; the list as it is then."""
    from checker.authoring.docs.folder import LIST, digest_of, gone, inside

    digests = {name: digest_of(text) for name, text in files.items()}
    paths = {inside(output, name): text for name, text in files.items()}
    taken, kept = gone(output, before, files)
    make_folder(output)
    write(now._replace(files={**(before.files if before else {}), **digests}).text(), output / LIST)
    for path, text in paths.items():
        make_folder(path.parent)
        write(text, path)
    for path in taken:
        path.unlink()
    write(now._replace(files=digests).text(), output / LIST)
    click.echo(f"{len(files)} files written to {output}; {len(taken)} of rules that no longer exist deleted.", err=True)
    for path in kept:
        click.echo(f"{path} is about a rule that no longer exists; somebody changed it, so it was kept.", err=True)
