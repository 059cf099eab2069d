"""Every worked case inside the shipped rules holds, and every rule has the cases it needs."""

from __future__ import annotations

from collections import defaultdict

import pytest

from checker import cases
from checker.check import Checker
from checker.library import SHIPPED, job_vocabulary, open_library

SHIPPED_NOW = Checker(open_library([SHIPPED], {SHIPPED: "rulesets"}), job_vocabulary())
STATED = [one for _, ruleset in sorted(SHIPPED_NOW.library.rulesets.items()) for one in cases.stated(ruleset)]
RULES = [(ruleset.id, rule) for ruleset in SHIPPED_NOW.library.rulesets.values() for rule in ruleset.rules]


@pytest.mark.parametrize("one", STATED, ids=lambda one: f"{one.ruleset.id}/{one.rule}/{one.case.name}")
def test_the_case_holds(one: cases.Stated) -> None:
    problem, _ = cases.run(SHIPPED_NOW, one)
    assert problem is None, str(problem)


@pytest.mark.parametrize(("ruleset", "rule"), RULES)
def test_a_rule_has_cases_for_pass_and_verify_and_for_fail_where_it_can_fail(ruleset: str, rule: str) -> None:
    expected = defaultdict(int)
    for one in STATED:
        if one.rule == rule:
            expected[one.case.expect] += 1
    assert {"pass", "verify_locally"} <= set(expected) or {"fail", "verify_locally"} <= set(expected)


def test_there_are_about_thirty_five_rules_in_four_layers() -> None:
    kinds = {ruleset.header.owner_kind for ruleset in SHIPPED_NOW.library.rulesets.values()}
    assert {"code", "federal", "practice", "local"} <= kinds
    assert 35 <= len(RULES)
