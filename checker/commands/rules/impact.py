"""`changeout rules impact`."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from checker.commands import options
from checker.commands.errors import stop, stopping
from checker.commands.guard import Output
from checker.commands.inputs import Chosen, Inputs, inherited_of
from checker.commands.many_jobs import EachJob
from checker.commands.output import width, write
from checker.commands.packed import archive_in
from checker.commands.partial_file import Growing
from checker.problems.problem import refused

if TYPE_CHECKING:
    from checker.authoring.impact.impact import Change, Impact
    from checker.engine.checker import Checker
    from checker.problems.document import Document
    from checker.reading.archive import Archive
    from checker.reading.inherited.inheritance import Inherited


class Side(NamedTuple):
    """One of the two versions: the checker that judges by it, its name, and what jobs inherit there."""

    checker: Checker
    label: str
    inherited: Inherited


@options.command()
@click.argument("old")
@click.argument("new")
@options.jobs
@options.with_inputs()
@click.option(
    "--details",
    type=Output(dir_okay=False),
    metavar="FILE",
    help="Write each change, to a .jsonl or .csv.",
)
@options.in_form("text", "json", "markdown")
@options.to_file
def impact(
    old: str,
    new: str,
    paths: tuple[str, ...],
    given: Inputs,
    details: Path | None,
    form: str,
    output: Path | None,
) -> None:
    """Which jobs' outcomes change between two versions of a ruleset, which way, for which rule.

    OLD and NEW are a ruleset's folder, a release, or NAME@X.Y.Z. All other rulesets stay as they are. In place of jobs
    the folder that 'jobs pack' wrote may be named.

    \b
    Exit code:
      0  no outcome changes
      1  some do
      2  wrong usage, or a version or job that cannot be used; others are told of
    """
    from checker.authoring.impact import impact_text
    from checker.authoring.impact.impact import Impact

    _look_at_details(details)
    before, after = _sides(old, new, given.chosen)
    counts, each = Impact(before.checker, after.checker, given.day), EachJob(paths, details, output)
    changes = _changes(counts, (before, after), each, _archive(paths, after.checker))
    if details:
        _write_details(changes, details)
    else:
        for _ in changes:
            pass
    summary = impact_text.Summary(counts, before.label, after.label, each.unusable)
    if form == "text":
        write(impact_text.as_text(summary, width()), output)
    else:
        write(impact_text.as_json(summary) if form == "json" else impact_text.as_markdown(summary), output)
    sys.exit(2 if each.unusable or not counts.jobs else 1 if counts.changed else 0)


def _archive(paths: tuple[str, ...], checker: Checker) -> Archive | None:
    """The archive of packed jobs that is named; None where jobs are."""
    from checker.reading.archive import is_archive

    archives = [Path(path) for path in paths if is_archive(Path(path))]
    if archives and len(paths) > 1:
        stop(archives[0], "Packed jobs and other jobs can't be looked at in one run.", "Name it alone.")
    return archive_in(archives[0], checker) if archives else None


def _sides(old: str, new: str, chosen: Chosen) -> tuple[Side, Side]:
    """Both versions, ready to judge; ends the run where they cannot be read or are not of one ruleset."""
    from checker.authoring.comparing.ruleset_versions import open_both
    from checker.engine.checker import Checker

    with stopping():
        both = open_both(old, new, chosen.folders)
        if set(both[0].ids).isdisjoint(both[1].ids):
            what = f"{both[0].label} and {both[1].label} are not versions of one ruleset."
            raise refused("OLD NEW", what, "Name two versions of the same one.")
        sides = []
        for one in both:
            groups = [r.id for r in one.rulesets if r.header.owner_kind == "group" and r.id not in chosen.wanted]
            checker = Checker(one.library, one.library.vocabulary, (*chosen.wanted, *groups))
            sides.append(Side(checker, one.label, inherited_of(checker, chosen)))
    return sides[0], sides[1]


def _changes(
    counts: Impact, sides: tuple[Side, Side], each: EachJob, archive: Archive | None
) -> Iterator[list[Change]]:
    """The outcomes that change, job by job. What is wrong with a job is told and does not stop the others."""
    before, after = sides
    alike = before.checker.vocabulary.schema == after.checker.vocabulary.schema

    from checker.reading.inherited.inheritance import load_job

    def changed(document: Document) -> list[Change]:
        is_now = load_job(document, after.checker.vocabulary, after.inherited)
        was = is_now if alike else load_job(document, before.checker.vocabulary, before.inherited)
        return counts.add(was, is_now)

    if archive is None:
        return each.made(changed)
    if not alike:
        stop(
            archive.folder,
            "The two versions have different facts; an archive is packed by one.",
            "Name the jobs themselves.",
        )
    return _in_archive(counts, sides, archive, each, changed)


def _in_archive(
    counts: Impact,
    sides: tuple[Side, Side],
    archive: Archive,
    each: EachJob,
    changed: Callable[[Document], list[Change]],
) -> Iterator[list[Change]]:
    """The same of packed jobs: only those of which an outcome changes are read."""
    from checker.authoring.impact import packed_impact
    from checker.batch.sources import Item

    with stopping():
        for part in packed_impact.changed(archive, sides[0].checker, sides[1].checker, counts.on):
            counts.jobs += part.jobs - len(part.found)
            yield from each.made_of((Item(one.name, content=one.content) for one in part.found), changed)


def _write_details(each_job: Iterator[list[Change]], details: Path) -> None:
    """Each change as it is found, into a file that takes its place when all are in it."""
    from checker.authoring.impact.impact_text import FIELDS, csv_line, json_line

    file, as_csv = Growing(details), details.suffix == ".csv"
    file.open()
    try:
        file.write(csv_line(FIELDS) if as_csv else "")
        for changes in each_job:
            file.write("".join(csv_line(change) if as_csv else json_line(change) for change in changes))
        file.finish()
    finally:
        file.close()


def _look_at_details(details: Path | None) -> None:
    """Ends the run before anything is judged where the file of details is of no known form."""
    if details and details.suffix not in (".csv", ".jsonl"):
        what = "Details are written as .jsonl, a line of JSON each, or as .csv."
        stop(details, what, "Name a file that ends in one of the two.")
