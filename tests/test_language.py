"""What the language of rules can say, held against brute force: Python's generated code, the walk and JavaScript alike.

Each case states what every way of filling in what it leaves out agrees on, worked out here in plain Python.
"""

from __future__ import annotations

import datetime
import operator
from pathlib import Path
from typing import Any

import pytest

from checker.authoring import cases
from checker.authoring.mutation import operators
from checker.authoring.mutation.sites import Surroundings
from checker.binding.bound_once import bound_rule
from checker.engine.checker import Checker
from checker.ir import tree
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.judging.generated_code import DOES_NOT_APPLY
from tests.support.javascript import InJavaScript
from tests.support.small_conditions import Job, accuracies, compare, found, number, standard
from tests.support.written_rules import (
    UNSAID,
    case,
    checker_of,
    limit,
    opened,
    passing,
    tried,
    worked_out,
    write_ruleset,
)


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


# --- another rule's outcome -------------------------------------------------------------------------------------------

YES, NO = "true", "false"
FLAGS = (UNSAID, YES, NO)
OTHER = {  # applies to a bell with a second wheel, and asks that it is not cracked and hangs clear
    "applies_when": ["bell.second_wheel"],
    "where": {"room": "bell.clearance"},
    "require": ["not bell.cracked", "room >= least"],
}
LEAST = {"least": limit("in", "5")}


def other_met(facts: Any) -> bool:
    """Whether `OTHER` applies and is passed."""
    whole = facts["bell.cracked"] == NO and amount(facts["bell.clearance"]) >= 5.0
    return facts["bell.second_wheel"] == YES and whole


OF_OTHER = {"bell.second_wheel": FLAGS, "bell.cracked": FLAGS, "bell.clearance": (UNSAID, "5 in", "4.9 in")}


def test_a_rule_may_require_that_another_is_met(tmp_path: Path, javascript: InJavaScript) -> None:
    """Where the other does not apply it is not met, and this one fails: a way that was not gone settles nothing."""
    worked = list(worked_out(OF_OTHER, lambda facts: passing(other_met(facts))))
    rules = {"other-rule": OTHER, "this-rule": {"require": [{"met": "other-rule"}], "cases": worked}}
    assert [] == tried(checker_of(tmp_path, rules, LEAST), javascript)
    assert {PASS, FAIL, VERIFY} == {one["expect"] for one in worked}


def test_whole_rules_may_be_ways_beside_each_other(tmp_path: Path, javascript: InJavaScript) -> None:
    """Each way is a rule; a name under `where` means in each what that rule says."""
    second = {"where": {"room": "bell.swing"}, "require": ["room <= least", "tower.swept"]}
    domains = {**OF_OTHER, "bell.swing": (UNSAID, "4 in", "6 in"), "tower.swept": (YES, NO)}

    def outcome(facts: Any) -> str:
        return passing(other_met(facts) or (amount(facts["bell.swing"]) <= 5 and facts["tower.swept"] == YES))

    worked = list(worked_out(domains, outcome))
    ways = {
        "where": {"room": "bell.weight"},
        "require": [{"any_of": [{"option": "one", "met": "other-rule"}, {"met": "second-rule"}]}],
    }
    rules = {"other-rule": OTHER, "second-rule": second, "this-rule": {**ways, "cases": worked}}
    assert [] == tried(checker_of(tmp_path, rules, LEAST), javascript)


def test_a_rule_may_apply_where_another_is_met_or_is_not(tmp_path: Path, javascript: InJavaScript) -> None:
    domains = {**OF_OTHER, "tower.swept": FLAGS}

    def where(met: bool) -> Any:
        return lambda facts: DOES_NOT_APPLY if other_met(facts) != met else passing(facts["tower.swept"] == YES)

    rules: dict[str, Any] = {"other-rule": OTHER}
    for name, line, met in (
        ("where-met", {"met": "other-rule"}, True),
        ("where-not", {"none_of": [{"met": "other-rule"}]}, False),
    ):
        worked = list(worked_out(domains, where(met)))
        rules[name] = {"applies_when": [line], "require": ["tower.swept"], "cases": worked}
    assert [] == tried(checker_of(tmp_path, rules, LEAST), javascript)


def test_rules_that_go_through_one_list_are_met_item_by_item(tmp_path: Path, javascript: InJavaScript) -> None:
    tied = {"for_each": "ropes", "require": ["item.tied"], "cases": [case({"item.tied": YES}, PASS)]}
    worked = list(worked_out({"item.tied": FLAGS, "item.girth": (UNSAID, "1 in", "2 in")}, lambda facts: passing(
        facts["item.tied"] == YES and facts["item.girth"] == "2 in")))  # fmt: skip
    both = {"for_each": "ropes", "require": [{"met": "rope-tied"}, "item.girth >= least"], "cases": worked}
    assert [] == tried(
        checker_of(tmp_path, {"rope-tied": tied, "rope-good": both}, {"least": limit("in", "2")}), javascript
    )


