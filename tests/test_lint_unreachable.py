"""Conditions that are said never to be true never are: held against every job of a small trade, one by one."""

from __future__ import annotations

import json
from itertools import combinations, product
from typing import Any

import pytest

from checker.authoring.lint.claims import claims, clash
from checker.binding import parser
from checker.binding.names import Context
from checker.binding.resolver import Resolver
from checker.engine.checker import Checker
from checker.ir import tree
from checker.ir.kleene import Scope
from checker.judging.conditions import truth
from checker.reading.files import read_text
from checker.reading.job import JobFacts, load

PAPER = [
    "lantern.paper == rice",
    "lantern.paper == tin",
    "lantern.paper != tin",
    "lantern.paper in [rice, oiled]",
    "lantern.paper not in [rice, oiled]",
]
LINES = [
    *PAPER,
    "lantern.lit",
    "not lantern.lit",
    "lantern.height >= least_height",
    "lantern.height > least_height",
    "lantern.height < least_height",
    "lantern.height <= least_height",
    "lantern.height == least_height",
]
JOBS: list[dict[str, Any]] = [
    {"height": height, "lit": lit, "paper": paper}
    for height, lit, paper in product(("7.9 ft", "8 ft", "8.1 ft"), (True, False), ("rice", "oiled", "tin"))
]


def condition(checker: Checker, text: str) -> tree.Condition:
    context = Context(checker.chain("xx-nether-lamp"), checker.vocabulary, {"guild": "2"}, 1)
    return Resolver(context).condition(parser.parse_condition(text), text)


def both_true_somewhere(checker: Checker, *conditions: tree.Condition) -> bool:
    for facts in JOBS:
        job = {"job_id": "x", "schema_version": 1, "lantern": facts}
        scope = Scope(JobFacts(load(read_text(json.dumps(job).encode(), "job.json"), checker.vocabulary)), {})
        if all(truth(one, scope) is True for one in conditions):
            return True
    return False


def said_impossible(*conditions: tree.Condition) -> bool:
    claimed = [claim for one in conditions for claim in claims(one, {})]
    return any(clash(first, second) for first, second in combinations(claimed, 2))


# Two lines that only leave words out claim nothing together: a paper that is known to be none would fulfil both.
LEAVES_OUT = ("!=", "not in")
PAIRS = [pair for pair in combinations(LINES, 2) if not all(any(o in line for o in LEAVES_OUT) for line in pair)]


@pytest.mark.parametrize(("first", "second"), PAIRS)
def test_two_lines_clash_exactly_where_no_job_fulfils_both(first: str, second: str, tiny: Checker) -> None:
    both = condition(tiny, first), condition(tiny, second)
    assert both_true_somewhere(tiny, *both) is not said_impossible(*both)


@pytest.mark.parametrize(("first", "second"), list(product(LINES, LINES)))
def test_what_is_said_to_clash_with_a_denied_line_is_true_of_no_job(first: str, second: str, tiny: Checker) -> None:
    both = condition(tiny, first), tree.NoneOf((condition(tiny, second),))
    if said_impossible(*both):
        assert not both_true_somewhere(tiny, *both)


@pytest.mark.parametrize("line", PAPER)
def test_a_word_and_its_denial_clash(line: str, tiny: Checker) -> None:
    assert said_impossible(condition(tiny, line), tree.NoneOf((condition(tiny, line),)))


def test_a_known_none_clashes_with_what_needs_a_value(tiny: Checker) -> None:
    fact = tree.Fact("lantern.height", "job", "length")
    none, given = tree.Given(fact, True, "none: lantern.height"), tree.Given(fact, False, "given: lantern.height")
    compared = condition(tiny, "lantern.height >= least_height")
    assert said_impossible(none, given)
    assert said_impossible(none, compared)
    assert not said_impossible(given, compared)
