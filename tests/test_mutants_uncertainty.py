"""Uncertainty: what only a small fault in the code showed to be untested. `tests/long/mutants.py` puts such faults in.

Sources: JCGM 100:2008 and JCGM 106:2012 where named (sections from memory), the design of the program otherwise: a list
left out is unknown and not empty, less known never claims more, and a firm word stands only where nothing is in doubt.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from checker.ir import tree
from checker.ir.kleene import NONE, Scope
from checker.ir.node import replace
from checker.judging.uncertainty import Accuracy, margin, probability_of_conformity
from tests.support.small_conditions import Job, accuracies, average, compare, found, number, standard

pytestmark = pytest.mark.long


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
    total = compare(replace(average("a"), name="total"), "<=", 9.0)
    assert 0.0 == found(total, TWO_LISTS, lambda _: Accuracy(0.0, "meter")).standard


def test_an_average_of_what_is_not_measured_is_without_uncertainty() -> None:
    said = found(compare(average("a"), "<=", 9.0), TWO_LISTS, accuracies())
    assert (0.0, ()) == (said.standard, said.unstated)
