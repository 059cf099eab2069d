"""Judging: what only a small fault in the code showed to be untested. `tests/long/mutants.py` puts such faults in.

Sources: JCGM 100:2008 and JCGM 106:2012 where named (sections from memory), the design of the program otherwise: a list
left out is unknown and not empty, less known never claims more, and a firm word stands only where nothing is in doubt.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from checker import tree
from checker.evaluate import MOST_COMBINATIONS, open_choices, truth
from checker.findings import FAIL, PASS, VERIFY
from checker.generated import DOES_NOT_APPLY
from checker.judge import Place, Verdict, agreed, judge, judge_at, outcome_of, places, settle, too_close
from checker.uncertainty import Accuracy, Margin, margin, probability_of_conformity
from checker.values import (
    NONE,
    Cause,
    Known,
    Nothing,
    Range,
    Scope,
    Truth,
    Unknown,
    all_of,
    any_of,
    compared,
    missing,
)
from tests.small_domains import SmallFacts, rule

ROOT3 = math.sqrt(3)
TIGHT = 1e-9


class Job(SmallFacts):
    """Facts by full path; lists by the path of the list and the keys of its items; closed lists of values by path."""

    def __init__(
        self,
        recorded: dict[str, Any],
        lists: dict[str, tuple[str, ...]] | None = None,
        closed: dict[str, tuple[Known | Nothing, ...] | Range] | None = None,
    ) -> None:
        super().__init__(recorded)
        self.lists, self.closed = lists or {}, closed or {}

    def possible(self, path: str) -> Any:
        return self.closed.get(path)

    def items(self, path: str) -> tuple[str, ...] | None:
        return self.lists.get(path)


def number(path: str, frame: str = "job") -> tree.Fact:
    return tree.Fact(path, frame, "number")


def flag(path: str, frame: str = "job") -> tree.Truth:
    return tree.Truth(tree.Fact(path, frame, "flag"), path)


def compare(*parts: Any, text: str = "") -> tree.Compare:
    """Operands and operators in turn: `compare(1.0, "<=", number("x"))`."""
    operands = tuple(tree.Constant("limit", p, "number") if isinstance(p, float) else p for p in parts[::2])
    return tree.Compare(operands, tuple(parts[1::2]), "number", TIGHT, text)


def accuracies(**stated: Accuracy | bool | None) -> Any:
    """The accuracy of a path; what is not named is not a measured fact."""
    return lambda path: stated.get(path, False)


def standard(value: float, instrument: str = "meter") -> Accuracy:
    """An accuracy of which the standard uncertainty is this."""
    return Accuracy(value * ROOT3, instrument)


def average(items: str) -> tree.Fold:
    return tree.Fold("average", tree.Fact(items, "job", "list"), "value", "number")


def found(node: tree.Compare, facts: Job, accuracy: Any, where: dict[str, tree.Value] | None = None) -> Margin:
    said = margin(node, Scope(facts, where or {}), accuracy)
    assert said is not None
    return said


# --- uncertainty -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("sides", "probability"), [((0.1,), 1.0), ((0.0,), 1.0), ((-0.1,), 0.0), ((0.1, 3.0), 1.0), ((3.0, -0.1), 0.0)]
)
def test_without_uncertainty_a_value_is_inside_or_it_is_not(sides: tuple[float, ...], probability: float) -> None:
    assert probability == probability_of_conformity(sides, 0.0)


def test_nothing_measured_is_without_uncertainty_and_nothing_of_it_is_unstated() -> None:
    said = found(compare(number("x"), "<=", 5.0), Job({"x": 3.0}), accuracies())
    assert (2.0, (2.0,), 0.0, ()) == said
    assert (0.0, 1.0) == (said.expanded, said.probability)


def test_readings_without_a_stated_accuracy_are_named_and_others_are_not() -> None:
    total = tree.Arithmetic("+", number("x"), tree.Arithmetic("+", number("y"), number("z"), "number"), "number")
    said = found(
        compare(total, "<=", 9.0), Job({"x": 1.0, "y": 2.0, "z": 3.0}), accuracies(x=None, y=standard(1.0), z=False)
    )
    assert ("x",) == said.unstated
    assert (None, None, None) == (said.standard, said.expanded, said.probability)


def test_a_margin_of_measured_values_has_its_probability_and_expanded_uncertainty() -> None:
    # JCGM 106:2012, worked example: −5.47 under −5.40 with u = 0.05 is 91.9 %; inputs from memory. U = 2 u.
    said = found(compare(number("x"), "<=", -5.40), Job({"x": -5.47}), accuracies(x=standard(0.05)))
    assert said.sides == pytest.approx((0.07,))
    assert said.probability == pytest.approx(0.919, abs=5e-4)
    assert said.expanded == pytest.approx(0.10)


@pytest.mark.parametrize(("operator", "amount"), [("<=", 2.0), ("<", 2.0), (">=", -2.0), (">", -2.0)])
def test_a_margin_is_positive_on_the_right_side_of_its_limit(operator: str, amount: float) -> None:
    assert amount == found(compare(number("x"), operator, 5.0), Job({"x": 3.0}), accuracies()).amount


@pytest.mark.parametrize("operator", ["==", "!="])
def test_being_the_same_or_not_has_no_margin(operator: str) -> None:
    assert margin(compare(number("x"), operator, 5.0), Scope(Job({"x": 3.0}), {}), accuracies()) is None


@pytest.mark.parametrize("value", [True, "red", NONE])
def test_what_is_no_amount_has_no_margin(value: Any) -> None:
    assert margin(compare(number("x"), "<=", 5.0), Scope(Job({"x": value}), {}), accuracies()) is None


def test_where_only_one_of_two_moved_values_can_be_worked_out_the_uncertainty_is_not_known() -> None:
    """1 / (x − 1) at x = 2 with u = 1: one step down there is no value."""
    below = tree.Arithmetic("-", number("x"), tree.Constant("one", 1.0, "number"), "number")
    node = compare(tree.Arithmetic("/", tree.Constant("one", 1.0, "number"), below, "number"), "<=", 5.0)
    said = found(node, Job({"x": 2.0}), accuracies(x=standard(1.0)))
    assert (None, ()) == (said.standard, said.unstated)
    above = tree.Arithmetic("+", number("x"), tree.Constant("one", 1.0, "number"), "number")
    node = compare(tree.Arithmetic("/", tree.Constant("one", 1.0, "number"), above, "number"), "<=", 5.0)
    assert found(node, Job({"x": -2.0}), accuracies(x=standard(1.0))).standard is None, "nor one step up"


def test_between_two_limits_the_less_certain_side_counts() -> None:
    """y ≤ x ≤ 9: x and y by two meters, u = 4 and 3, so 5 towards y and 4 towards 9 (JCGM 100, 5.1.2)."""
    facts, known = Job({"x": 5.0, "y": 1.0}), accuracies(x=standard(4.0, "a"), y=standard(3.0, "b"))
    assert found(compare(number("y"), "<=", number("x"), "<=", 9.0), facts, known).standard == pytest.approx(5.0)
    assert found(compare(9.0, ">=", number("x"), ">=", number("y")), facts, known).standard == pytest.approx(5.0)


def test_one_meters_readings_that_are_added_may_both_be_off_the_same_way() -> None:
    """JCGM 100, 5.2.2: fully correlated inputs add; 1 + 1 = 2, where two meters give √2."""
    node = compare(tree.Arithmetic("+", number("x"), number("y"), "number"), "<=", 9.0)
    facts = Job({"x": 1.0, "y": 2.0})
    one = found(node, facts, accuracies(x=standard(1.0, "a"), y=standard(1.0, "a"))).standard
    two = found(node, facts, accuracies(x=standard(1.0, "a"), y=standard(1.0, "b"))).standard
    assert (one, two) == (pytest.approx(2.0), pytest.approx(math.sqrt(2)))


SCATTER = math.sqrt(2) / math.sqrt(2)  # of the readings 1 and 3: s = √2 and n = 2, so s/√n = 1 (JCGM 100, 4.2.3)
TWO_LISTS = Job(
    {"a.0.value": 1.0, "a.1.value": 3.0, "b.0.value": 1.0, "b.1.value": 3.0}, {"a": ("1", "2"), "b": ("1", "2")}
)


def test_the_scatter_of_two_averages_is_independent() -> None:
    node = compare(tree.Arithmetic("+", average("a"), average("b"), "number"), "<=", 9.0)
    exact = found(node, TWO_LISTS, lambda _: Accuracy(0.0, "meter")).standard
    assert exact == pytest.approx(math.hypot(SCATTER, SCATTER)), "two lists, so root-sum-square"


def test_an_average_under_a_name_brings_its_scatter_too() -> None:
    node = compare(tree.Named("mean", "number"), "<=", 9.0)
    said = found(node, TWO_LISTS, lambda _: Accuracy(0.0, "meter"), {"mean": average("a")})
    assert said.standard == pytest.approx(SCATTER)


def test_one_reading_and_a_total_have_no_scatter() -> None:
    one = Job({"a.0.value": 1.0}, {"a": ("1",)})
    assert 0.0 == found(compare(average("a"), "<=", 9.0), one, lambda _: Accuracy(0.0, "meter")).standard
    total = compare(average("a")._replace(name="total"), "<=", 9.0)
    assert 0.0 == found(total, TWO_LISTS, lambda _: Accuracy(0.0, "meter")).standard


def test_an_average_of_what_is_not_measured_is_without_uncertainty() -> None:
    said = found(compare(average("a"), "<=", 9.0), TWO_LISTS, accuracies())
    assert (0.0, ()) == (said.standard, said.unstated)


# --- judging ---------------------------------------------------------------------------------------------------------


def verdict(applies: Any, require: Any, facts: Job, **more: Any) -> Verdict:
    asked = rule(applies, require)._replace(**more)
    return settle(asked, Scope(facts, asked.where))


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
    assert [VERIFY] == [one.verdict.outcome for one in judge(asked._replace(judged="guarded"), near, known)]


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
    asked = rule(tree.Constantly(True, ""), flag("lit", "item"))._replace(for_each=("c",))
    (only,) = judge(asked, LISTS, accuracies())
    assert (Place(), DOES_NOT_APPLY) == (only.place, only.verdict.outcome)
    assert (LISTS, asked.where) == (only.scope.facts, only.scope.where)


def test_each_item_is_judged_by_its_own_facts() -> None:
    facts = Job({"a.0.lit": True, "a.1.lit": False}, {"a": ("left", "right")})
    asked = rule(tree.Constantly(True, ""), flag("lit", "item"))._replace(for_each=("a",))
    said = {one.place.key: one.verdict.outcome for one in judge(asked, facts, accuracies())}
    assert {"left": PASS, "right": FAIL} == said


def test_a_rule_sees_its_own_names_and_the_item_around_its_item() -> None:
    facts = Job({"a.0.limit": 2.0, "a.0.b.0.x": 1.0}, {"a": ("left",), "a.0.b": ("low",)})
    node = compare(tree.Named("reading", "number"), "<=", number("limit", "outer"))
    asked = rule(tree.Constantly(True, ""), node)._replace(for_each=("a", "b"), where={"reading": number("x", "item")})
    (only,) = judge(asked, facts, accuracies())
    assert ("left/low", PASS) == (only.place.key, only.verdict.outcome)


def test_a_firm_word_of_the_generated_function_is_taken_and_an_open_one_is_walked_for_its_needs() -> None:
    asked = rule(tree.Constantly(True, ""), flag("p"))
    (firm,) = judge(asked, Job({"p": True}), accuracies(), lambda _: FAIL)
    assert FAIL == firm.verdict.outcome, "it is asked before the walk"
    for open_one in (VERIFY, None):
        (walked,) = judge(asked, Job({}), accuracies(), lambda _, said=open_one: said)  # type: ignore[misc]
        assert (VERIFY, ("p",)) == (walked.verdict.outcome, walked.verdict.needs)


def over(facts: Job, *applies: Any, outer: str = "", where: dict[str, tree.Value] | None = None) -> Verdict:
    """A rule over a list that is not recorded, `items` at the job or in the item around it."""
    asked = rule(applies[0], flag("lit", "item"))._replace(applies=tree.All(applies), where=where or {})
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


# --- one place -------------------------------------------------------------------------------------------------------

ALWAYS = tree.Constantly(True, "")
CLOSED: dict[str, Any] = {"p": (True, False), "q": (True, False)}


def test_a_change_underneath_puts_a_rule_that_may_apply_to_the_authority() -> None:
    stale = {"stale": "it was changed underneath"}
    said = verdict(ALWAYS, flag("p"), Job({"p": True}), **stale)
    assert (VERIFY, {Cause("authority_decides", "", "it was changed underneath")}) == (said.outcome, said.causes)
    assert DOES_NOT_APPLY == verdict(flag("q"), flag("p"), Job({"p": True, "q": False}), **stale).outcome


@pytest.mark.parametrize(
    ("holds", "life_safety", "outcome"),
    [(True, False, VERIFY), (False, False, VERIFY), (True, True, VERIFY), (False, True, FAIL)],
)
def test_what_nobody_is_sure_of_gives_no_firm_word_but_a_warning_of_life_stands(
    holds: bool, life_safety: bool, outcome: str
) -> None:
    doubtful = {"doubtful": ("the height", "the width"), "life_safety": life_safety}
    for facts in (Job({"p": holds}), Job({"p": holds}, closed={"q": (True, False)})):
        either = tree.AnyOf(
            tuple(tree.Branch("", tree.Not(one, ""), (), ()) for one in (flag("q"), tree.Not(flag("q"), "")))
        )
        required = tree.All((flag("p"), either)) if facts.closed else flag("p")
        said = verdict(ALWAYS, required, facts, **doubtful)
        assert outcome == said.outcome
        assert (outcome == VERIFY) == ("authority_decides" == said.reason)
        if outcome == VERIFY:
            (cause,) = said.causes
            assert ("authority_decides", "") == (cause.reason, cause.fact), "nobody is asked to measure it again"
            assert cause.detail.startswith("the height and the width")


def test_a_doubtful_rule_that_does_not_apply_still_does_not() -> None:
    assert (
        DOES_NOT_APPLY == verdict(flag("q"), flag("p"), Job({"p": True, "q": False}), doubtful=("the height",)).outcome
    )


def ask(condition: Any) -> tree.Ask:
    return tree.Ask(condition, ())


@pytest.mark.parametrize(
    ("p", "q", "outcome", "question"), [(False, True, VERIFY, 1), (True, True, VERIFY, 0), (False, False, PASS, -1)]
)
def test_the_question_that_arises_is_told_by_its_number(p: bool, q: bool, outcome: str, question: int) -> None:
    said = verdict(ALWAYS, ALWAYS, Job({"p": p, "q": q}), verify=(ask(flag("p")), ask(flag("q"))))
    assert (outcome, question) == (said.outcome, said.question)


def test_whether_a_question_arises_is_asked_before_what_is_required() -> None:
    said = verdict(ALWAYS, flag("p"), Job({"p": True}), verify=(ask(flag("q")),))
    assert (VERIFY, ("q",), "not_recorded", -1) == (said.outcome, said.needs, said.reason, said.question)


def test_a_question_that_surely_arises_leaves_no_fact_to_be_asked_for() -> None:
    said = verdict(ALWAYS, ALWAYS, Job({"q": True}, closed=CLOSED), verify=(ask(flag("p")), ask(flag("q"))))
    assert (VERIFY, "authority_decides", (), 1) == (said.outcome, said.reason, said.needs, said.question)


def test_a_question_that_arises_for_some_values_is_told_with_the_fact_that_decides() -> None:
    said = verdict(ALWAYS, ALWAYS, Job({}, closed=CLOSED), verify=(ask(flag("q")),))
    assert (VERIFY, ("q",), 0) == (said.outcome, said.needs, said.question)


def test_a_fact_that_changes_nothing_is_not_asked_for() -> None:
    """Lit, or not lit and q: p decides nothing where it is read twice against itself, q always."""
    either = tree.AnyOf(tuple(tree.Branch("", one, (), ()) for one in (flag("p"), tree.Not(flag("p"), ""))))
    said = verdict(ALWAYS, tree.All((either, flag("q"))), Job({}, closed=CLOSED))
    assert (VERIFY, ("q",)) == (said.outcome, said.needs)


def whichever(one: Any, other: Any) -> tree.AnyOf:
    """p: the one counts; not p: the other does."""
    ways = ((flag("p"), one), (tree.Not(flag("p"), ""), other))
    return tree.AnyOf(tuple(tree.Branch("", tree.All(way), (), ()) for way in ways))


def high(path: str) -> tree.Compare:
    return compare(number(path), ">", 1.0, text=f"{path} > 1")


WHICHEVER = [
    whichever(high("x"), high("y")),
    whichever(tree.Not(high("x"), ""), tree.Not(high("y"), "")),
    whichever(tree.All((high("x"), high("z"))), tree.All((high("y"), high("z")))),
    whichever(flag("x"), flag("y")),
]


@pytest.mark.parametrize("either", WHICHEVER)
def test_a_fact_that_decides_which_reading_counts_is_asked_for_with_both_readings(either: tree.AnyOf) -> None:
    """Neither is recorded, so p leaves it as open as before and still matters."""
    facts = Job({}, closed=CLOSED)
    for said in (
        verdict(ALWAYS, either, facts),
        verdict(either, flag("r"), facts),
        verdict(ALWAYS, ALWAYS, facts, verify=(ask(either),)),
    ):
        assert {"p", "x", "y"} <= set(said.needs)


def test_so_is_one_that_decides_which_of_two_spans_counts() -> None:
    spans = {name: Range(0.0, 9.0, frozenset([Cause("not_recorded", name)])) for name in "xy"}
    assert {"p", "x", "y"} == set(verdict(ALWAYS, WHICHEVER[0], Job({}, closed=CLOSED | spans)).needs)


@pytest.mark.parametrize("accuracy", [standard(1.0), None])
def test_so_is_one_that_decides_which_reading_has_to_be_taken_better(accuracy: Accuracy | None) -> None:
    asked = rule(ALWAYS, WHICHEVER[0])._replace(judged="guarded")
    (said,) = judge(asked, Job({"x": 1.1, "y": 1.1}, closed=CLOSED), accuracies(x=accuracy, y=accuracy))
    assert (VERIFY, {"p", "x", "y"}) == (said.verdict.outcome, set(said.verdict.needs))


@pytest.mark.parametrize("way", [WHICHEVER[0], WHICHEVER[1]])
def test_a_reading_too_close_to_its_limit_is_not_said_to_be_missing(way: tree.AnyOf) -> None:
    asked = rule(ALWAYS, way)._replace(judged="guarded")
    (said,) = judge(asked, Job({"x": 1.1, "y": 1.1}, closed=CLOSED), accuracies(x=standard(1.0), y=standard(1.0)))
    causes = {(cause.reason, cause.fact) for cause in said.verdict.causes}
    assert {("not_recorded", "p"), ("too_close", "x"), ("too_close", "y")} == causes


def test_a_recorded_reading_may_be_read_twice_and_what_is_needed_is_still_exact() -> None:
    twice = tree.All((high("x"), compare(number("x"), "<", 9.0)))
    (said,) = judge(rule(ALWAYS, twice)._replace(judged="guarded"), Job({"x": 1.1}), accuracies(x=standard(1.0)))
    assert ("too_close", ("x",), True) == (said.verdict.reason, said.verdict.needs, said.verdict.exact)


def test_what_decides_only_between_a_pass_and_not_applying_is_not_asked_for() -> None:
    """It applies if p or not q, and q is required: q alone makes it fail, whatever p is."""
    applies = tree.AnyOf(tuple(tree.Branch("", one, (), ()) for one in (flag("p"), tree.Not(flag("q"), ""))))
    said = verdict(applies, flag("q"), Job({}, closed=CLOSED))
    assert (VERIFY, ("q",)) == (said.outcome, said.needs)


def test_what_no_fact_settles_leaves_nothing_to_ask_for() -> None:
    said = verdict(ALWAYS, tree.Unsettled("guild", "edition(guild)"), Job({}))
    assert (VERIFY, "not_adopted", ()) == (said.outcome, said.reason, said.needs)


def test_a_question_that_surely_arises_is_the_first_of_those_there_are() -> None:
    assert (VERIFY, 0) == (outcome_of(True, True, True).outcome, outcome_of(True, True, False).question)


def test_outcomes_agree_where_they_are_one_or_a_pass_and_not_applying() -> None:
    assert [PASS, FAIL, DOES_NOT_APPLY] == [agreed({one}) for one in (PASS, FAIL, DOES_NOT_APPLY)]
    assert PASS == agreed({PASS, DOES_NOT_APPLY})
    apart = (
        {PASS, FAIL},
        {FAIL, DOES_NOT_APPLY},
        {PASS, FAIL, DOES_NOT_APPLY},
        {PASS, VERIFY},
        {VERIFY, DOES_NOT_APPLY},
    )
    assert {""} == {agreed(outcomes) for outcomes in apart}


def test_whether_it_passes_or_does_not_apply_is_no_matter() -> None:
    assert PASS == verdict(flag("p"), ALWAYS, Job({}, closed=CLOSED)).outcome
    said = verdict(tree.All((flag("p"), flag("q"))), flag("r"), Job({"r": True}, closed=CLOSED))
    assert PASS == said.outcome


LOW, CUT, HIGH = 100, 150, 200


def day(path: str, operator: str, limit: int) -> tree.Compare:
    limited = tree.Constant("cut", limit, "date")
    return tree.Compare((tree.Fact(path, "job", "date"), limited), (operator,), "date", 0.0, operator)


def between(path: str, low: int = LOW, high: int = HIGH) -> Range:
    return Range(low, high, frozenset([Cause("date_unknown", path)]))


def test_a_day_known_roughly_is_asked_for_as_a_date_and_one_not_recorded_as_that() -> None:
    said = verdict(ALWAYS, tree.All((day("d", ">=", CUT), flag("p"))), Job({"d": between("d")}, closed=CLOSED))
    assert {("date_unknown", "d"), ("not_recorded", "p")} == {(cause.reason, cause.fact) for cause in said.causes}
    assert ("d", "p") == said.needs


def test_what_is_read_once_is_needed_exactly_and_what_is_read_twice_may_not_be() -> None:
    once = compare(number("x"), ">", 1.0)
    assert verdict(ALWAYS, once, Job({})).exact
    twice = tree.All((once, compare(number("x"), "<", 0.5)))
    assert not verdict(ALWAYS, twice, Job({})).exact
    assert not verdict(once, compare(number("x"), "<", 0.5), Job({})).exact
    assert verdict(ALWAYS, tree.All((once, flag("p"))), Job({}, closed=CLOSED)).exact is True
    mixed = tree.All((once, compare(number("x"), "<", 0.5), flag("p")))
    assert not verdict(ALWAYS, mixed, Job({}, closed=CLOSED)).exact


# --- values ----------------------------------------------------------------------------------------------------------


def test_a_path_starts_at_the_job_the_item_or_the_item_around_it() -> None:
    scope = Scope(Job({}), {}, "a.0.b.1", "a.0")
    assert ["x", "a.0.b.1.x", "a.0.x"] == [scope.path(number("x", frame)) for frame in ("job", "item", "outer")]
    assert "a.0.b.1" == scope.path(number("", "item"))


def test_a_scope_stands_at_the_job_and_keeps_its_names_in_every_trial() -> None:
    names: dict[str, tree.Value] = {"limit": tree.Constant("limit", 1.0, "number")}
    scope = Scope(Job({}), names)
    assert ("", "") == (scope.item, scope.outer)
    assert names == scope.assuming({"p": True}).where == scope.moving({"x": 1.0}).where


def test_what_is_missing_says_which_fact_and_what_of_it() -> None:
    assert {Cause("not_recorded", "x", "its accuracy")} == missing("x", "its accuracy").causes
    assert "" == Cause("not_recorded", "x").detail


def test_of_several_that_are_open_each_is_told() -> None:
    for several in ("xy", "xyz"):
        for together, settled in ((all_of, True), (any_of, False)):
            said = together([settled, *(missing(path) for path in several)])
            assert isinstance(said, Unknown)
            assert set(several) == {cause.fact for cause in said.causes}
    assert missing("x") == all_of([True, missing("x")]) == any_of([missing("x"), False]), "one alone is what it was"


def open_ones(path: str) -> list[Unknown]:
    """Something of each kind that is left open by one fact."""
    span = Scope(Job({}, closed={path: Range(0.0, 9.0, frozenset([Cause("not_recorded", path)]))}), {})
    fact, bare = number(path), Scope(Job({}), {})
    nodes: list[tuple[Any, Scope]] = [
        (compare(fact, "<", 5.0), bare),
        (compare(fact, "<", 5.0), span),
        (compare(fact, "==", 5.0), span),
        (tree.Given(fact, False, ""), bare),
        (tree.Given(fact, False, ""), span),
        (flag(path), bare),
        (tree.Member(fact, ("red",), False, ""), bare),
        (tree.Unsettled(path, f"edition({path})"), bare),
        (tree.Not(flag(path), ""), bare),
    ]
    said = [truth(node, scope) for node, scope in nodes]
    assert all(isinstance(one, Unknown) for one in said)
    return said  # type: ignore[return-value]


def test_what_is_left_to_settle_is_told_apart_by_the_fact_it_is_of() -> None:
    """`_that_matter` of judging rests on it: a fact matters where another value of it leaves another thing open."""
    for one, other in zip(open_ones("x"), open_ones("y"), strict=True):
        assert one.trace != other.trace


def test_a_reading_is_moved_and_a_word_or_what_is_assumed_is_not() -> None:
    scope = Scope(Job({"x": 1.0, "w": "red"}), {}).moving({"x": 0.5, "w": 0.5})
    assert (1.5, "red") == (scope.read("x"), scope.read("w"))
    assert 7.0 == scope.assuming({"x": 7.0}).read("x")
    again = scope.assuming({"y": 2.0})
    assert (1.5, 2.0) == (again.read("x"), again.read("y")), "what was moved stays so"
    assert (2.0, 3.0) == tuple(again.assuming({"z": 3.0}).read(name) for name in "yz"), "and what was assumed too"
    assert 2.0 == again.moving({"x": 1.0}).read("y")


def test_what_is_tried_is_guarded_as_before_and_what_is_moved_is_not() -> None:
    def guard(_: tree.Compare, __: Scope) -> Unknown:
        return Unknown(frozenset([Cause("too_close", "x")]), None)

    scope = Scope(Job({"x": 1.0}), {}, "item", "outer", guard=guard)
    node = compare(number("x"), "<=", 5.0)
    assert isinstance(truth(node, scope.assuming({"p": True})), Unknown)
    assert truth(node, scope.moving({"x": 1.0})) is True
    assert ("item", "outer") == (scope.assuming({}).item, scope.assuming({}).outer)
    assert ("item", "outer") == (scope.moving({}).item, scope.moving({}).outer)


def test_a_fact_not_recorded_lies_in_its_range_and_a_closed_list_is_no_value() -> None:
    span = Range(0.0, 9.0, frozenset())
    scope = Scope(Job({}, closed={"x": span, "p": (True, False)}), {})
    assert span == scope.read("x")
    assert Unknown(frozenset([Cause("not_recorded", "p", "")]), ("fact", "p")) == scope.read("p")


# Of the ends of two spans: strictly below, touching, overlapping, above, one value. By hand, from what each sign means.
SPANS: list[tuple[Any, str, Any, bool | None]] = [
    ((1, 2), "<", (3, 4), True), ((1, 3), "<", (3, 4), None), ((1, 3), "<=", (3, 4), True), ((3, 4), "<", (1, 3), False),
    ((3, 4), "<=", (1, 3), None), ((3, 4), ">=", (1, 3), True), ((3, 4), ">", (1, 3), None), ((3, 4), ">", (1, 2), True),
    ((1, 2), "==", (3, 4), False), ((1, 2), "!=", (3, 4), True), ((3, 4), "==", (1, 2), False), ((3, 4), "!=", (1, 2), True),
    ((1, 3), "==", (3, 4), None), ((1, 3), "!=", (3, 4), None), ((3, 4), "==", (1, 3), None), ((2, 2), "==", (2, 2), True),
    ((2, 2), "!=", (2, 2), False), ((1, 2), "==", (2, 2), None), ((2, 2), "==", (2, 3), None),
    ((2, 2), "==", (1, 2), None), ((2, 3), "!=", (2, 2), None), (1, "<", (3, 4), True), ((1, 2), "<=", 2, True),
]  # fmt: skip


def span(value: Any, fact: str) -> Any:
    return Range(*value, frozenset([Cause("date_unknown", fact)])) if isinstance(value, tuple) else value


@pytest.mark.parametrize(("left", "op", "right", "expected"), SPANS)
def test_two_spans_compare_as_every_pair_in_them_does(left: Any, op: str, right: Any, expected: bool | None) -> None:
    said = compared(op, span(left, "l"), span(right, "r"), 0.0)
    if expected is not None:
        assert said is expected
        return
    assert isinstance(said, Unknown)
    names = {name for name, value in (("l", left), ("r", right)) if isinstance(value, tuple)}
    assert names == {cause.fact for cause in said.causes}


def test_what_is_unknown_in_a_comparison_blames_both_sides() -> None:
    unknown = Unknown(frozenset([Cause("not_recorded", "x")]), ("fact", "x"))
    for left, right in ((unknown, span((1, 2), "d")), (span((1, 2), "d"), unknown)):
        said = compared("<", left, right, 0.0)
        assert isinstance(said, Unknown)
        assert {"x", "d"} == {cause.fact for cause in said.causes}


@pytest.mark.parametrize("op", ["<", "<=", ">", ">=", "==", "!="])
@pytest.mark.parametrize("pair", [(NONE, 1.0), (1.0, NONE), (NONE, NONE), (NONE, Range(1, 2, frozenset()))])
def test_a_known_none_is_equal_to_nothing_and_on_no_side_of_anything(op: str, pair: Any) -> None:
    assert (op == "!=") is compared(op, *pair, 0.0)


GRAIN = 0.1
AT_THE_GRAIN: list[tuple[str, float, bool]] = [
    # Two amounts nearer than the grain are the same: so neither above nor below, and at most and at least.
    ("<=", 1.05, True), ("<=", 1.2, False), ("<", 0.95, False), ("<", 0.8, True), (">=", 0.95, True), (">=", 0.8, False),
    (">", 1.05, False), (">", 1.2, True), ("==", 1.05, True), ("==", 0.95, True), ("==", 1.2, False), ("==", 0.8, False),
    ("!=", 1.05, False), ("!=", 0.95, False), ("!=", 1.2, True), ("!=", 0.8, True),
]  # fmt: skip


@pytest.mark.parametrize(("op", "left", "expected"), AT_THE_GRAIN)
def test_amounts_nearer_than_the_grain_are_the_same(op: str, left: float, expected: bool) -> None:
    assert expected is compared(op, left, 1.0, GRAIN)


@pytest.mark.parametrize(
    ("left", "op", "right", "expected"),
    [
        ((1, 2), "==", (2.05, 3), None),
        ((1, 2), "!=", (2.05, 3), None),
        ((2.05, 3), "==", (1, 2), None),
        ((1, 2), "==", (2.2, 3), False),
        ((2.2, 3), "!=", (1, 2), True),
        ((1, 2), "<=", (1.95, 3), True),
        ((1, 2), "<=", (1.8, 3), None),
        ((1, 2), "<", (2.05, 3), None),
    ],
)
def test_the_grain_counts_between_spans_too(left: Any, op: str, right: Any, expected: bool | None) -> None:
    said: Truth = compared(op, span(left, "l"), span(right, "r"), GRAIN)
    assert isinstance(said, Unknown) if expected is None else said is expected


@pytest.mark.parametrize(("value", "expected"), [(0.5, False), (1.0, True), (2.0, True), (3.0, True), (3.5, False)])
def test_a_value_between_two_limits_is_held_against_both(value: float, expected: bool) -> None:
    for chained in (compare(1.0, "<=", number("x"), "<=", 3.0), compare(3.0, ">=", number("x"), ">=", 1.0)):
        assert expected is truth(chained, Scope(Job({"x": value}), {}))


def test_words_are_the_same_or_they_are_not() -> None:
    assert [True, False, False, True] == [
        compared("==", "red", "red", 0.0), compared("==", "red", "tin", 0.0),
        compared("!=", "red", "red", 0.0), compared("!=", "red", "tin", 0.0),
    ]  # fmt: skip


# --- the walk --------------------------------------------------------------------------------------------------------


def test_sixty_four_combinations_are_tried_and_more_are_not() -> None:
    """Section 3.3 of the design: up to 64 ways of filling in."""
    assert 64 == MOST_COMBINATIONS
    six, seven = ([flag(f"f{i}") for i in range(many)] for many in (6, 7))
    yes_or_no = {f"f{i}": (True, False) for i in range(7)}
    assert 6 == len(open_choices(list(six), Scope(Job({}, closed=yes_or_no), {})))
    assert {} == open_choices(list(seven), Scope(Job({}, closed=yes_or_no), {}))


def test_what_is_recorded_or_already_assumed_is_not_tried() -> None:
    scope = Scope(Job({"p": True}, closed=CLOSED), {})
    assert ["q"] == list(open_choices([flag("p"), flag("q")], scope))
    assert {} == open_choices([flag("p"), flag("q")], scope.assuming({"q": True}))
    bare = Scope(Job({}, closed=CLOSED), {})
    assert ["q"] == list(open_choices([flag("p"), flag("q")], bare.assuming({"p": True})))
    assert {} == open_choices(
        [compare(number("x"), "<", 1.0)], Scope(Job({}, closed={"x": Range(0, 9, frozenset())}), {})
    )


def test_a_day_known_roughly_is_tried_on_and_beside_each_day_it_is_compared_with_and_at_its_ends() -> None:
    tried = open_choices([day("d", "<", CUT)], Scope(Job({"d": between("d")}), {}))
    assert {"d": (LOW, CUT - 1, CUT, CUT + 1, HIGH)} == tried
    ends = open_choices([day("d", "<", LOW), day("d", ">", HIGH + 1)], Scope(Job({"d": between("d")}), {}))
    assert {"d": (LOW, LOW + 1, HIGH)} == ends, "no day outside of the two"
    other = tree.Compare((tree.Fact("d", "job", "date"), tree.Fact("e", "job", "date")), ("<",), "date", 0.0, "")
    assert {"d": (LOW, 159, 160, 161, HIGH)} == open_choices([other], Scope(Job({"d": between("d"), "e": 160}), {}))
    assert {} == open_choices([other], Scope(Job({"d": between("d")}), {})), "the other day is not known"


def test_a_day_under_a_name_is_one_it_is_compared_with_and_a_number_beside_it_is_not() -> None:
    scope = Scope(
        Job({"d": between("d"), "x": 3.0}),
        {"that_day": tree.Named("cut_day", "date"), "cut_day": tree.Constant("cut", CUT, "date")},
    )
    named = tree.Compare((tree.Fact("d", "job", "date"), tree.Named("that_day", "date")), ("<",), "date", 0.0, "")
    total = compare(tree.Arithmetic("+", number("x"), tree.Constant("one", 1.0, "number"), "number"), "<", 5.0)
    assert {"d": (LOW, CUT - 1, CUT, CUT + 1, HIGH)} == open_choices([named, total], scope)


def test_a_day_that_is_reckoned_with_is_not_tried() -> None:
    moved = tree.Arithmetic("+", tree.Fact("d", "job", "date"), tree.Constant("week", 10080.0, "duration"), "date")
    since = tree.Arithmetic("-", tree.Fact("d", "job", "date"), tree.Constant("cut", CUT, "date"), "duration")
    for node in (moved, since):
        asked = tree.Compare((node, tree.Constant("cut", CUT, "date")), ("<",), "date", 0.0, "")
        assert {} == open_choices([asked], Scope(Job({"d": between("d")}), {}))


def test_a_day_that_is_handed_to_a_function_or_a_list_is_not_tried() -> None:
    since = tree.Call("days_since", (tree.Fact("d", "job", "date"),), (), "number")
    most = tree.Fold("largest", tree.Fact("a", "job", "list"), "value", "number")
    for node in (since, most):
        facts = Job({"d": between("d")}, {"a": ()})
        assert {} == open_choices([compare(node, "<", 5.0), day("d", "<", CUT)], Scope(facts, {}))


def test_a_span_that_is_no_date_is_not_tried_by_days() -> None:
    wide = Range(LOW, HIGH, frozenset([Cause("not_recorded", "d")]))
    assert {} == open_choices([day("d", "<", CUT)], Scope(Job({"d": wide}), {}))


def test_a_comparison_that_every_value_settles_is_settled() -> None:
    small = Job({}, closed={"x": (1.0, 2.0)})
    assert truth(compare(number("x"), "<", 5.0), Scope(small, {})) is True
    assert truth(compare(number("x"), ">", 5.0), Scope(small, {})) is False
    assert isinstance(truth(compare(number("x"), "<", 1.5), Scope(small, {})), Unknown)
    word = tree.Fact("c", "job", "word")
    colours = Scope(Job({}, closed={"c": ("red", "tin")}), {})
    assert truth(tree.Member(word, ("red", "tin", "oak"), False, ""), colours) is True
    assert truth(tree.Member(word, ("oak",), False, ""), colours) is False
    assert truth(tree.Member(word, ("oak",), True, ""), colours) is True
    assert isinstance(truth(tree.Member(word, ("red",), False, ""), colours), Unknown)


def test_a_value_is_among_words_or_it_is_not() -> None:
    word, scope = tree.Fact("c", "job", "word"), Scope(Job({"c": "red"}), {})
    told = [truth(tree.Member(word, words, no, ""), scope) for words in (("red",), ("tin",)) for no in (False, True)]
    assert [True, False, False, True] == told


@pytest.mark.parametrize(
    ("none", "value", "expected"), [(False, 1.0, True), (False, NONE, False), (True, 1.0, False), (True, NONE, True)]
)
def test_given_is_true_of_a_value_and_none_of_a_known_none(none: bool, value: Any, expected: bool) -> None:
    assert expected is truth(tree.Given(number("x"), none, ""), Scope(Job({"x": value}), {}))


def test_given_is_open_where_nothing_is_recorded_even_if_the_range_is_known() -> None:
    cause = Cause("not_recorded", "x")
    for closed in ({}, {"x": Range(0.0, 9.0, frozenset([cause]))}):
        said = truth(tree.Given(number("x"), False, ""), Scope(Job({}, closed=closed), {}))
        assert isinstance(said, Unknown)
        assert {"x"} == {one.fact for one in said.causes}


def test_a_known_none_standing_alone_is_not_true() -> None:
    assert truth(flag("p"), Scope(Job({"p": NONE}), {})) is False


def test_a_condition_that_the_edition_has_settled_is_as_settled() -> None:
    assert [True, False] == [truth(tree.Constantly(held, ""), Scope(Job({}), {})) for held in (True, False)]


def test_an_edition_nobody_put_in_force_is_said_to_be_not_adopted() -> None:
    said = truth(tree.Unsettled("guild", "edition(guild)"), Scope(Job({}), {}))
    assert isinstance(said, Unknown)
    (cause,) = said.causes
    assert ("not_adopted", "") == (cause.reason, cause.fact)
    assert "guild" in cause.detail
