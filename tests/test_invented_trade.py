"""A second trade runs through the same engine: festival lanterns, with a schema and a ruleset and no engine module."""

from __future__ import annotations

from typing import Any

import pytest

from checker.authoring import cases
from checker.engine.checker import Checker
from tests.support.rulesets import Judge

HERE = {"site": {"jurisdiction": "xx-nether-lamp"}}
EDITION_1, EDITION_2 = {"dates": {"hung": "2023-12-31"}}, {"dates": {"hung": "2024-01-01"}}


def outcomes(judge_tiny: Judge, facts: dict[str, Any]) -> dict[str, str]:
    return {finding.rule: finding.outcome for finding in judge_tiny(facts).findings}


@pytest.mark.parametrize(
    ("height", "outcome"), [(6.999, "fail"), (7, "pass"), ("84 in", "pass"), ("2.13 m", "fail"), ("2.14 m", "pass")]
)
def test_a_limit_holds_at_and_above_itself_in_any_unit(judge_tiny: Judge, height: object, outcome: str) -> None:
    found = outcomes(judge_tiny, HERE | EDITION_1 | {"lantern": {"lit": True, "height": height}})
    assert outcome == found["lit-lantern-high-enough"]


@pytest.mark.parametrize(("dates", "outcome"), [(EDITION_1, "pass"), (EDITION_2, "fail"), ({}, "verify_locally")])
def test_the_day_decides_the_edition(judge_tiny: Judge, dates: dict[str, Any], outcome: str) -> None:
    report = judge_tiny(HERE | dates | {"lantern": {"lit": True, "height": 7.5}})
    (finding,) = (f for f in report.findings if f.rule == "lit-lantern-high-enough")
    assert outcome == finding.outcome
    assert ("date_unknown" if outcome == "verify_locally" else "") == finding.reason


def test_a_date_between_two_days_of_one_edition_decides(judge_tiny: Judge) -> None:
    between = {"dates": {"hung": {"between": ["2023-01-01", "2023-12-31"]}}}
    assert (
        "pass"
        == outcomes(judge_tiny, HERE | between | {"lantern": {"lit": True, "height": 7.5}})["lit-lantern-high-enough"]
    )
    across = {"dates": {"hung": {"between": ["2023-01-01", "2024-01-01"]}}}
    assert (
        "verify_locally"
        == outcomes(judge_tiny, HERE | across | {"lantern": {"lit": True, "height": 7.5}})["lit-lantern-high-enough"]
    )


def test_a_place_nobody_covers_is_judged_under_every_edition(judge_tiny: Judge) -> None:
    report = judge_tiny({"lantern": {"lit": True, "height": 7.5}})
    (finding,) = (f for f in report.findings if f.rule == "lit-lantern-high-enough")
    assert ("verify_locally", "not_adopted") == (finding.outcome, finding.reason)
    assert [("guild 2", "fail"), ("guild 1", "pass")] == [tuple(a) for a in finding.alternatives], (
        "would fail comes first"
    )
    assert "pass" == outcomes(judge_tiny, {"lantern": {"lit": True, "height": 9}})["lit-lantern-high-enough"], "agreed"


def test_an_open_question_of_life_safety_gives_exit_1(judge_tiny: Judge) -> None:
    known = judge_tiny(HERE | EDITION_1 | {"lantern": {"lit": True, "height": 9, "paper": "tin"}})
    unknown = judge_tiny(HERE | EDITION_1 | {"lantern": {"lit": True, "height": 9}})
    assert (0, 1) == (known.exit_code(False), unknown.exit_code(False))


def test_its_own_cases_hold(tiny: Checker) -> None:
    stated = [one for ruleset in tiny.library.rulesets.values() for one in cases.stated(ruleset)]
    assert 5 <= len(stated)
    assert [] == [problem for one in stated if (problem := cases.run(tiny, one)[0])]
