"""Values and the walk: what only a small fault in the code showed to be untested. `tests/long/mutants.py` puts such faults in.

Sources: JCGM 100:2008 and JCGM 106:2012 where named (sections from memory), the design of the program otherwise: a list
left out is unknown and not empty, less known never claims more, and a firm word stands only where nothing is in doubt.
"""

from __future__ import annotations

from typing import Any

import pytest

from checker.ir import tree
from checker.ir.kleene import NONE, Cause, Range, Scope, Truth, Unknown, all_of, any_of, compared, missing
from checker.judging.conditions import MOST_COMBINATIONS, open_choices, truth
from tests.support.small_conditions import CLOSED, CUT, HIGH, LOW, Job, between, compare, day, flag, number

pytestmark = pytest.mark.long


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
    """`that_matter` of judging rests on it: a fact matters where another value of it leaves another thing open."""
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
