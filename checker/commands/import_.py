"""`changeout import`."""

from __future__ import annotations

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
    help="A folder for one job file a row, or a file that ends in .jsonl for one job a line.",
)
@click.option("--keep-good", is_flag=True, help="Write the rows that are right although others are wrong.")
@click.option("--replace", is_flag=True, help="Replace job files that stand there already.")
@click.option("--sheet", "wanted", default="", metavar="NAME", help="The sheet of a workbook. Default: its first.")
@click.option("--headings", is_flag=True, help="Print an empty sheet to fill in, as CSV: headings and their units.")
@click.option(
    "--scope",
    "groups",
    multiple=True,
    metavar="GROUP",
    help="With --headings: every fact of a group, such as evacuation. Default: those of the short start.",
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
    """Make jobs of a spreadsheet, one job a row.

    SHEET is CSV or XLSX, or - for standard input.

    \b
    Headings, the first of them job_id:
      a fact's path     outdoor_unit.nameplate.refrigerant
      in a list         circuits.0.serves or circuits[condenser].serves
      or its title      Maximum breaker; in a list, that of the first item
      with a unit       Maximum breaker (A), or a row under the headings
                        that begins with the word unit
    Cells:
      30, 118 psig, 3/4 in    an amount, in the column's unit if none is written
      yes, no, true, false    a flag
      2026-05-04              a day, or a date cell of a workbook
      fuse or breaker         a word of a list, with blanks or underscores
      not known: why          looked for and not found out
      none: why               there is none
      empty                   not recorded

    A list that a row records is taken as the whole list: name every circuit
    that there is, or none.

    CSV is UTF-8, or UTF-16 with a byte-order mark, separated by whichever of
    comma, semicolon and tab stands most often in the first line; a line sep=;
    before it decides. At most 100,000 rows, 10,000 characters a cell and 64 MiB
    a file. Nothing in a cell is computed: of a formula the stored value counts.

    \b
    Exit code:
      0  every row was written
      2  anything else; nothing is written unless --keep-good is given
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
    read = read_jobs(read_sheet(content, name, wanted), vocabulary, None if lines else writing.file_name)
    _tell(read.problems)
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


def _nothing(read: Imported) -> str:
    wrong = read.rows - len(read.jobs)
    rest = f" --keep-good writes the other {len(read.jobs)}." if read.jobs else ""
    return f"Nothing was written: something is wrong in {counted(wrong, 'row')} of {read.rows}.{rest}"
