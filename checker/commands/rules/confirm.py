"""`changeout rules confirm`."""

from __future__ import annotations

from pathlib import Path

import click

from checker.commands import options
from checker.commands.errors import stopping
from checker.commands.inputs import Inputs
from checker.commands.output import write
from checker.commands.ruleset_edits import text_of
from checker.problems.problem import refused


@options.command()
@click.argument("rule")
@click.option("--document", default="", help="The document that was read, where the rule cites several.")
@click.option("--edition", "editions", multiple=True, help="The edition that was read; may be given several times.")
@click.option("--printing", required=True, help="Which printing: publisher, year, printing or errata.")
@click.option("--by", "read_by", required=True, help="Who read it.")
@click.option("--place", default="", help="A jurisdiction code: the rule as it stands there.")
@click.option(
    "--into", required=True, type=click.Path(exists=True, file_okay=False, path_type=Path),
    help="The ruleset's folder that keeps the record.",
)  # fmt: skip
@options.with_inputs(inherited=False)
def confirm(
    rule: str,
    document: str,
    editions: tuple[str, ...],
    printing: str,
    read_by: str,
    place: str,
    into: Path,
    given: Inputs,
) -> None:
    """Record that the section of RULE was read in the book, and says what the rule says.

    From then on its citation counts as checked, until the rule comes to mean something else.
    """
    from checker.authoring.editing import confirm as confirming
    from checker.authoring.editing.file_edits import with_entry

    file = into / confirming.FILE
    reader = confirming.Reader(printing, read_by, given.day.isoformat())
    with stopping():
        if not (into / "ruleset.yaml").is_file():
            raise refused(into, "This is not a ruleset's folder.", "Name a folder with a ruleset.yaml.")
        name, data = confirming.entry(given.checker, place, rule, document, editions, reader)
        text = with_entry(text_of(file) or "", str(file), confirming.HEAD, "confirm", name, data)
    write(text, file)
    click.echo(f"Recorded in {file}.")
