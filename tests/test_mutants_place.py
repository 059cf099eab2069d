"""One place judged: what only a small fault in the code showed to be untested. `tests/long/mutants.py` puts such faults in.

Sources: JCGM 100:2008 and JCGM 106:2012 where named (sections from memory), the design of the program otherwise: a list
left out is unknown and not empty, less known never claims more, and a firm word stands only where nothing is in doubt.
"""

from __future__ import annotations

from typing import Any

import pytest

from checker.ir import tree
from checker.ir.kleene import Cause, Range
from checker.ir.node import replace
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.judging.generated_code import DOES_NOT_APPLY
from checker.judging.judge import agreed, judge, outcome_of
from checker.judging.uncertainty import Accuracy
from tests.support.small_conditions import (
    CLOSED,
    CUT,
    Job,
    accuracies,
    between,
    compare,
    day,
    flag,
    number,
    standard,
    verdict,
)
from tests.support.small_domains import rule

pytestmark = pytest.mark.long

ALWAYS = tree.Constantly(True, "")


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
    asked = replace(rule(ALWAYS, WHICHEVER[0]), judged="guarded")
    (said,) = judge(asked, Job({"x": 1.1, "y": 1.1}, closed=CLOSED), accuracies(x=accuracy, y=accuracy))
    assert (VERIFY, {"p", "x", "y"}) == (said.verdict.outcome, set(said.verdict.needs))


@pytest.mark.parametrize("way", [WHICHEVER[0], WHICHEVER[1]])
def test_a_reading_too_close_to_its_limit_is_not_said_to_be_missing(way: tree.AnyOf) -> None:
    asked = replace(rule(ALWAYS, way), judged="guarded")
    (said,) = judge(asked, Job({"x": 1.1, "y": 1.1}, closed=CLOSED), accuracies(x=standard(1.0), y=standard(1.0)))
    causes = {(cause.reason, cause.fact) for cause in said.verdict.causes}
    assert {("not_recorded", "p"), ("too_close", "x"), ("too_close", "y")} == causes


def test_a_recorded_reading_may_be_read_twice_and_what_is_needed_is_still_exact() -> None:
    twice = tree.All((high("x"), compare(number("x"), "<", 9.0)))
    (said,) = judge(replace(rule(ALWAYS, twice), judged="guarded"), Job({"x": 1.1}), accuracies(x=standard(1.0)))
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
