"""What the language of rules can say, held against brute force: Python's generated code, the walk and JavaScript alike.

Each case states what every way of filling in what it leaves out agrees on, worked out here in plain Python.
"""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import pytest

from checker.ir import tree
from checker.ir.outcomes import FAIL, PASS, VERIFY
from tests.support.javascript import InJavaScript
from tests.support.small_conditions import Job, accuracies, compare, found, number, standard
from tests.support.written_rules import UNSAID, case, checker_of, limit, passing, tried, worked_out


@pytest.fixture(scope="module")
def javascript() -> InJavaScript:
    return InJavaScript()


def amount(written: Any) -> float:
    """The number of an amount as a case writes it."""
    return float(str(written).split()[0])


# --- the larger and the smaller of two values ------------------------------------------------------------------------

SWINGS = (UNSAID, "4.9 in", "5 in", "5.1 in")


@pytest.mark.parametrize(("name", "extreme"), [("larger_of", max), ("smaller_of", min)])
@pytest.mark.parametrize(("operator", "holds"), [("<=", lambda a, b: a <= b), (">=", lambda a, b: a >= b)])
def test_the_larger_and_the_smaller_of_two_amounts(
    tmp_path: Path, javascript: InJavaScript, name: str, extreme: Any, operator: str, holds: Any
) -> None:
    def outcome(facts: Any) -> str:
        return passing(holds(extreme(amount(facts["bell.swing"]), amount(facts["bell.clearance"])), 5.0))

    worked = list(worked_out({"bell.swing": SWINGS, "bell.clearance": SWINGS}, outcome))
    rule = {
        "where": {"reach": f"{name}(bell.swing, bell.clearance)"},
        "require": [f"reach {operator} most"],
        "cases": worked,
    }
    assert [] == tried(checker_of(tmp_path, {"swings-well": rule}, {"most": limit("in", "5")}), javascript)
    assert {PASS, FAIL, VERIFY} == {one["expect"] for one in worked}


@pytest.mark.parametrize(("name", "extreme"), [("larger_of", max), ("smaller_of", min)])
def test_the_later_and_the_earlier_of_two_days(
    tmp_path: Path, javascript: InJavaScript, name: str, extreme: Any
) -> None:
    days = ("2026-03-01", "2026-03-02", "2026-03-03")
    cut = datetime.date(2026, 3, 2)

    def outcome(facts: Any) -> str:
        return passing(extreme(*map(datetime.date.fromisoformat, facts.values())) <= cut)

    worked = list(worked_out({"days.begun": days, "days.hung": days}, outcome))
    rule = {"where": {"day": f"{name}(days.begun, days.hung)"}, "require": ["day <= last_day"], "cases": worked}
    limits = {"last_day": {**limit("", "2026-03-02"), "kind": "date"}}
    del limits["last_day"]["unit"]
    assert [] == tried(checker_of(tmp_path, {"in-time": rule}, limits), javascript)


def test_a_range_of_possible_heights_goes_through_the_larger_of_two(tmp_path: Path, javascript: InJavaScript) -> None:
    """A tower that is not measured is 3 to 400 ft high, as its schema says. So the larger of it and 450 ft is 450 ft, the
    larger of it and 2 ft more than 2 ft, and whether it is more than 100 ft is open."""
    rules = {
        f"more-than-{least}": {
            "where": {"height": f"larger_of(tower.height, {other})"},
            "require": [f"height > {least}"],
            "cases": [case({}, expect), case({"tower.height": "100.1 ft"}, PASS)],
        }
        for other, least, expect in [("beyond", "high", PASS), ("low", "least", PASS), ("low", "high", VERIFY)]
    }
    limits = {
        name: limit("ft", value) for name, value in [("beyond", "450"), ("low", "2"), ("least", "2.5"), ("high", "100")]
    }
    assert [] == tried(checker_of(tmp_path, rules, limits), javascript)


def test_a_known_none_is_passed_over(tmp_path: Path, javascript: InJavaScript) -> None:
    """As in `highest`: none is on neither side. Where both are none there is nothing to compare, and nothing holds."""
    none = {"none": "not stamped"}
    where = {"swing": "larger_of(bell.stamp.full_swing, bell.ordered.full_swing)"}
    worked = [
        case({"bell.stamp.full_swing": none, "bell.ordered.full_swing": "4 in"}, PASS),
        case({"bell.stamp.full_swing": "6 in", "bell.ordered.full_swing": none}, FAIL),
        case({"bell.stamp.full_swing": none, "bell.ordered.full_swing": none}, FAIL),
        case({"bell.stamp.full_swing": none}, VERIFY),
        case({"bell.stamp.full_swing": "6 in"}, FAIL),
    ]
    rule = {"where": where, "require": ["swing <= most"], "cases": worked}
    assert [] == tried(checker_of(tmp_path, {"swing-small": rule}, {"most": limit("in", "5")}), javascript)


def test_of_the_larger_of_two_readings_only_the_larger_brings_uncertainty() -> None:
    """JCGM 100, 5.1.2: a change of the smaller one moves nothing, as long as it stays the smaller one."""
    larger = tree.Arithmetic("larger_of", number("x"), number("y"), "number")
    said = found(
        compare(larger, "<=", 12.0), Job({"x": 10.0, "y": 5.0}), accuracies(x=standard(0.1), y=standard(0.4, "other"))
    )
    assert said.standard == pytest.approx(0.1)
    assert said.amount == pytest.approx(2.0)
