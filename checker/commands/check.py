"""`changeout check`."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

import click

from checker.commands.shared import checker_of, complain, jobs_in, paint, width, with_rulesets, write
from checker.problems import ProblemsFound


@click.command()
@click.argument("paths", nargs=-1, required=True, metavar="JOB…")
@with_rulesets
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.option("--output", type=click.Path(dir_okay=False, path_type=Path), help="Write to a file, whole or not at all.")
@click.option("--strict", is_flag=True, help="Exit 1 also for open questions and for practice that is not followed.")
def check(
    paths: tuple[str, ...],
    folders: tuple[Path, ...],
    wanted: tuple[str, ...],
    on: datetime.date | None,
    form: str,
    output: Path | None,
    strict: bool,
) -> None:
    """Check jobs: files, folders of them, or - for standard input.

    \b
    Exit code, the worst of the run:
      0  nothing was found wrong in what the rules read
      1  a requirement failed without the authority's acceptance, or a question of life safety is open
      2  wrong usage, a job or ruleset that cannot be read or judged, or nothing to check
    """
    from checker.report import json as as_json
    from checker.report import text as as_text
    from checker.source import read_file, read_text

    checker = checker_of(folders, wanted)
    day = on or datetime.date.today()
    reports, code = [], 0
    for name, path in jobs_in(paths):
        try:
            document = read_text(sys.stdin.buffer.read(), name) if path is None else read_file(path, name)
            reports.append(checker.check(document, day))
        except ProblemsFound as found:
            complain(found)
            code = 2
    code = max([code, *(report.exit_code(strict) for report in reports)])
    if form == "json":
        write(as_json.render(reports), output)
    else:
        rendered = [as_text.render(report, width(), paint(output)) for report in reports]
        closing = [as_text.counts(reports) + "\n"] if len(reports) > 1 else []
        write("\n".join(rendered + closing), output)
    sys.exit(code)
