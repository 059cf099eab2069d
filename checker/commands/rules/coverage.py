"""`changeout rules coverage`."""

from __future__ import annotations

import sys
from pathlib import Path

from checker.commands import options
from checker.commands.inputs import Inputs
from checker.commands.many_jobs import EachJob
from checker.commands.output import width, write


@options.command()
@options.jobs
@options.with_inputs()
@options.in_form("text", "json")
@options.to_file
def coverage(paths: tuple[str, ...], given: Inputs, form: str, output: Path | None) -> None:
    """Which rules, lines, branches and editions the jobs exercised; those never exercised first.

    \b
    Exit code:
      0  every job was judged
      2  wrong usage, or a job that cannot be used; the others are counted
    """
    from checker.authoring.impact.coverage import Coverage
    from checker.authoring.impact.coverage_text import as_json, as_text

    covered, each = Coverage(given.checker, given.day), EachJob(paths, output)
    each.hand_over(lambda document: covered.add(given.load(document)))
    write(as_json(covered, each.unusable) if form == "json" else as_text(covered, each.unusable, width()), output)
    sys.exit(2 if each.unusable else 0)
