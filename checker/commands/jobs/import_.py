"""`changeout jobs import`."""

from __future__ import annotations

import datetime
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from checker.commands import options
from checker.commands.errors import complain
from checker.commands.guard import Output
from checker.commands.inputs import checker_of
from checker.commands.output import write
from checker.problems.problem import Problem, ProblemsFound, refused
from checker.problems.sanitize import inert
from checker.reporting.paragraphs import counted

if TYPE_CHECKING:
    from checker.importing.rows import Imported

MOST_TOLD = 200


@options.command("import")
@click.argument("file", required=False, metavar="SHEET")
@click.option(
    "--output",
    type=Output(),
    metavar="DIR|FILE.jsonl",
    help="A folder, or one file with a job a line.",
)
@click.option("--keep-good", is_flag=True, help="Write the good rows even if others are wrong.")
@click.option("--replace", is_flag=True, help="Replace job files that are there already.")
@click.option("--sheet", "wanted", default="", metavar="NAME", help="The sheet of a workbook. Default: its first.")
@click.option("--headings", is_flag=True, help="Print an empty sheet to fill in (CSV).")
@click.option(
    "--scope",
    "groups",
    multiple=True,
    metavar="GROUP",
    help="With --headings: every fact of a group.",
)
@options.more_rules
def import_(
    file: str | None,
    output: Path | None,
    keep_good: bool,
    replace: bool,
    wanted: str,
    headings: bool,
    groups: tuple[str, ...],
    folders: tuple[Path, ...],
) -> None:
    """Make jobs of a spreadsheet (CSV, XLSX or -), one job a row.

    Headings are the office's own, such as Job number; the title or path of a fact, Max breaker (A); or
    circuits[condenser].serves. Money and people's names are passed over.

    Cells are what people write: 30, 118 psig, 3/4, 5/4/26, yes. "not known: why" and "none: why" where it is so; an
    empty cell is not recorded. A list that a row records is the whole list.

    Exit code: 0 every row was written; 2 not.
    """
    if headings == bool(file) or headings == bool(output):
        raise click.UsageError("Name a sheet and --output, or ask for --headings alone.")
    if groups and not headings:
        raise click.UsageError("--scope goes with --headings.")
    try:
        if headings:
            _print_headings(groups, folders)
        elif file and output:
            sys.exit(_import(file, output, keep_good, replace, wanted, folders))
    except ProblemsFound as error:
        _tell(error.problems)
        sys.exit(2)


def _print_headings(groups: tuple[str, ...], folders: tuple[Path, ...]) -> None:
    from checker.importing import template
    from checker.importing.places import Fault

    try:
        write(template.render(checker_of(folders, ()).vocabulary, groups), None)
    except Fault as fault:
        raise refused("--scope", fault.what, fault.hint) from None


def _import(file: str, output: Path, keep_good: bool, replace: bool, wanted: str, folders: tuple[Path, ...]) -> int:
    """Read, write and say what was done: the exit code."""
    from checker.importing import writing
    from checker.importing.rows import read_jobs
    from checker.importing.sheet import read_bytes, read_sheet
    from checker.importing.table import MOST_BYTES

    name = "standard input" if file == "-" else file
    content = sys.stdin.buffer.read(MOST_BYTES + 1) if file == "-" else read_bytes(Path(file), name)
    lines = output.suffix in writing.LINES
    vocabulary = checker_of(folders, ()).vocabulary
    named = None if lines else writing.file_name
    read = read_jobs(read_sheet(content, name, wanted), vocabulary, named, datetime.date.today())
    if read.passed_over:
        click.echo(f"Left out, because no job records them: column {', '.join(read.passed_over)}.", err=True)
    _tell(read.problems)
    _tell_looks(read, name)
    if read.problems and not (keep_good and read.jobs):
        click.echo(_nothing(read), err=True)
        return 2
    writing.refuse_existing(output, read.jobs, replace)
    if lines:
        write(writing.as_lines(read.jobs), output)
    else:
        writing.write_folder(output, read.jobs)
    click.echo(f"{counted(len(read.jobs), 'job')} written to {output}; read, not judged.", err=bool(read.problems))
    if read.problems:
        click.echo(f"{counted(read.rows - len(read.jobs), 'row')} of {read.rows} left out.", err=True)
    return 2 if read.problems else 0


def _tell(problems: Iterable[Problem]) -> None:
    """Every problem, as long as a person would read on."""
    ordered = ProblemsFound(problems).problems
    complain(ProblemsFound(ordered[:MOST_TOLD]))
    if len(ordered) > MOST_TOLD:
        click.echo(f"… and {len(ordered) - MOST_TOLD:,} more.\n", err=True)


def _tell_looks(read: Imported, name: str) -> None:
    """What to look at again in the rows that can be used; no row is left out for it."""
    looks = [f"{inert(name)}, row {job.row}: {inert(look)}" for job in read.jobs for look in job.looks]
    for line in looks[:MOST_TOLD]:
        click.echo(line, err=True)
    if len(looks) > MOST_TOLD:
        click.echo(f"… and {len(looks) - MOST_TOLD:,} more to look at again.", err=True)


def _nothing(read: Imported) -> str:
    wrong = read.rows - len(read.jobs)
    rest = f" --keep-good writes the other {len(read.jobs)}." if read.jobs else ""
    return f"Nothing was written: something is wrong in {counted(wrong, 'row')} of {read.rows}.{rest}"
