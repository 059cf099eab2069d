"""Nodes of different types are different things, whatever their fields, and so are the verdicts that hang on them."""

from __future__ import annotations

import inspect
import itertools
import pickle
from pathlib import Path
from typing import Any

import pytest

from checker import expression, tree
from checker.layers import effective, meaning_of
from tests.support.lantern_layers import BY_LINE, RULES, answer, hill, report

FIELD = tree.Truth(tree.Fact("lantern.lit", "job", "flag"), "lantern.lit")
NODES = [
    kind
    for module in (tree, expression)
    for _, kind in inspect.getmembers(module, inspect.isclass)
    if kind.__module__ == module.__name__ and hasattr(kind, "_fields") and not kind.__name__.startswith("_")
]


def test_every_node_is_looked_at() -> None:
    assert {tree.All, tree.NoneOf, tree.AnyOf, tree.Truth, tree.BoundRule, expression.Word, expression.Call} <= {*NODES}


@pytest.mark.parametrize("count", sorted({len(kind._fields) for kind in NODES}))
def test_nodes_of_two_types_with_equal_fields_differ_and_are_two_keys(count: int) -> None:
    kinds = [kind for kind in NODES if len(kind._fields) == count]
    fields = [(FIELD,)] * count
    for one, other in itertools.combinations(kinds, 2):
        assert one(*fields) != other(*fields)
        assert not one(*fields) == other(*fields)  # noqa: SIM201  # both signs have an implementation of their own
        assert len({one(*fields), other(*fields)}) == 2
    for one in kinds:
        assert one(*fields) != tuple(fields)
        assert tuple(fields) != one(*fields)
        assert one(*fields) == one(*fields)
        assert len({one(*fields), one(*fields)}) == 1


def test_they_differ_inside_other_nodes_and_after_pickling() -> None:
    one, other = (tree.All((kind((FIELD,)),)) for kind in (tree.All, tree.NoneOf))
    assert one != other
    assert pickle.loads(pickle.dumps(one)) == one != pickle.loads(pickle.dumps(other))


OWN = """    applies_when:
      - all_of: [edition(guild) >= 2]
    verify_when:
      - {when: edition(guild) >= 2, ask: "Does the hill ask for a height at all?"}
"""
OTHERS = RULES[RULES.index("    verify_when:") : RULES.index("    require: [lantern.height >= lowest_fringe]")]


@pytest.mark.parametrize("own", ["all_of", "none_of"])
def test_an_answer_takes_away_its_own_condition_and_not_the_rule_s(tmp_path: Path, own: str) -> None:
    """Whether a rule would have asked is tried without what the answer put there, and with all that the rule says.

    The place is under the first edition, so the question does not arise. A rule that itself asks for the second edition does
    not apply; one that excludes it does. Neither was let off by anybody.
    """
    rules = RULES.replace(OTHERS, OWN.replace("all_of", own))
    (tmp_path / "plain").mkdir()
    (tmp_path / "answered").mkdir()
    place = hill(tmp_path / "plain", rules=rules).chain("xx-hill")
    meant = meaning_of(place, effective(place, "rules", BY_LINE, {}, 1), "any")
    one = hill(tmp_path / "answered", answer(BY_LINE, "not_asked", meaning=meant), rules=rules)
    found = report(one, height="5 ft")
    outcomes: list[Any] = [finding.outcome for finding in found.findings if finding.rule == BY_LINE]
    assert outcomes == ([] if own == "all_of" else ["fail"])
    assert not any(note.startswith("Not asked here: A lit lantern hangs") for note in found.notes)
