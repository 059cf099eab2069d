"""Judging: what only a small fault in the code showed to be untested. `tests/long/mutants.py` puts such faults in.

Sources: JCGM 100:2008 and JCGM 106:2012 where named (sections from memory), the design of the program otherwise: a list
left out is unknown and not empty, less known never claims more, and a firm word stands only where nothing is in doubt.
"""

from __future__ import annotations

from typing import Any

import pytest

from checker.ir import tree
from checker.ir.kleene import Cause, Scope, Unknown
from checker.ir.node import replace
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.judging.generated_code import DOES_NOT_APPLY, Missing
from checker.judging.judge import Place, Verdict, judge, judge_at, places, too_close
from checker.judging.uncertainty import Accuracy
from tests.support.small_conditions import ROOT3, Job, accuracies, compare, flag, number, standard
from tests.support.small_domains import rule

pytestmark = pytest.mark.long


def guarded(node: tree.Compare, facts: Job, accuracy: Any) -> Unknown | None:
    return too_close(node, Scope(facts, {}), accuracy)


@pytest.mark.parametrize(("value", "firm"), [(3.0, True), (3.1, False), (6.9, False), (7.0, True)])
def test_a_reading_as_far_from_its_limit_as_the_meter_can_tell_is_firm(value: float, firm: bool) -> None:
    """Limit 5, u = 1, so U = 2: a guard band as wide as U, the end of it included (JCGM 106, 8.3.2)."""
    said = guarded(compare(number("x"), "<=", 5.0), Job({"x": value}), accuracies(x=Accuracy(ROOT3, "meter")))
    assert firm == (said is None)


def test_only_measured_facts_are_named_as_too_close() -> None:
    node = compare(number("x"), "<=", number("limit"), text="x <= limit")
    said = guarded(node, Job({"x": 4.9, "limit": 5.0}), accuracies(x=standard(1.0)))
    assert said is not None
    assert {Cause("too_close", "x")} == said.causes


def test_an_accuracy_beyond_what_can_be_worked_out_leaves_it_open() -> None:
    node = compare(tree.Arithmetic("/", tree.Constant("one", 1.0, "number"), number("x"), "number"), "<=", 5.0)
    said = guarded(node, Job({"x": 1.0}), accuracies(x=standard(1.0)))
    assert said is not None
    assert {Cause("too_close", "x")} == said.causes


def test_an_unstated_accuracy_is_asked_for_by_the_reading_it_belongs_to() -> None:
    node = compare(tree.Arithmetic("+", number("x"), number("y"), "number"), "<=", 5.0)
    said = guarded(node, Job({"x": 1.0, "y": 1.0}), accuracies(x=standard(1.0), y=None))
    assert said is not None
    (cause,) = said.causes
    assert ("not_recorded", "y") == (cause.reason, cause.fact)
    assert "accuracy" in cause.detail


def test_what_is_not_measured_and_what_has_no_margin_needs_no_guard() -> None:
    assert guarded(compare(number("x"), "<=", 5.0), Job({"x": 4.9}), accuracies()) is None
    assert guarded(compare(number("x"), "==", 5.0), Job({"x": 5.0}), accuracies(x=standard(1.0))) is None


def test_the_meter_counts_under_guarded_and_not_otherwise() -> None:
    near, node = Job({"x": 4.9}), compare(number("x"), "<=", 5.0)
    asked = rule(tree.Constantly(True, ""), node)
    known = accuracies(x=standard(1.0))
    assert [PASS] == [one.verdict.outcome for one in judge(asked, near, known)]
    assert [VERIFY] == [one.verdict.outcome for one in judge(replace(asked, judged="guarded"), near, known)]


def test_the_reason_is_the_first_of_the_list_that_is_present() -> None:
    both = frozenset([Cause("too_close", "x"), Cause("not_recorded", "y")])
    assert "not_recorded" == Verdict(VERIFY, both).reason
    assert "authority_decides" == Verdict(VERIFY, question=0).reason
    assert ["", "", ""] == [Verdict(outcome, both).reason for outcome in (PASS, FAIL, DOES_NOT_APPLY)]


LISTS = Job({}, {"a": ("left", "right"), "a.1.b": ("low", "high"), "c": ()})


def test_a_rule_goes_through_lists_and_names_each_place() -> None:
    assert [Place()] == list(places((), LISTS))
    assert [Place("a.0", "", "left"), Place("a.1", "", "right")] == list(places(("a",), LISTS))
    assert [Place(missing="d")] == list(places(("d",), LISTS)) == list(places(("d", "e"), LISTS))
    assert [] == list(places(("c",), LISTS))
    assert [
        Place("", "a.0", "left", "a.0.b"),
        Place("a.1.b.0", "a.1", "right/low"),
        Place("a.1.b.1", "a.1", "right/high"),
    ] == list(places(("a", "b"), LISTS)), "an item whose list is left out does not hide the next"


def test_a_place_of_no_list_has_no_item_and_a_verdict_says_no_more_than_it_is_told() -> None:
    assert ("", "", "", "") == Place()
    assert (PASS, frozenset(), (), True, -1, None) == Verdict(PASS)


