"""Standard ratings of fuses and breakers: the next one up, the next one down, and whether a rating is one.

The list itself is a limit of a ruleset (`standard_overcurrent_ratings`), because it changes by edition.
"""

from __future__ import annotations

from collections.abc import Iterable

from checker.trade.function import OutOfRange, look_up, rule_function

RATINGS = "standard_overcurrent_ratings"
SOURCE = "NEC 240.6(A); the list is the ruleset's"
SAME = 1e-6  # A: two currents closer than this are the same, as in units.txt


@rule_function(
    "current", ["current +"],
    look_up(
        "the last rating not above the current", table=RATINGS, take="last", stands="<=", within=SAME,
        none="{current:g} A is below every standard fuse or breaker ({nearest:g} A)",
    ),
    SOURCE, tables=(RATINGS,),
)  # fmt: skip
def standard_at_most(current: float, ratings: Iterable[float]) -> float:
    """The largest standard rating not above a current.

    Args:
        current: A.
        ratings: The standard ratings, A, in any order.

    Returns:
        A standard rating, A. A current that is a standard rating gives itself.

    Raises:
        OutOfRange: No standard rating is that small.
    """
    ordered = sorted(ratings)
    fitting = [rating for rating in ordered if rating <= current + SAME]
    if not fitting:
        raise OutOfRange(f"{current:g} A is below every standard fuse or breaker{_ends(ordered[:1])}")
    return fitting[-1]


@rule_function(
    "current", ["current +"],
    look_up(
        "the first rating not below the current", ("current >= 0", "a current of {current:g} A is below zero"),
        table=RATINGS, take="first", stands=">=", within=SAME,
        none="{current:g} A is above every standard fuse or breaker ({nearest:g} A)",
    ),
    SOURCE, tables=(RATINGS,),
)  # fmt: skip
def standard_at_least(current: float, ratings: Iterable[float]) -> float:
    """The smallest standard rating not below a current.

    Args:
        current: A.
        ratings: The standard ratings, A, in any order.

    Returns:
        A standard rating, A. A current that is a standard rating gives itself.

    Raises:
        OutOfRange: No standard rating is that large, or the current is below zero.
    """
    if current < 0:
        raise OutOfRange(f"a current of {current:g} A is below zero")
    ordered = sorted(ratings)
    fitting = [rating for rating in ordered if rating >= current - SAME]
    if not fitting:
        raise OutOfRange(f"{current:g} A is above every standard fuse or breaker{_ends(ordered[-1:])}")
    return fitting[0]


@rule_function(
    "flag", ["current"],
    look_up("whether a rating is the current", table=RATINGS, take="any", stands="==", within=SAME),
    SOURCE, tables=(RATINGS,),
)  # fmt: skip
def is_standard(current: float, ratings: Iterable[float]) -> bool:
    """Whether a rating (A) is a standard one. One that is not may still be made and permitted."""
    return any(abs(rating - current) <= SAME for rating in ratings)


def _ends(ratings: list[float]) -> str:
    return f" ({ratings[0]:g} A)" if ratings else ""
