"""Nodes of different types are different things, whatever their fields, and so are the verdicts that hang on them."""

from __future__ import annotations

import inspect
import itertools
import pickle
import re
from pathlib import Path
from typing import Any

import pytest

from checker.binding import parser
from checker.ir import tree
from checker.ir.node import Node, field_names, fields_holding, replace
from checker.ir.visitor import children
from checker.rulesets.layering import effective, meaning_of
from tests.support.lantern_layers import BY_LINE, RULES, answer, hill, report

FIELD = tree.Truth(tree.Fact("lantern.lit", "job", "flag"), "lantern.lit")
NODES = [
    kind
    for module in (tree, parser)
    for _, kind in inspect.getmembers(module, inspect.isclass)
    if kind.__module__ == module.__name__ and issubclass(kind, Node)
]


def test_every_node_is_looked_at() -> None:
    assert {tree.All, tree.NoneOf, tree.AnyOf, tree.Truth, tree.BoundRule, parser.Word, parser.Call} <= {*NODES}


@pytest.mark.parametrize("count", sorted({len(field_names(kind)) for kind in NODES}))
def test_nodes_of_two_types_with_equal_fields_differ_and_are_two_keys(count: int) -> None:
    kinds = [kind for kind in NODES if len(field_names(kind)) == count]
    fields = [(FIELD,)] * count
    for one, other in itertools.combinations(kinds, 2):
        assert one(*fields) != other(*fields)
        assert not one(*fields) == other(*fields)  # noqa: SIM201  # both signs have an implementation of their own
        assert len({one(*fields), other(*fields)}) == 2
        assert hash(one(*fields)) != hash(other(*fields))
    for one in kinds:
        assert one(*fields) == one(*fields)
        assert len({one(*fields), one(*fields)}) == 1


def test_they_differ_inside_other_nodes_and_after_pickling() -> None:
    one, other = (tree.All((kind((FIELD,)),)) for kind in (tree.All, tree.NoneOf))
    assert one != other
    assert pickle.loads(pickle.dumps(one)) == one != pickle.loads(pickle.dumps(other))


@pytest.mark.parametrize("kind", NODES, ids=lambda kind: f"{kind.__module__}.{kind.__name__}")
def test_a_node_is_frozen_has_no_other_fields_and_is_changed_by_making_another(kind: Any) -> None:
    first, *_ = names = field_names(kind)
    one = kind(*names)
    with pytest.raises(AttributeError, match="frozen"):
        setattr(one, first, "changed")
    assert not hasattr(one, "__dict__")
    other = replace(one, **{first: "changed"})
    assert (getattr(one, first), getattr(other, first)) == (first, "changed")
    assert one != other
    assert all(getattr(other, name) == getattr(one, name) for name in names if name != first)


@pytest.mark.parametrize("kind", NODES, ids=lambda kind: f"{kind.__module__}.{kind.__name__}")
def test_a_node_in_any_field_that_may_hold_one_is_gone_through(kind: Any) -> None:
    """A field whose annotation names a kind of node is one that the visitor looks into."""
    names = field_names(kind)
    held = fields_holding(kind)
    own = {node.__name__ for node in NODES} | {"Value", "Condition", "Sentence", "Syntax"}
    types = kind.__annotations__
    assert {*held} == {name for name, said in types.items() if {*re.findall(r"\w+", said)} & own}
    for name in held:
        inside = tree.Fact("lantern.lit", "job", "flag")
        for part in (inside, (inside,), ((inside,),), {"name": inside}):
            assert [*children(kind(*(part if name == field else "" for field in names)))] == [inside]


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
