"""The order of knowledge, what is needed, and the generated function: brute force on small domains.

Oracle: every way of filling in what is not recorded, judged on full knowledge only.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checker.ir import tree
from checker.ir.kleene import Scope
from checker.ir.node import replace
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.judging.exactness import Domain, Exactness
from checker.judging.generated_code import DOES_NOT_APPLY, Missing, compiled, outcome_of, together
from checker.judging.judge import Verdict, _plainly, settle, verdict_of
from checker.judging.trial import Trial
from tests.support.small_domains import CLOSED, DOMAINS, SmallFacts, completions, recorded, rule, rules

pytestmark = pytest.mark.long


def outcome(rule: tree.BoundRule, facts: dict[str, Any]) -> str:
    return settle(rule, Scope(SmallFacts(facts), {})).outcome


@settings(max_examples=400, deadline=None)
@given(rules, recorded)
def test_more_knowledge_never_takes_an_outcome_back(rule: tree.BoundRule, facts: dict[str, Any]) -> None:
    now = outcome(rule, facts)
    later = {outcome(rule, full) for full in completions(facts)}
    allowed = {PASS: {PASS, DOES_NOT_APPLY}, FAIL: {FAIL}, DOES_NOT_APPLY: {DOES_NOT_APPLY}}
    assert now == VERIFY or later <= allowed[now]
    assert VERIFY not in later


@settings(max_examples=400, deadline=None)
@given(rules, recorded)
def test_where_every_completion_of_closed_lists_agrees_that_is_the_outcome(
    rule: tree.BoundRule, facts: dict[str, Any]
) -> None:
    facts = {name: facts.get(name, DOMAINS[name][0]) for name in DOMAINS if name not in CLOSED} | {
        name: value for name, value in facts.items() if name in CLOSED
    }
    later = {outcome(rule, full) for full in completions(facts)}
    now = outcome(rule, facts)
    fine = {PASS, DOES_NOT_APPLY}  # what is required holds: a pass, whether or not the rule turns out to apply
    assert (now in fine) == (later <= fine)
    assert (now == FAIL) == (later == {FAIL})


def that_matter(rule: tree.BoundRule, facts: dict[str, Any]) -> set[str]:
    """Facts of which two values, all else equal, give different outcomes: tried one by one.

    Whether a rule passes or does not apply is no difference that anybody is asked about.
    """
    found = set()
    for name in (name for name in DOMAINS if name not in facts):
        for full in completions(facts):
            if len({outcome(rule, {**full, name: value}) == FAIL for value in DOMAINS[name]}) > 1:
                found.add(name)
                break
    return found


@settings(max_examples=250, deadline=None)
@given(rules, recorded)
def test_what_is_needed_is_what_matters(rule: tree.BoundRule, facts: dict[str, Any]) -> None:
    verdict = settle(rule, Scope(SmallFacts(facts), {}))
    if verdict.outcome != VERIFY:
        return
    matter = that_matter(rule, facts)
    assert matter <= set(verdict.needs), "sufficient: nothing that matters is left out"
    if verdict.exact:
        assert set(verdict.needs) == matter, "minimal: nothing else is asked for"


def closed(_: tree.BoundRule, fact: tree.Fact) -> Domain:
    return Domain(DOMAINS[fact.path] if fact.path in CLOSED else (), may_be_none=False, ranged=False)


@settings(max_examples=400, deadline=None)
@given(rules, recorded)
def test_the_generated_function_agrees_with_the_walk(rule: tree.BoundRule, facts: dict[str, Any]) -> None:
    scope = Scope(SmallFacts(facts), {})
    quick = outcome_of(compiled(rule, closed)(scope))
    plainly = _plainly(rule, scope).outcome
    assert quick in (None, outcome(rule, facts)), "what it says is what the walk says"
    if plainly != VERIFY:
        left = [None] if Exactness(rule, closed).bounded else []  # the walk knows bounds of what is open
        assert quick in (plainly, *left), "and it says whatever plain facts settle without trying values"


def without_trace(verdict: Verdict) -> Verdict:
    return verdict._replace(trace=None)


@settings(max_examples=600, deadline=None)
@given(rules, recorded)
def test_what_the_generated_function_finds_missing_is_what_the_walk_does(
    rule: tree.BoundRule, facts: dict[str, Any]
) -> None:
    """The whole verdict: outcome, causes, what is needed, and whether that is exact."""
    scope = Scope(SmallFacts(facts), {})
    said = compiled(rule, closed)(scope)
    walked = settle(rule, scope)
    if said is not None:
        assert without_trace(walked) == verdict_of(rule, said)


@settings(max_examples=600, deadline=None)
@given(rules, recorded)
def test_the_values_that_generated_code_tries_tell_what_the_walk_tells(
    rule: tree.BoundRule, facts: dict[str, Any]
) -> None:
    small = SmallFacts(facts)
    trial = Trial(rule, closed)
    walked = settle(rule, Scope(small, {}))
    assert trial.outcome(small, "", "") in (None, walked.outcome)
    found = trial.verdict(small, "", "")
    if found is not None:
        assert without_trace(walked) == found


@settings(max_examples=600, deadline=None)
@given(st.lists(rules, min_size=1, max_size=3), recorded, st.booleans())
def test_one_function_for_many_rules_says_of_each_what_the_walk_says(
    many: list[tree.BoundRule], facts: dict[str, Any], telling: bool
) -> None:
    """Knowing what values a fact can have, it also says which outcomes stay open; what it does not say it leaves out."""
    small = SmallFacts(facts)
    said = together(many, closed, telling).judge(small.recorded, [], lambda number: Scope(small, many[number].where))
    for found, one in zip(map(outcome_of, said), many, strict=True):
        assert found in (None, outcome(one, facts))
        if _plainly(one, Scope(small, {})).outcome != VERIFY:
            assert found == outcome(one, facts) or Exactness(one, closed).bounded


def test_one_function_tells_an_open_outcome_where_every_fact_is_read_once() -> None:
    """`x` decides and is not recorded. Where any word of a list will do, trying them says more: that is left to the trial."""
    high = tree.Compare((X, tree.Constant("limit", 1.5, "number")), (">",), "number", 1e-9, "x > 1.5")
    low = replace(high, operators=("<=",))
    any_colour = tree.Member(tree.Fact("c", "job", "word"), DOMAINS["c"], False, "c in …")
    many = [
        rule(P, high),
        rule(P, tree.AnyOf(tuple(tree.Branch("", one, (), ()) for one in (high, low)))),
        rule(P, any_colour),
    ]
    small = SmallFacts({"p": True})
    found = together(many, closed).judge(small.recorded, [], lambda _: Scope(small, {}))
    assert [Missing(["x"], True), Missing(["x", "x"], False), None] == found
    assert PASS == Trial(many[2], closed).outcome(small, "", "")


def test_what_is_required_is_no_pass_where_the_walk_sees_that_the_rule_does_not_apply() -> None:
    """`c` is not recorded, and the condition on it is false of every word of its list; what is required holds."""
    no_colour = tree.Member(tree.Fact("c", "job", "word"), DOMAINS["c"], True, "c not in …")
    one, small = rule(no_colour, P), SmallFacts({"p": True})
    assert settle(one, Scope(small, {})).outcome == DOES_NOT_APPLY
    assert [None] == together([one], closed).judge(small.recorded, [], lambda _: Scope(small, {}))


X = tree.Fact("x", "job", "number")
P = tree.Truth(tree.Fact("p", "job", "flag"), "p")
