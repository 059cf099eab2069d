"""A title that tells a limit follows the limit: another layer's amount stands in its place."""

from __future__ import annotations

import pytest

from checker.ir import tree
from checker.rulesets.amounts_in_words import told, with_limits_of_here

BOOK = tree.SetBy("book", "Book", (), "", "checked")


def held(value: float | None, below: float | None = None, unit: str = "ft", kind: str = "length") -> tree.Held:
    lower = tree.Held("a", "A", kind, unit, below, (), BOOK) if below is not None else None
    return tree.Held("a", "A", kind, unit, value, (), BOOK, lower)


@pytest.mark.parametrize(
    ("title", "here"),
    [
        ("A disconnect in sight and within 50 ft", "A disconnect in sight and within 25 ft"),
        ("Within 50 ft of the unit", "Within 25 ft of the unit"),
        ("Within 50 ft, and 50 ft from the gate", "Within 50 ft, and 50 ft from the gate"),  # which one is not told
        ("Within 150 ft", "Within 150 ft"),
        ("Within 1.50 ft", "Within 1.50 ft"),
        ("Within 50 ft, or 25 ft where it is dark", "Within 50 ft, or 25 ft where it is dark"),
        ("Within 600 in", "Within 25 ft"),  # the same length in another unit
        ("In sight", "In sight"),
    ],
)
def test_the_amount_that_a_layer_replaced_is_replaced_in_the_title(title: str, here: str) -> None:
    assert here == with_limits_of_here(title, (held(300.0, 600.0),))  # a length is held in inches


def test_a_title_stays_where_the_limit_does_or_is_left_open() -> None:
    assert "Within 50 ft" == with_limits_of_here("Within 50 ft", (held(600.0),))
    assert "Within 50 ft" == with_limits_of_here("Within 50 ft", (held(None, 600.0),))


def test_a_fraction_is_an_amount() -> None:
    assert [(8, 14)] == told("A drain 3/4 in or larger", held(0.75, unit="in"))
    assert "A drain 1 in or larger" == with_limits_of_here("A drain 3/4 in or larger", (held(1.0, 0.75, "in"),))
