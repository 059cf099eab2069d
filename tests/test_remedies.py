"""A remedy never makes another rule fail: each computed remedy of each failing case is carried out and judged again."""

from __future__ import annotations

import copy
import json
from typing import Any

import pytest

from checker.authoring import cases
from checker.engine.checker import Checker
from checker.engine.job_report import SETTLE_FIRST
from checker.ir.kleene import Nothing
from checker.judging.judge import judge
from checker.judging.values import evaluate
from checker.reading.files import read_text
from checker.reading.job import load
from checker.reading.units import base_unit
from tests.support.jobs import set_everywhere
from tests.support.rulesets import ON, stated_cases

# Rules of which the computed size is the whole remedy; others ask for more than a size.
MENDED_WHOLE = ("overcurrent-within-nameplate", "overcurrent-not-under-minimum-ampacity")


def outcomes(checker: Checker, data: dict[str, Any]) -> dict[tuple[str, str], str]:
    """How a job stands: the outcomes that its report would have, and much sooner."""
    rows = checker.outcomes(load(read_text(json.dumps(data).encode(), "job.json"), checker.vocabulary), ON)
    return {(rule, row.item): said for row in rows for rule, said in zip(row.rules, row.outcomes, strict=True)}


def failing(field: str) -> list[cases.Stated]:
    """The failing cases of rules that have something in a field."""
    stated = [one for one in stated_cases() if one.case.expect == "fail" and one.rule in one.ruleset.rules]
    return [one for one in stated if getattr(one.ruleset.rules[one.rule], field)]


@pytest.mark.parametrize("part", [0, *(pytest.param(n, marks=pytest.mark.long) for n in range(1, 12))])
def test_a_computed_remedy_breaks_no_other_rule(shipped: Checker, part: int) -> None:
    """Every twelfth case."""
    tried = failing("mend")[part::12]
    assert 2 <= len({one.rule for one in tried})
    for one in tried:
        assert_it_breaks_no_other_rule(one, shipped)


def assert_it_breaks_no_other_rule(one: cases.Stated, checker: Checker) -> None:
    named = f"{one.rule}/{one.case.name}"
    for_each = one.ruleset.rules[one.rule].for_each
    data = cases.job_data(one.case.given, for_each, checker.vocabulary)
    data.setdefault("site", {})["adopted"] = [
        {"key": c, "code": c, "edition": e, "told_by": "case"} for c, e in one.case.editions.items()
    ]
    job = load(read_text(json.dumps(data).encode(), "job.json"), checker.vocabulary)
    now = checker.check_job(job, ON).findings
    before = {(finding.rule, finding.item): finding.outcome for finding in now}
    held_back = any(f.rule == one.rule and f.remedy.startswith(SETTLE_FIRST) for f in now)
    accuracy, facts = checker.seen(job)
    for variant, findings in checker.explained(job, one.rule, ON):
        if not variant.rule or not findings or held_back:
            continue
        for judged in judge(variant.rule, facts, accuracy):
            mended, changed = copy.deepcopy(data), False
            for fact, value in variant.rule.mend:
                amount = evaluate(value, judged.scope)
                if isinstance(amount, Nothing):
                    continue  # there is no such size: the remedy leaves the sentence out
                assert isinstance(amount, float | str | bool), f"{fact.path}: the remedy could not be worked out"
                written = amount if not isinstance(amount, float) else f"{amount} {base_unit(fact.kind).name}"
                if fact.kind == "number":
                    written = int(amount)
                changed = True
                set_everywhere(mended, judged.scope.path(fact).split("."), written)
            after = outcomes(checker, mended)
            broken = {key for key, outcome in after.items() if outcome == "fail" and before.get(key) != "fail"}
            assert set() == broken, named
            whole = one.rule in MENDED_WHOLE and changed and data["circuits"][0].get("devices")
            assert not whole or "fail" != after[one.rule, judged.place.key], f"the remedy mends the rule: {named}"


@pytest.mark.long
def test_a_remedy_is_the_rules_own_also_where_others_come_first(shipped: Checker) -> None:
    waiting = failing("remedy_after")
    assert 5 <= len({one.rule for one in waiting})
    for one in waiting:
        assert_the_remedy_is_its_own(one, shipped)


def assert_the_remedy_is_its_own(one: cases.Stated, checker: Checker) -> None:
    rule, named_case = one.ruleset.rules[one.rule], f"{one.rule}/{one.case.name}"
    data = cases.job_data(one.case.given, rule.for_each, checker.vocabulary)
    data.setdefault("site", {})["adopted"] = [
        {"key": c, "code": c, "edition": e, "told_by": "case"} for c, e in one.case.editions.items()
    ]
    job = load(read_text(json.dumps(data).encode(), "job.json"), checker.vocabulary)
    own = {f.finding_id: f.remedy for _, findings in checker.explained(job, one.rule, ON) for f in findings}
    found = checker.check_job(job, ON).findings
    titles = {f.title for f in found if f.rule in rule.remedy_after and f.outcome != "pass"}
    for finding in (f for f in found if f.rule == one.rule and f.outcome == "fail"):
        first, _, after = finding.remedy.rpartition(own[finding.finding_id])
        assert "" == after, named_case
        named = first.removeprefix(f"{SETTLE_FIRST} ").rstrip(". ")
        assert not first or set(named.split("; ")) <= titles, named_case
        assert first or not titles, f"what is open on the one circuit of a case is named: {named_case}"