def test_what_another_rule_leaves_to_the_authority_this_one_does_too(tmp_path: Path, javascript: InJavaScript) -> None:
    asks = {"verify_when": [{"when": "days.begun >= cut", "ask": "Who decides?"}], "require": ["tower.swept"]}
    swept, unswept = {"tower.swept": YES}, {"tower.swept": NO}
    before, after = {"days.begun": "2025-12-31"}, {"days.begun": "2026-01-02"}
    worked = [case({**after, **swept}, VERIFY), case({**before, **swept}, PASS), case({**before, **unswept}, FAIL)]
    limits = {"cut": {"title": "A day", "kind": "date", "values": limit("", "2026-01-01")["values"]}}
    rules = {"other-rule": asks, "this-rule": {"require": [{"met": "other-rule"}], "cases": worked}}
    assert [] == tried(checker_of(tmp_path, rules, limits), javascript)


def test_a_rule_that_is_met_by_another_names_the_facts_of_both(tmp_path: Path) -> None:
    rules = {"other-rule": OTHER, "this-rule": {"require": [{"met": "other-rule"}]}}
    checker = checker_of(tmp_path, rules, LEAST)
    (one,) = [one for one in cases.stated(checker.library.rulesets["wording"]) if one.rule == "this-rule"]
    _, finding = cases.run(checker, one)
    assert finding is not None
    assert set(OF_OTHER) == {need.fact for need in finding.needs}


def test_a_rule_hangs_on_the_editions_of_the_rule_that_it_asks_for(tmp_path: Path, javascript: InJavaScript) -> None:
    """Under an edition that does not have the other rule it is not met; where nobody says which edition holds, that is open."""
    code = {"id": "codebook", "owner_kind": "code", "editions": ["1", "2"]}
    write_ruleset(tmp_path / "codebook", code, {"other-rule": {"editions": "2", "require": ["tower.swept"]}})
    swept = {"tower.swept": YES}
    worked = [{**case(swept, FAIL), "editions": {"codebook": "1"}}, {**case(swept, PASS), "editions": {"codebook": "2"}},
              {**case(swept, VERIFY), "name": "nobody says which edition"}]  # fmt: skip
    above = {"owner_kind": "practice", "uses": {"codebook": ">=1.0, <2"}}
    write_ruleset(tmp_path / "wording", above, {"this-rule": {"require": [{"met": "other-rule"}], "cases": worked}})
    assert [] == tried(opened(tmp_path), javascript)


# --- flips ------------------------------------------------------------------------------------------------------------


def flipped(checker: Checker, name: str) -> set[str]:
    """What the flips of a rule are told with."""
    chain = checker.chain("")
    rule, _ = bound_rule(chain, checker.vocabulary, name, {}, 1)
    assert rule is not None
    data = checker.library.rulesets["wording"].rules[name]
    return {flip.what for flip in operators.flips(rule, data, Surroundings({}, {}, {}))}


def test_a_condition_on_another_rule_is_turned_round_and_left_out_and_what_that_one_asks_is_not(tmp_path: Path) -> None:
    lines = [{"met": "other-rule"}, "tower.swept"]
    told = flipped(checker_of(tmp_path, {"other-rule": OTHER, "this-rule": {"require": lines}}, LEAST), "this-rule")
    assert {one for one in told if "met:" in one} == {
        "No example would notice 'met: other-rule' becoming 'none_of: [met: other-rule]'.",
        "No example would notice the line 'met: other-rule' being left out.",
    }
    assert not any("least" in one or "room" in one for one in told)


def test_the_larger_of_two_becomes_the_smaller(tmp_path: Path) -> None:
    rule = {"where": {"reach": "larger_of(bell.swing, bell.clearance)"}, "require": ["reach >= least"]}
    told = flipped(checker_of(tmp_path, {"swings-well": rule}, LEAST), "swings-well")
    assert (
        "No example would notice 'larger_of' becoming 'smaller_of' in 'larger_of(bell.swing, bell.clearance)'." in told
    )


# --- a value by condition ---------------------------------------------------------------------------------------------

BY_WHEEL = "small when bell.second_wheel otherwise large"
LIMITS = {"small": limit("in", "4"), "large": limit("in", "5"), "same": limit("in", "4")}


def test_a_condition_picks_a_limit(tmp_path: Path, javascript: InJavaScript) -> None:
    """Where the condition is open, what both limits let pass is passed, and what neither does fails."""
    domains = {"bell.second_wheel": FLAGS, "bell.swing": (UNSAID, "4 in", "4.1 in", "5 in", "5.1 in")}

    def outcome(facts: Any) -> str:
        return passing(amount(facts["bell.swing"]) <= (4.0 if facts["bell.second_wheel"] == YES else 5.0))

    worked = list(worked_out(domains, outcome))
    rule = {"where": {"most": BY_WHEEL}, "require": ["bell.swing <= most"], "cases": worked}
    assert [] == tried(checker_of(tmp_path, {"swings-well": rule}, LIMITS), javascript)
    assert {PASS, FAIL, VERIFY} == {one["expect"] for one in worked}


