"""Rulesets with thousands of mistakes, which have a right shape and so get as far as layering and binding.

What is held is ours: the first of them are told, the rest is not looked at, and nobody waits.
"""

from __future__ import annotations

import shutil
import time
from pathlib import Path

import pytest

from checker.authoring.lint import linter as linting
from checker.engine.checker import Checker
from checker.problems.problem import MOST_TOLD, ProblemsFound
from checker.reading.files import read_text
from checker.reading.job_schema import job_vocabulary
from checker.reading.yaml_text import MOST_ENTRIES
from checker.rulesets.library import open_library
from tests.support.fuzz_targets import LANTERN, TINY
from tests.support.rulesets import ON

MANY = 5_000
REQUIREMENT = "      - lantern.height >= least_height\n"
RULE = """
  wrong-rule-{number}:
    title: A lit lantern hangs high enough
    topic: hanging
    obligation: shall
    intent: Heads and hats pass under it.
    citation:
      - {{document: guild, section: "3", section_sure: checked, requirement_sure: checked}}
    require:
      - lantern.heigt{number} >= least_height
    on_fail: It hangs too low.
    remedy: Hang it higher.
    cases:
      - {{name: at the limit, editions: {{guild: "1"}}, given: {{lantern.height: 7 ft}}, expect: pass}}
"""
WITHDRAWN = """
  no-such-rule-{number}:
    reason: Nobody hangs any.
    citation:
      - {{document: guild, section: "3", section_sure: checked, requirement_sure: checked}}
    meaning: {{"1": 0123456789abcdef}}
"""


@pytest.fixture
def rulesets(tmp_path: Path) -> Path:
    return Path(shutil.copytree(TINY / "rulesets", tmp_path / "rulesets"))


def test_of_a_rule_with_thousands_of_mistakes_a_hundred_are_told(rulesets: Path) -> None:
    file = rulesets / "guild" / "lanterns.yaml"
    text = file.read_text(encoding="utf-8")
    wrong = "".join(f"      - lantern.heigt{number} >= least_height\n" for number in range(MANY))
    file.write_text(text.replace(REQUIREMENT, wrong, 1), encoding="utf-8")
    first_told_in_time(rulesets, "'lantern.heigt0' is not a fact")


def test_of_a_layer_with_thousands_of_mistakes_a_hundred_are_told(rulesets: Path) -> None:
    text = "withdraw:" + "".join(WITHDRAWN.format(number=number) for number in range(MANY // 2))
    (rulesets / "village" / "withdrawn.yaml").write_text(text, encoding="utf-8")
    first_told_in_time(rulesets, "There is no rule or limit 'no-such-rule-0' below village")


def first_told_in_time(rulesets: Path, told: str) -> None:
    checker = Checker(open_library([rulesets]), job_vocabulary(TINY / "job.schema.json"))
    began = time.process_time()
    with pytest.raises(ProblemsFound, match="what comes after them was not looked at") as found:
        checker.check(read_text(LANTERN, "job.json"), ON)
    assert told in str(found.value)
    assert len(found.value.problems) == MOST_TOLD + 1
    assert time.process_time() - began < 2


@pytest.mark.long
def test_of_rulesets_with_thousands_of_mistakes_lint_tells_a_thousand(rulesets: Path) -> None:
    text = "rules:" + "".join(RULE.format(number=number) for number in range(linting.MOST_MISTAKES + 200))
    (rulesets / "guild" / "wrong.yaml").write_text(text, encoding="utf-8")
    checker = Checker(open_library([rulesets]), job_vocabulary(TINY / "job.schema.json"))
    found = linting.problems(checker)
    assert len(found) == linting.MOST_MISTAKES + 1
    assert [problem.sort for problem in found if "what comes after them was not looked at" in problem.what] == ["rule"]


def test_a_list_is_of_ten_thousand_entries_at_the_most() -> None:
    entries = "rows:\n" + "- a\n" * MOST_ENTRIES
    assert len(read_text(entries.encode(), "limits.yaml").data["rows"]) == MOST_ENTRIES
    with pytest.raises(ProblemsFound, match=r"limits\.yaml:2:1\n  This list has more than 10,000 entries\."):
        read_text(f"{entries}- a\n".encode(), "limits.yaml")
