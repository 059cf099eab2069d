"""Numbers that come out the same in every language: sums, roundings, days, and nothing that is no number."""

from __future__ import annotations

import ast
import datetime
import math
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checker.ir import tree
from checker.ir.kleene import Evaluated, Facts, Known, Nothing, Range, Scope, Unknown
from checker.ir.outcomes import VERIFY
from checker.judging.conditions import truth
from checker.judging.generated_code import compiled
from checker.judging.values import evaluate
from checker.reading import units
from checker.trade.sums import deviation, mean, total
from tests.support.small_domains import rule

PACKAGE = Path(__file__).parent.parent / "checker"
ADDING = sorted(
    [*(PACKAGE / "judging").glob("*.py"), *(PACKAGE / "trade").glob("*.py"), *(PACKAGE / "ir").glob("*.py")]
)


def test_a_total_goes_from_left_to_right() -> None:
    """0.1 ten times, as IEEE 754 has it after each addition; the exact total of the ten would round to 1.0."""
    assert total([0.1] * 10) == 0.9999999999999999
    assert math.fsum([0.1] * 10) == 1.0
    assert total([1e16, 1.0, -1e16]) == 0.0  # the 1 is lost on the way; in a different order it would not be
    assert total([1e16, -1e16, 1.0]) == 1.0
    assert total([]) == 0
    assert mean([1.0, 2.0, 6.0]) == 3.0


def test_the_deviation_of_a_sample() -> None:
    """NIST/SEMATECH e-Handbook's formula on 2, 4, 4, 4, 5, 5, 7, 9 (worked by hand: squares 32 over 7)."""
    assert deviation([2.0, 4.0, 4.0, 4.0, 5.0, 5.0, 7.0, 9.0]) == math.sqrt(32 / 7)


@pytest.mark.parametrize("path", ADDING, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_where_judging_adds_the_built_in_sum_is_not_used(path: Path) -> None:
    """It changed between versions of Python, and `statistics` works in fractions."""
    if path.name == "make_curves.py":  # runs before anything is judged, and its curves are kept
        return
    module = ast.parse(path.read_text(encoding="utf-8"))
    called = {
        node.func.id for node in ast.walk(module) if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    }
    imported = {alias.name for node in ast.walk(module) if isinstance(node, ast.Import) for alias in node.names}
    assert not {"sum", "fsum"} & called
    assert "statistics" not in imported


SHOWN = [(0.5, 0, "0"), (1.5, 0, "2"), (2.5, 0, "2"), (2.675, 2, "2.68"), (0.125, 2, "0.12"), (-0.5, 0, "0")]


@pytest.mark.parametrize(("amount", "digits", "said"), SHOWN)
def test_what_is_shown_is_rounded_as_decimals_half_to_even(amount: float, digits: int, said: str) -> None:
    """IEEE 754-2019, 4.3.1, on the shortest decimal of the number. In binary 2.675 lies below its half and would be 2.67."""
    assert units.write_amount(amount, "number", "one", digits) == said


def test_days_are_numbers_from_the_first_of_january_of_the_year_1() -> None:
    """Rata die (Dershowitz and Reingold, Calendrical Calculations): 12 November 1945 is 710347."""
    assert datetime.date(1945, 11, 12).toordinal() == 710347


class Given(Facts):
    """Facts by their paths."""

    def __init__(self, **facts: Evaluated) -> None:
        self.facts = facts

    def value(self, path: str) -> Evaluated | None:
        return self.facts.get(path)

    def recorded(self, path: str, otherwise: Any, /) -> Any:
        return SimpleNamespace(value=self.facts[path]) if path in self.facts else otherwise

    def possible(self, path: str) -> tuple[Known | Nothing, ...] | Range | None:
        return None

    def items(self, path: str) -> tuple[str, ...] | None:
        return None


def fact(name: str) -> tree.Fact:
    return tree.Fact(name, "job", "number")


def powers(times: int) -> tree.Value:
    """x multiplied by itself, doubled so many times."""
    node: tree.Value = fact("x")
    for _ in range(times):
        node = tree.Arithmetic("*", node, node, "number")
    return node


HUGE = powers(6)  # 1e12 to the 64th power: no double holds it
NO_NUMBER = tree.Arithmetic("-", HUGE, HUGE, "number")


@pytest.mark.parametrize("node", [HUGE, NO_NUMBER], ids=["infinite", "no number"])
@pytest.mark.parametrize("operator", ["<=", ">=", "<", ">", "==", "!="])
@pytest.mark.parametrize("turned", [False, True])
def test_what_is_no_number_is_unknown_and_on_no_side_of_a_limit(node: tree.Value, operator: str, turned: bool) -> None:
    limit = tree.Constant("limit", 5.0, "number")
    operands = (limit, node) if turned else (node, limit)
    compared = tree.Compare(operands, (operator,), "number", 0.0, "")
    found = truth(compared, Scope(Given(x=1e12), {}))
    assert isinstance(found, Unknown)
    assert {cause.reason for cause in found.causes} == {"implausible"}
    asked = rule(tree.Constantly(True, ""), compared)
    assert compiled(asked)(Scope(Given(x=1e12), {})) in (None, VERIFY)


def test_open_ends_less_open_ends_are_unknown() -> None:
    ends = Range(1.0, math.inf, frozenset())
    found = evaluate(tree.Arithmetic("-", fact("x"), fact("x"), "number"), Scope(Given(x=ends), {}))
    assert not isinstance(found, float)
    if isinstance(found, Range):
        assert found.low == found.low
        assert found.high == found.high


@given(st.lists(st.floats(-1e12, 1e12), max_size=20))
def test_a_total_is_near_the_exact_one(numbers: list[float]) -> None:
    """The bound of recursive summation (Higham, Accuracy and Stability of Numerical Algorithms, 4.2)."""
    bound = len(numbers) * 2.0**-52 * math.fsum(map(abs, numbers))
    assert abs(total(numbers) - math.fsum(numbers)) <= bound
