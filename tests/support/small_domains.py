"""Random rules over a handful of facts with small domains, so that everything can be tried by brute force.

Facts `p` and `q` are yes-or-no, `c` is out of a closed list of three, `x` and `y` are numbers of which the engine knows
no closed list; here they are tried on a grid that has a value on each side of every limit used.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from types import SimpleNamespace
from typing import Any

from hypothesis import strategies as st

from checker.ir import tree
from checker.ir.kleene import Evaluated, Known, Nothing

DOMAINS: dict[str, tuple[Any, ...]] = {
    "p": (True, False),
    "q": (True, False),
    "c": ("red", "green", "blue"),
    "x": (1.0, 2.0, 3.0),
    "y": (1.0, 2.0, 3.0),
}
CLOSED = ("p", "q", "c")
LIMITS = (1.5, 2.5)


class SmallFacts:
    """A job over the small domains; what is not in `recorded` is not recorded."""

    def __init__(self, recorded: dict[str, Any]) -> None:
        self.known = recorded

    def value(self, path: str) -> Evaluated | None:
        return self.known.get(path)

    def recorded(self, path: str, otherwise: Any, /) -> Any:
        return SimpleNamespace(value=self.known[path]) if path in self.known else otherwise

    def possible(self, path: str) -> tuple[Known | Nothing, ...] | None:
        return DOMAINS[path] if path in CLOSED else None

    def items(self, path: str) -> tuple[str, ...] | None:
        return None


def completions(recorded: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Every way of filling in what is not recorded."""
    open_ones = [name for name in DOMAINS if name not in recorded]
    for values in product(*(DOMAINS[name] for name in open_ones)):
        yield {**recorded, **dict(zip(open_ones, values, strict=True))}


def fact(name: str) -> tree.Fact:
    kind = "flag" if name in "pq" else "word" if name == "c" else "number"
    return tree.Fact(name, "job", kind)


flags = st.sampled_from("pq").map(lambda name: tree.Truth(fact(name), name))
members = st.builds(
    lambda words, negated: tree.Member(fact("c"), tuple(sorted(words)), negated, "c in …"),
    st.sets(st.sampled_from(DOMAINS["c"]), min_size=1, max_size=2),
    st.booleans(),
)
numbers = st.sampled_from("xy").map(fact)
extremes = st.builds(
    lambda name, left, right: tree.Arithmetic(name, left, right, "number"),
    st.sampled_from(["larger_of", "smaller_of"]),
    numbers,
    numbers,
)
picked = st.builds(
    lambda condition, value, otherwise: tree.Choice(condition, value, otherwise, "number"),
    st.one_of(flags, members),
    numbers,
    st.one_of(numbers, st.sampled_from(LIMITS).map(lambda limit: tree.Constant("limit", limit, "number"))),
)
compares = st.builds(
    lambda value, op, limit: tree.Compare(
        (value, tree.Constant("limit", limit, "number")), (op,), "number", 1e-9, f"{value} {op} {limit}"
    ),
    st.one_of(numbers, extremes, picked),
    st.sampled_from(["<=", "<", ">=", ">"]),
    st.sampled_from(LIMITS),
)


def _grown(inner: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    lists = st.lists(inner, min_size=1, max_size=3).map(tuple)
    branches = lists.map(lambda parts: tree.AnyOf(tuple(tree.Branch("", part, (), ()) for part in parts)))
    return st.one_of(
        lists.map(tree.All), branches, lists.map(tree.NoneOf), inner.map(lambda part: tree.Not(part, "not …"))
    )


conditions = st.recursive(st.one_of(flags, members, compares), _grown, max_leaves=6)
recorded = st.fixed_dictionaries({}, optional={name: st.sampled_from(values) for name, values in DOMAINS.items()})


def rule(applies: Any, require: Any) -> tree.BoundRule:
    return tree.BoundRule(
        "a-rule", "small", "A rule", "topic", "shall", False, "reading", (), tree.All((applies,)), (), tree.All((require,)),
        {}, {}, (), (), (), (), "", (), (), (), "", (), "0" * 16,
    )  # fmt: skip


rules = st.builds(rule, conditions, conditions)
