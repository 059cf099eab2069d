"""Three-valued logic against independent oracles: SQLite's NULL logic and the table of the 27 combinations."""

from __future__ import annotations

import csv
import sqlite3
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checker.ir import tree
from checker.ir.kleene import Cause, Range, Scope, Truth, Unknown, all_of, any_of, negated
from checker.judging.conditions import truth
from checker.judging.judge import outcome_of, settle
from tests.support.small_domains import SmallFacts, rule

THREE = {"true": True, "false": False, "unknown": None}
OUTCOMES = Path(__file__).parent / "data" / "outcomes.csv"
NAMES = ("p", "q", "r")


@pytest.fixture(scope="module")
def sqlite() -> sqlite3.Connection:
    return sqlite3.connect(":memory:")


def as_truth(value: bool | None, name: str = "f") -> Truth:
    return Unknown(frozenset([Cause("not_recorded", name)]), ("fact", name)) if value is None else value


def plain(value: Truth) -> bool | None:
    return None if isinstance(value, Unknown) else value


def answer(sqlite: sqlite3.Connection, formula: str, values: dict[str, bool | None]) -> bool | None:
    columns = ", ".join(f"{'NULL' if v is None else int(v)} AS {name}" for name, v in values.items())
    (found,) = sqlite.execute(f"SELECT {formula} FROM (SELECT {columns})").fetchone()
    return None if found is None else bool(found)


@pytest.mark.parametrize(("p", "q"), list(product(THREE.values(), repeat=2)))
def test_and_or_not_are_those_of_sql(sqlite: sqlite3.Connection, p: bool | None, q: bool | None) -> None:
    values = {"p": p, "q": q}
    assert answer(sqlite, "p AND q", values) == plain(all_of([as_truth(p), as_truth(q)]))
    assert answer(sqlite, "p OR q", values) == plain(any_of([as_truth(p), as_truth(q)]))
    assert answer(sqlite, "NOT p", values) == plain(negated(as_truth(p)))


def _formulas() -> st.SearchStrategy[tuple[Any, str]]:
    """Pairs of a tree and the same formula in SQL."""
    leaves = st.sampled_from(NAMES).map(lambda name: (tree.Truth(tree.Fact(name, "job", "flag"), name), name))

    def grown(inner: st.SearchStrategy[tuple[Any, str]]) -> st.SearchStrategy[tuple[Any, str]]:
        lists = st.lists(inner, min_size=1, max_size=3)
        return st.one_of(
            lists.map(lambda parts: (tree.All(tuple(n for n, _ in parts)), f"({' AND '.join(s for _, s in parts)})")),
            lists.map(
                lambda parts: (
                    tree.AnyOf(tuple(tree.Branch("", n, (), ()) for n, _ in parts)),
                    f"({' OR '.join(s for _, s in parts)})",
                )
            ),
            lists.map(
                lambda parts: (tree.NoneOf(tuple(n for n, _ in parts)), f"(NOT ({' OR '.join(s for _, s in parts)}))")
            ),
            inner.map(lambda part: (tree.Not(part[0], "not"), f"(NOT {part[1]})")),
        )

    return st.recursive(leaves, grown, max_leaves=12)


class _Flags(SmallFacts):
    def possible(self, path: str) -> None:
        return None


@settings(max_examples=500, deadline=None)
@given(_formulas(), st.fixed_dictionaries({name: st.sampled_from([True, False, None]) for name in NAMES}))
def test_random_formulas_are_worth_what_sql_says(formula: tuple[Any, str], values: dict[str, bool | None]) -> None:
    node, sql = formula
    recorded = {name: value for name, value in values.items() if value is not None}
    assert answer(sqlite3.connect(":memory:"), sql, values) == plain(truth(node, Scope(_Flags(recorded), {})))


def test_the_27_combinations_of_the_outcome() -> None:
    rows = list(csv.DictReader(OUTCOMES.open()))
    assert 27 == len({(row["applies_when"], row["verify_when"], row["require"]) for row in rows})
    for row in rows:
        parts = [as_truth(THREE[row[name]], name) for name in ("applies_when", "verify_when", "require")]
        assert row["outcome"] == outcome_of(*parts).outcome, row


def test_an_absorbed_cause_leaves_no_mark() -> None:
    unknown = as_truth(None, "absorbed")
    assert all_of([unknown, False]) is False
    assert any_of([unknown, True]) is True
    kept = all_of([any_of([unknown, True]), as_truth(None, "kept")])
    assert isinstance(kept, Unknown)
    assert {"kept"} == {cause.fact for cause in kept.causes}


LOW, CUT, HIGH = 100, 150, 200


def _day_rule(days: dict[str, Any]) -> str:
    """A rule that asks one date twice: before the cut, or from it on."""
    date = tree.Fact("d", "job", "date")
    limit = tree.Constant("cut", CUT, "date")
    parts = [tree.Compare((date, limit), (op,), "date", 0.0, op) for op in ("<", ">=")]
    either = tree.AnyOf(tuple(tree.Branch("", part, (), ()) for part in parts))
    return settle(rule(tree.Constantly(True, ""), either), Scope(_Flags(days), {})).outcome


def test_a_day_between_two_days_is_tried_on_each_side_of_what_it_is_compared_with() -> None:
    between = Range(LOW, HIGH, frozenset([Cause("date_unknown", "d")]))
    assert "pass" == _day_rule({"d": between}), "whichever day it was, one of the two holds"
    assert "verify_locally" == _day_rule({}), "a day of which nothing is known is not recorded"


def test_a_day_between_days_is_not_settled_against_a_day_it_was_not_tried_at() -> None:
    between = Range(LOW, HIGH, frozenset([Cause("date_unknown", "d")]))
    date, other = tree.Fact("d", "job", "date"), tree.Fact("e", "job", "date")
    for operator in ("==", "!="):
        node = tree.Compare((date, other), (operator,), "date", 0.0, operator)
        asked = rule(tree.Constantly(True, ""), node)
        assert "verify_locally" == settle(asked, Scope(_Flags({"d": between, "e": 170}), {})).outcome
        assert "verify_locally" == settle(asked, Scope(_Flags({"d": between}), {})).outcome
