"""`changeout jobs lessons`."""

from __future__ import annotations

import sys
from pathlib import Path

from checker.commands import options
from checker.commands.inputs import Inputs
from checker.commands.many_jobs import EachJob
from checker.commands.output import width, write


@options.command()
@options.jobs
@options.with_inputs(dated=False)
@options.in_form("text", "json")
@options.to_file
def lessons(paths: tuple[str, ...], given: Inputs, form: str, output: Path | None) -> None:
    """What notices said next to what the checks said: the rules they are about, rules to write, weights.

    Each job is judged as of the day of its inspections.

    \b
    Exit code:
      0  every job was read
      2  wrong usage, or a job that cannot be used; the others are told of
    """
    from checker.portfolio.lessons import Lessons
    from checker.portfolio.lessons_text import as_json, as_text

    learned, each = Lessons(given.checker), EachJob(paths, output)
    each.hand_over(lambda document: learned.add(given.load(document)))
    text = as_json(learned, each.unusable) if form == "json" else as_text(learned, each.unusable, width())
    write(text, output)
    sys.exit(2 if each.unusable else 0)
