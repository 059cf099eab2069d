"""A folder of rulesets looked at after each save: lint, and the cases in the files that were saved. The door of watchfiles."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from checker.commands.errors import tell
from checker.commands.extras import refuse_without
from checker.commands.inputs import together
from checker.problems.problem import Problem, ProblemsFound
from checker.problems.sanitize import inert

if TYPE_CHECKING:
    from checker.engine.checker import Checker


class Looked(NamedTuple):
    """What a look at rulesets found: mistakes, and what got looser since a release. `checker` is None where none can be made."""

    many: int
    problems: list[Problem]
    looser: list[Problem]
    checker: Checker | None = None


def watch(folders: tuple[Path, ...], more: tuple[Path, ...], look: Callable[[], Looked]) -> None:
    """Look at rulesets now and after each save, until Ctrl-C.

    Args:
        folders: The folders whose files are watched, those of `more` rulesets too.
        look: Reads and lints the rulesets anew.
    """
    refuse_without("watchfiles", "watch", "--watch", "run the command after each save")
    from watchfiles import watch as changes

    watched = together(folders, more)
    click.echo(f"Watching {', '.join(map(str, watched))}. Save a file to have it looked at; Ctrl-C ends this.")
    begun = False
    # What is saved during a look is seen after it: the watcher is at work before the first look begins.
    for changed in changes(
        *watched, watch_filter=_is_yaml, rust_timeout=300, yield_on_timeout=True, raise_interrupt=False
    ):
        saved = sorted({Path(name) for _, name in changed})
        if saved:
            click.echo(inert(f"\nSaved: {', '.join(file.name for file in saved)}."))
        if saved or not begun:
            _say(look(), saved)
        begun = True


def _is_yaml(_: object, name: str) -> bool:
    return name.endswith((".yaml", ".yml"))


def _say(looked: Looked, saved: Iterable[Path]) -> None:
    """Tell the mistakes, what got looser, and the cases in the saved files that do not hold."""
    problems, run = [*looked.problems, *looked.looser], 0
    if looked.checker and not looked.problems:
        run, failed = _cases(looked.checker, {file.resolve() for file in saved})
        problems += failed
    for problem in problems:
        tell(problem)
    held = f"; {run} cases hold" if run else ""
    click.echo(f"{len(problems)} to look at." if problems else f"Nothing wrong{held}.")


def _cases(checker: Checker, saved: set[Path]) -> tuple[int, list[Problem]]:
    """How many cases stand in some files, and what is wrong with those that do not hold."""
    from checker.authoring import cases

    stated = [
        one
        for ruleset in checker.library.rulesets.values()
        for one in cases.stated(ruleset)
        if saved and Path(one.part.document.file).resolve() in saved
    ]
    try:
        return len(stated), [problem for one in stated if (problem := cases.run(checker, one)[0])]
    except ProblemsFound as found:
        return len(stated), found.problems
