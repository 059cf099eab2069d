"""`changeout rules release`."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from checker.commands import options
from checker.commands.errors import stopping, tell
from checker.commands.options import Day
from checker.commands.output import write
from checker.commands.signatures import sign, signature_file
from checker.problems.problem import Problem, ProblemsFound, refused

if TYPE_CHECKING:
    from checker.authoring.comparing.since_release import Since
    from checker.rulesets.headers import ConfirmedChange

HOW = "Put it back, or say why: --looser NAME WHY."


@options.command()
@click.argument("path", type=click.Path(path_type=Path))
@click.option("--version", required=True, metavar="X.Y.Z", help="The version to release.")
@click.option("--looser", "meant", type=(str, str), multiple=True, metavar="NAME WHY",
              help="Why what got looser in the rule, limit or change NAME is intended; once for each.")  # fmt: skip
@click.option("--all-looser", metavar="WHY", help="Why all that got looser is intended.")
@click.option("--record", is_flag=True, help="Keep a small record to compare with alone.")
@click.option("--sign", "key", type=click.Path(path_type=Path), metavar="KEY", help="Sign it with this SSH key.")
@options.more_rules
@click.option("--on", type=Day(), default=None, metavar="DATE", help="The day of the release. Default: today.")
def release(
    path: Path,
    version: str,
    meant: tuple[tuple[str, str], ...],
    all_looser: str | None,
    record: bool,
    key: Path | None,
    folders: tuple[Path, ...],
    on: datetime.date | None,
) -> None:
    """Release the ruleset in the folder PATH as X.Y.Z: a frozen copy of it and of all it stands on, for good.

    Lint, the worked cases and their flips come first. The version must be a large enough step from the release before.
    What got looser since then is told, and a reason is needed for each: on the terminal, or by --looser or --all-looser.
    Writes ruleset.yaml (its version), CHANGELOG.md (an entry, begun) and releases/X.Y.Z.json, which says what was
    confirmed and why; with --record, releases/X.Y.Z.record.json, a small file that only lint compares with. With --sign
    the signature stands beside it, as X.Y.Z.json.sig.
    """
    from checker.authoring import releasing

    def confirm(since: Since) -> list[ConfirmedChange]:
        return _confirmed(since, dict(meant), all_looser)

    with stopping():
        one = releasing.ready(path, version, folders, (on or datetime.date.today()).isoformat(), confirm, record)
        signature = [(signature_file(one.file), sign(one.release, key))] if key else []
    for file, text in [*signature, *one.writes]:
        file.parent.mkdir(exist_ok=True)
        write(text, file)
        click.echo(f"Written: {file}")
    click.echo(f"{one.id}@{version} is released; finish its entry in the changelog.")


def _confirmed(since: Since, meant: dict[str, str], every: str | None) -> list[ConfirmedChange]:
    """Each change that got looser, with the reason that an option gives or the terminal.

    Raises:
        ProblemsFound: There is no reason for one of them, or one for what did not get looser.
    """
    from checker.rulesets.headers import ConfirmedChange

    idle = sorted(meant.keys() - {one.name for one in since.looser})
    if idle:
        raise refused("--looser", f"Nothing got looser in '{idle[0]}'.", "Leave it out.")
    confirmed, open_ones = [], []
    for one, problem in zip(since.looser, since.problems, strict=True):
        why = (meant.get(one.name) or every or _asked(problem)).strip()
        if not why:
            open_ones.append(problem)
        confirmed.append(ConfirmedChange(name=one.name, weight=one.weight, what=one.what, why=why))
    if open_ones:
        raise ProblemsFound([one._replace(hint=HOW) for one in open_ones])
    return confirmed


def _asked(problem: Problem) -> str:
    """The reason typed at a terminal; nothing where there is none, or where the change is not meant."""
    from checker.commands.prompts import Asking

    if not at_terminal():
        return ""
    tell(problem)
    asking = Asking()
    return asking.text("Why?") if asking.yes("Is this intended?", default=False) else ""


def at_terminal() -> bool:
    """Whether there is somebody to ask."""
    return sys.stdin.isatty()
