"""Rulesets opened and ready to check: what every run begins with, in each of its processes."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from checker.engine.checker import Checker
from checker.problems.problem import Problem, ProblemsFound, Where
from checker.reading.inherited.equipment import open_sheets
from checker.reading.inherited.inheritance import Inherited
from checker.reading.inherited.profile import open_profile
from checker.rulesets.library import open_rulesets
from checker.rulesets.state_rulesets import folders_of_states


def open_checker(folders: Iterable[Path] = (), wanted: tuple[str, ...] = ()) -> Checker:
    """A checker over the shipped rulesets and those under some folders, or over those of another trade alone.

    Args:
        wanted: Rulesets to use besides those of a job's place, as `id` or `id@version`.

    Raises:
        ProblemsFound: Everything wrong with any of them.
    """
    folders = list(folders)
    problems = [problem for folder in folders if (problem := _no_rulesets(folder))]
    if problems:
        raise ProblemsFound(problems)
    found = open_rulesets(folders, wanted)
    return Checker(found, found.vocabulary, wanted, kept=True)


def open_inherited(
    checker: Checker, equipment: tuple[Path, ...] = (), profile: Path | None = None, place: str = "", settings: str = ""
) -> Inherited:
    """The manufacturers' sheets, the profile and the place that jobs inherit from.

    Args:
        place: For jobs that name none.
        settings: What of all this came out of a file of settings, in words; each job's report says so.

    Raises:
        ProblemsFound: Everything wrong with any of them, said at once.
    """
    found, problems = Inherited(place=place, settings=settings), []
    try:
        found = found._replace(sheets=open_sheets(equipment, checker.vocabulary))
    except ProblemsFound as wrong:
        problems += wrong.problems
    try:
        found = found._replace(profile=open_profile(profile, checker.vocabulary) if profile else None)
    except ProblemsFound as wrong:
        problems += wrong.problems
    if problems:
        raise ProblemsFound(problems)
    return found


def _no_rulesets(folder: Path) -> Problem | None:
    """What is wrong with a folder in which there are no rulesets."""
    if not folder.is_dir():
        return Problem(Where(str(folder)), "There is no such folder of rulesets.", "Check its name.")
    if not any(folder.rglob("ruleset.yaml")) and not folders_of_states([folder]):
        hint = "A ruleset's folder has a ruleset.yaml in it; 'changeout rules new' makes one."
        return Problem(Where(str(folder)), "The folder holds no ruleset.", hint)
    return None
