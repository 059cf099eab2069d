"""`changeout rules prove`."""

from __future__ import annotations

import json
import sys
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING

import click

from checker.commands import options
from checker.commands.errors import complain, stop
from checker.commands.extras import refuse_without
from checker.commands.guard import Output
from checker.commands.inputs import together
from checker.commands.output import write
from checker.problems.problem import ProblemsFound

if TYPE_CHECKING:
    from checker.authoring.proofs.found import Findings


@options.command()
@click.argument("folders", nargs=-1, type=click.Path(path_type=Path), metavar="[FOLDER]…")
@options.more_rules_too
@click.option(
    "--witness", type=Output(file_okay=False), metavar="FOLDER", help="Save the job that shows each hit here."
)
def prove(folders: tuple[Path, ...], more: tuple[Path, ...], witness: Path | None) -> None:
    """Prove of rulesets what no job can show by itself: the shipped ones, or those in the folders that are named.

    Rules that contradict each other or ask the same, rules that no job fails, passes or comes under, options that never
    decide, changes that change nothing, facts and questions that do not matter. Each comes with a job that shows it, which
    'changeout check' runs. Rules and pairs that could not be decided are counted.

    Needs the extra 'proofs'. Exit code 0 where nothing was found, 1 where something was, 2 where
    a ruleset cannot be read.
    """
    refuse_without("z3", "proofs", "rules prove")
    from checker.authoring.proofs.prover import prove as proved
    from checker.engine.startup import open_checker

    if witness:
        try:
            witness.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            stop(witness, f"The folder cannot be made: {error.strerror}.", "Name another folder.")
    try:
        checker = open_checker(together(folders, more))
        roots = [folder.resolve() for folder in folders]
        places = checker.library.folders.items()
        found = proved(checker, {name for name, path in places if any(path.resolve().is_relative_to(r) for r in roots)})
    except ProblemsFound as error:
        complain(error)
        sys.exit(2)
    write("\n".join(_told(found, witness)) + "\n", None)
    sys.exit(1 if found.hits else 0)


def _told(found: Findings, folder: Path | None) -> list[str]:
    """What was found as text; the witnesses are saved on the way where a folder is named."""
    lines: list[str] = []
    for number, hit in enumerate(found.hits, 1):
        lines.append(f"{hit.problem} [{hit.sort}]")
        if hit.witness:
            said = ", ".join(f"{outcome} by '{rule}'" for rule, outcome in hit.witness.outcomes)
            saved = ""
            if folder:
                file = folder / f"{number:02}-{hit.sort}.json"
                write(json.dumps(hit.witness.job, indent=2, ensure_ascii=False) + "\n", file)
                saved = f": {file}"
            lines.append(f"  A job shows it ({said}){saved}.")
    lines.append(f"{len(found.hits)} found. {len(found.decided)} claims were looked at and are in order.")
    for sort in sorted({sort for sort, _, _ in found.undecided}):
        reasons = Counter(why for one, _, why in found.undecided if one == sort)
        lines.append(f"Could not decide {reasons.total()} of '{sort}'. Most often: {reasons.most_common(1)[0][0]}.")
    return lines