def test_choices_stand_behind_each_other_and_pick_readings_by_an_amount(
    tmp_path: Path, javascript: InJavaScript
) -> None:
    weights = (UNSAID, "100 lb", "200 lb", "300 lb")
    domains = {"bell.weight": weights, "bell.clearance": (UNSAID, "3 in", "9 in"), "bell.swing": ("4 in", "6 in")}

    def outcome(facts: Any) -> str:
        weight = amount(facts["bell.weight"])
        most = 4.0 if weight <= 100 else amount(facts["bell.clearance"]) if weight <= 200 else 5.0
        return passing(amount(facts["bell.swing"]) <= most)

    worked = list(worked_out(domains, outcome))
    most = "small when bell.weight <= light otherwise bell.clearance when bell.weight <= heavy otherwise large"
    rule = {"where": {"most": most}, "require": ["bell.swing <= most"], "cases": worked}
    limits = {**LIMITS, "light": limit("lb", "100"), "heavy": limit("lb", "200")}
    assert [] == tried(checker_of(tmp_path, {"swings-well": rule}, limits), javascript)


def test_a_condition_that_is_open_makes_no_difference_between_equal_values(
    tmp_path: Path, javascript: InJavaScript
) -> None:
    """Words too; of two words that differ nothing is known, but for what a closed list says when it is tried."""
    worked = [case({"bell.swing": "4 in"}, PASS), case({"bell.swing": "4.1 in"}, FAIL)]
    same = {"where": {"most": "small when days.begun == days.hung otherwise same"}, "require": ["bell.swing <= most"]}
    words = {"where": {"form": '"sharp" when tower.swept otherwise "rounded"'}, "require": ["form in [sharp, rounded]"]}
    rules = {"same-limit": {**same, "cases": worked}, "same-words": {**words, "cases": [case({}, PASS)]}}
    assert [] == tried(checker_of(tmp_path, rules, LIMITS), javascript)


def test_a_choice_flips_by_exchanging_its_values(tmp_path: Path) -> None:
    rule = {"where": {"most": BY_WHEEL}, "require": ["bell.swing <= most"]}
    told = flipped(checker_of(tmp_path, {"swings-well": rule}, LIMITS), "swings-well")
    assert f"No example would notice the two values of '{BY_WHEEL}' being exchanged." in told
    assert f"No example would notice 4 in becoming 5 in in '{BY_WHEEL}'." in told


# --- a list narrowed by a comparison ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("operator", "holds"),
    [(">=", operator.ge), (">", operator.gt), ("<=", operator.le), ("<", operator.lt)],
)
def test_items_are_counted_by_a_comparison(tmp_path: Path, javascript: InJavaScript, operator: str, holds: Any) -> None:
    """An item that is not measured may be one more or not."""
    girths = (UNSAID, "0.9 in", "1 in", "1.1 in")
    domains = {"ropes.0.girth": girths, "ropes.1.girth": girths, "ropes.2.girth": ("1 in", "2 in")}

    def outcome(facts: Any) -> str:
        return passing(sum(holds(amount(one), 1.0) for one in facts.values()) >= 2)

    worked = [
        {**one, "given": {"ropes": [
            {"key": key, **({"girth": girth} if (girth := one["given"].get(f"ropes.{at}.girth")) else {})}
            for at, key in enumerate("abc")
        ]}}
        for one in worked_out(domains, outcome)
    ]  # fmt: skip
    where = {"many": f"count(ropes, ropes.girth {operator} least)"}
    rule = {"where": where, "require": ["many >= enough"], "cases": worked}
    limits = {"least": limit("in", "1"), "enough": {**limit("", "2"), "kind": "number"}}
    del limits["enough"]["unit"]
    checker = checker_of(tmp_path, {"ropes-enough": rule}, limits)
    assert [] == tried(checker, javascript)
    other = tree.MIRRORED[operator]
    assert f"No example would notice '{operator}' becoming '{other}' in '{where['many']}'." in flipped(
        checker, "ropes-enough"
    )


# --- months of the calendar -------------------------------------------------------------------------------------------


def test_months_of_the_calendar_end_on_the_last_day_of_a_shorter_month(
    tmp_path: Path, javascript: InJavaScript
) -> None:
    """By the calendar: 2027 has 28 days in February, 2028 has 29."""
    until = [
        ("2026-11-30", "2027-02-28"),
        ("2027-11-30", "2028-02-29"),
        ("2026-12-31", "2027-03-31"),
        ("2026-01-15", "2026-04-15"),
    ]
    after = {last: (datetime.date.fromisoformat(last) + datetime.timedelta(1)).isoformat() for _, last in until}
    worked = [case({"days.begun": begun, "days.hung": last}, PASS) for begun, last in until]
    worked += [case({"days.begun": begun, "days.hung": after[last]}, FAIL) for begun, last in until]
    rule = {"where": {"last": "months_after(days.begun, months)"}, "require": ["days.hung <= last"], "cases": worked}
    limits = {"months": {**limit("", "3"), "kind": "number"}}
    del limits["months"]["unit"]
    assert [] == tried(checker_of(tmp_path, {"in-time": rule}, limits), javascript)