def test_a_rule_over_an_empty_list_does_not_apply_and_says_so_once() -> None:
    asked = replace(rule(tree.Constantly(True, ""), flag("lit", "item")), for_each=("c",))
    (only,) = judge(asked, LISTS, accuracies())
    assert (Place(), DOES_NOT_APPLY) == (only.place, only.verdict.outcome)
    assert (LISTS, asked.where) == (only.scope.facts, only.scope.where)


def test_each_item_is_judged_by_its_own_facts() -> None:
    facts = Job({"a.0.lit": True, "a.1.lit": False}, {"a": ("left", "right")})
    asked = replace(rule(tree.Constantly(True, ""), flag("lit", "item")), for_each=("a",))
    said = {one.place.key: one.verdict.outcome for one in judge(asked, facts, accuracies())}
    assert {"left": PASS, "right": FAIL} == said


def test_a_rule_sees_its_own_names_and_the_item_around_its_item() -> None:
    facts = Job({"a.0.limit": 2.0, "a.0.b.0.x": 1.0}, {"a": ("left",), "a.0.b": ("low",)})
    node = compare(tree.Named("reading", "number"), "<=", number("limit", "outer"))
    asked = replace(rule(tree.Constantly(True, ""), node), for_each=("a", "b"), where={"reading": number("x", "item")})
    (only,) = judge(asked, facts, accuracies())
    assert ("left/low", PASS) == (only.place.key, only.verdict.outcome)


def test_a_firm_word_of_the_generated_function_is_taken_and_what_it_leaves_is_walked() -> None:
    asked = rule(tree.Constantly(True, ""), flag("p"))
    (firm,) = judge(asked, Job({"p": True}), accuracies(), lambda _: FAIL)
    assert FAIL == firm.verdict.outcome, "it is asked before the walk"
    for open_one in (Missing(["p"], True), None):
        (walked,) = judge(asked, Job({}), accuracies(), lambda _, said=open_one: said)  # type: ignore[misc]
        assert (VERIFY, ("p",)) == (walked.verdict.outcome, walked.verdict.needs)


def over(facts: Job, *applies: Any, outer: str = "", where: dict[str, tree.Value] | None = None) -> Verdict:
    """A rule over a list that is not recorded, `items` at the job or in the item around it."""
    asked = replace(rule(applies[0], flag("lit", "item")), applies=tree.All(applies), where=where or {})
    place = Place("", outer, "", f"{outer}.items" if outer else "items")
    said = judge_at(asked, facts, place, accuracies())
    assert (place, "", outer) == (said.place, said.scope.item, said.scope.outer), "it stands where the list would"
    return said.verdict


def test_a_list_left_out_is_asked_for() -> None:
    said = over(Job({"new": True}), flag("new"))
    assert (VERIFY, "not_recorded", ("items",), True) == (said.outcome, said.reason, said.needs, said.exact)


def test_a_list_left_out_is_not_asked_for_where_the_rule_cannot_apply_whatever_is_in_it() -> None:
    assert DOES_NOT_APPLY == over(Job({"new": False}), flag("new")).outcome
    assert DOES_NOT_APPLY == over(Job({"new": False}), flag("lit", "item"), flag("new")).outcome


def test_what_decides_whether_it_applies_is_asked_for_with_the_list() -> None:
    said = over(Job({}), flag("new"))
    assert ("items", "new") == said.needs
    assert {("not_recorded", "items"), ("not_recorded", "new")} == {(c.reason, c.fact) for c in said.causes}


def test_what_no_fact_settles_is_told_and_not_asked_for() -> None:
    said = over(Job({}), tree.Unsettled("guild", "edition(guild)"))
    assert (("items",), {"not_recorded", "not_adopted"}) == (said.needs, {cause.reason for cause in said.causes})


def test_a_condition_on_the_items_says_nothing_of_a_list_left_out() -> None:
    assert ("items",) == over(Job({}), flag("lit", "item")).needs
    named = tree.Compare(
        (tree.Named("height", "number"), tree.Constant("limit", 1.0, "number")), (">",), "number", 0.0, ""
    )
    assert ("items",) == over(Job({}), named, where={"height": number("height", "item")}).needs
    assert ("height", "items") == over(Job({}), named, where={"height": number("height")}).needs


def test_a_name_that_stands_for_another_name_starts_where_that_starts() -> None:
    names: dict[str, tree.Value] = {"height": tree.Named("measured", "number"), "measured": number("height", "item")}
    node = compare(tree.Named("height", "number"), ">", 1.0)
    assert ("items",) == over(Job({}), node, where=names).needs


def test_the_item_around_a_list_left_out_can_settle_that_the_rule_does_not_apply() -> None:
    assert DOES_NOT_APPLY == over(Job({"a.0.new": False}), flag("new", "outer"), outer="a.0").outcome
    assert DOES_NOT_APPLY == over(Job({"new": False}), flag("new"), outer="a.0").outcome, "and so can the job"
    assert ("a.0.items", "a.0.new") == over(Job({}), flag("new", "outer"), outer="a.0").needs
