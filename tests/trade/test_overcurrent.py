"""Standard ratings of NEC 240.6(A). The list is data of the test, from memory; the worked rows name their source."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from nec_tables import RATINGS, RATINGS_2023

from checker.trade.function import OutOfRange
from checker.trade.overcurrent import is_standard, standard_at_least, standard_at_most

currents = st.floats(15, 6000)


@pytest.mark.parametrize(
    ("current", "expected"),
    [(53.75, 60), (20.1, 25), (50, 50), (15.0, 15), (14.9, 15), (0, 15), (6000, 6000), (50.00000001, 50), (50.001, 60)],
)
def test_the_next_standard_rating_up(current: float, expected: float) -> None:
    """53.75 -> 60 is a published worked example (trade newsletter on heat circuits); the rest reads the list."""
    assert expected == standard_at_least(current, RATINGS)


@pytest.mark.parametrize(
    ("current", "expected"),
    [(38.7, 35), (44.7, 40), (34.9, 30), (50, 50), (49.99999999, 50), (49.9, 45), (15, 15), (7000, 6000)],
)
def test_the_next_standard_rating_down(current: float, expected: float) -> None:
    """44.7 -> 40 is a maker's published nameplate; the rest reads the list."""
    assert expected == standard_at_most(current, RATINGS)


@pytest.mark.parametrize(
    ("rating", "before_2023", "from_2023"), [(10, False, True), (15, True, True), (55, False, False)]
)
def test_a_ten_ampere_breaker_is_standard_from_2023_and_fifty_five_never(
    rating: float, before_2023: bool, from_2023: bool
) -> None:
    """Sources: trade press and course pages on NEC 2023 240.6(A)."""
    assert (before_2023, from_2023) == (is_standard(rating, RATINGS), is_standard(rating, RATINGS_2023))


def test_sizes_between_fifty_and_ninety_go_by_tens() -> None:
    """There is no 55, 65, 75 or 85 A. From memory."""
    assert [50, 60, 70, 80, 90] == [amperes for amperes in range(50, 91) if is_standard(amperes, RATINGS)]


def test_ten_amperes_serves_a_small_load_from_2023_only() -> None:
    assert (15, 10) == (standard_at_least(8, RATINGS), standard_at_least(8, RATINGS_2023))
    assert 10 == standard_at_most(14, RATINGS_2023)


def test_the_order_of_the_list_does_not_matter() -> None:
    assert 60 == standard_at_least(53.75, reversed(RATINGS))
    assert 50 == standard_at_most(53.75, reversed(RATINGS))


def test_below_the_smallest_rating_is_said_in_trade_words() -> None:
    with pytest.raises(OutOfRange, match=r"12 A is below every standard fuse or breaker \(15 A\)"):
        standard_at_most(12, RATINGS)


def test_above_the_largest_rating_is_said_in_trade_words() -> None:
    with pytest.raises(OutOfRange, match=r"6001 A is above every standard fuse or breaker \(6000 A\)"):
        standard_at_least(6001, RATINGS)


@pytest.mark.parametrize("look", [standard_at_most, standard_at_least])
def test_an_empty_list_serves_nothing(look: object) -> None:
    with pytest.raises(OutOfRange):
        look(30, ())  # type: ignore[operator]


def test_a_current_below_zero_is_refused() -> None:
    with pytest.raises(OutOfRange, match="below zero"):
        standard_at_least(-1, RATINGS)


@given(currents)
def test_up_and_down_are_neighbours_around_the_current(current: float) -> None:
    down, up = standard_at_most(current, RATINGS), standard_at_least(current, RATINGS)
    assert down - 1e-6 <= current <= up + 1e-6
    assert down == up or RATINGS.index(int(up)) == RATINGS.index(int(down)) + 1


@given(currents, currents)
def test_a_larger_current_never_gets_a_smaller_rating(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert standard_at_most(low, RATINGS) <= standard_at_most(high, RATINGS)
    assert standard_at_least(low, RATINGS) <= standard_at_least(high, RATINGS)


@given(st.sampled_from(RATINGS))
def test_a_standard_rating_is_its_own_next_rating(rating: float) -> None:
    assert is_standard(rating, RATINGS)
    assert rating == standard_at_most(rating, RATINGS) == standard_at_least(rating, RATINGS)
