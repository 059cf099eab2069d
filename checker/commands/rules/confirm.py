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
@click.argument("rule", metavar="RULE|CODE")
@click.option("--document", default="", help="The document that was read, where the rule cites several.")
@click.option("--edition", "editions", multiple=True, help="The edition that was read; may be given several times.")
@click.option("--printing", required=True, help="Which printing, or where it was looked up.")
@click.option("--by", "read_by", required=True, help="Who read it.")
@click.option("--state", default="", metavar="XX", help="A state that enforces CODE: electrical.")
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
    state: str,
    place: str,
    into: Path,
    given: Inputs,
) -> None:
    """Record that the section of RULE was read in the book, and says what the rule says.

    From then on its citation counts as checked, until the rule means something else. With --state, CODE's edition counts.
    """
    if state:
        _of_state(rule, state, editions, printing, read_by, into, given)
        return
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


def _of_state(code: str, state: str, editions: tuple[str, ...], where: str, by: str, into: Path, given: Inputs) -> None:
    """Record who looked up an edition of a state's code, where and when."""
    from checker.authoring.editing.confirm_state import with_record
    from checker.rulesets.state_rulesets import state_of_file
    from checker.rulesets.states import LookedUp

    file = into / f"{state.lower()}.yaml"
    with stopping():
        if not file.is_file() or len(editions) != 1:
            what = f"There is no {file.name} in it." if not file.is_file() else "One edition is in force."
            raise refused(into, what, "Name the folder of the states' files, and --edition once.")
        record = LookedUp(code=code, edition=editions[0], by=by, where=where, on=given.day.isoformat())
        text = with_record(text_of(file) or "", file, state_of_file(file), record)
    write(text, file)
    click.echo(f"Recorded in {file}.")
