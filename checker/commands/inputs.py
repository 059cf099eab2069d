"""What the options name, opened: rulesets, manufacturers' sheets, profiles, jobs."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from checker.commands.errors import complain
from checker.problems.problem import ProblemsFound

if TYPE_CHECKING:
    from checker.engine.checker import Checker
    from checker.problems.document import Document
    from checker.reading.inherited.inheritance import Inherited
    from checker.reading.job import Job


def checker_of(folders: tuple[Path, ...], wanted: tuple[str, ...]) -> Checker:
    """The rulesets that the options name; where they cannot be read, says why and stops."""
    try:
        return opened(folders, wanted)
    except ProblemsFound as found:
        complain(found)
        sys.exit(2)


def opened(folders: tuple[Path, ...], wanted: tuple[str, ...]) -> Checker:
    """The shipped rulesets and those in some folders; a folder of shipped ones is read once.

    Raises:
        ProblemsFound: Everything that keeps a ruleset from being read.
    """
    from checker.engine.startup import open_checker

    return open_checker(folders, wanted)


def inherited_of(checker: Checker, equipment: tuple[Path, ...], profile: Path | None) -> Inherited:
    """The makers' sheets and the profile that the options name, everything wrong with them said at once."""
    from checker.engine.startup import open_inherited

    try:
        return open_inherited(checker, equipment, profile)
    except ProblemsFound as found:
        complain(found)
        sys.exit(2)


def load_job(document: Document, checker: Checker, inherited: Inherited) -> Job:
    """A job read, with what it inherits.

    Raises:
        ProblemsFound: Everything wrong with the job, or with what it would inherit.
    """
    from checker.reading.inherited import inheritance

    return inheritance.load_job(document, checker.vocabulary, inherited)
