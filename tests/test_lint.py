"""The shipped rulesets and the invented ones have no problem that can be known without a job."""

from __future__ import annotations

from pathlib import Path

import pytest

from checker import lint
from checker.check import Checker
from checker.library import SHIPPED, job_vocabulary, open_library
from tests.conftest import TINY


def test_the_shipped_rulesets_have_no_problems(shipped: Checker) -> None:
    assert [] == [str(problem) for problem in lint.problems(shipped)]


def test_the_invented_rulesets_have_no_problems(tiny: Checker) -> None:
    assert [] == [str(problem) for problem in lint.problems(tiny)]


def lanterns(folder: Path, old: str, new: str) -> list[str]:
    """What is wrong with the guild's rules once a text in them is another."""
    guild = TINY / "rulesets" / "guild"
    (folder / "ruleset.yaml").write_text((guild / "ruleset.yaml").read_text())
    text = (guild / "lanterns.yaml").read_text()
    assert old in text
    (folder / "lanterns.yaml").write_text(text.replace(old, new, 1))
    checker = Checker(open_library([folder]), job_vocabulary(TINY / "job.schema.json"))
    return sorted({problem.what for problem in lint.problems(checker)})


VALUE_2 = '      - {value: "8", editions: "2", source: Guild book 3, sure: checked}\n'


def test_every_edition_is_looked_at(tmp_path: Path) -> None:
    assert lanterns(tmp_path, VALUE_2, "") == ["The limit 'least_height' has no value under edition 2."]


def test_every_period_is_looked_at(tmp_path: Path) -> None:
    ended = VALUE_2.replace("source:", "until: 2027-01-01, source:")
    assert lanterns(tmp_path, VALUE_2, ended) == [
        "The limit 'least_height' has no value under edition 2 on 2027-01-01."
    ]


@pytest.mark.parametrize("editions", ['"1-2"', '"1-"', '"-1"', '"1, 2"'])
def test_values_that_share_an_edition_and_a_day_are_a_problem(editions: str, tmp_path: Path) -> None:
    found = lanterns(tmp_path, VALUE_2, VALUE_2 + VALUE_2.replace('"2"', editions).replace('"8"', '"9"'))
    assert found
    assert all(what.startswith("Two values of 'least_height' hold on the same day") for what in found)


def test_values_whose_periods_only_touch_are_none(tmp_path: Path) -> None:
    old = VALUE_2.replace("source:", "until: 2027-01-01, source:")
    new = VALUE_2.replace("source:", "from: 2027-01-01, source:")
    assert lanterns(tmp_path, VALUE_2, old + new) == []


def test_every_shipped_ruleset_is_looked_at(shipped: Checker) -> None:
    headers = {path.parent.name for path in SHIPPED.rglob("ruleset.yaml")}
    assert len(headers) == len(shipped.library.rulesets) > 0
