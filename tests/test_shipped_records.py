"""Each shipped ruleset has a record of its newest release, and nothing in it got looser since without a word.

Where this fails, read what it names. Put it back, or, where it is meant, release the ruleset with the reason:
`changeout rules release FOLDER --version X.Y.Z --record --looser NAME WHY`.
"""

from __future__ import annotations

from pathlib import Path

from checker.authoring.comparing.since_release import all_since
from checker.engine.checker import Checker
from checker.rulesets.record import newest, released_versions


def test_nothing_got_looser_in_what_ships_without_a_word(shipped: Checker) -> None:
    assert [] == [str(problem) for since in all_since(shipped.library) for problem in since.problems]


def test_every_shipped_ruleset_has_a_record_of_a_version_that_is_not_above_its_own(shipped: Checker) -> None:
    library = shipped.library
    for name, ruleset in library.rulesets.items():
        release = newest(library, name)
        assert release, f"{name} has no record"
        assert tuple(map(int, release.version.split("."))) <= tuple(map(int, ruleset.header.version.split(".")))
        assert {*ruleset.rules} >= {*release.data["rules"]} - {*ruleset.header.retired}


def test_records_are_small(shipped: Checker) -> None:
    library = shipped.library
    files = [file for folder in library.folders.values() for file in Path(folder).glob("releases/*.record.json")]
    assert len(files) >= sum(len(released_versions(library, name)) for name in library.rulesets)
    assert sum(file.stat().st_size for file in files) < 1_000_000
