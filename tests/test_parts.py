"""What to bring, by part: rules name the same part, and one size is found that satisfies all of them."""

from __future__ import annotations

import json
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.findings.parts import PartWanted, together
from checker.reading.files import read_text
from tests.support.rulesets import ON

BREAKER = PartWanted("breaker", "Breaker", kind="current", unit="A")
NAMEPLATE = {"minimum_circuit_ampacity": "18.4 A", "maximum_breaker": "30 A", "maximum_fuse": "30 A", "poles": 2}


def wanted(checker: Checker, **nameplate: Any) -> list[PartWanted]:
    """The parts that the rule of the nameplate's maximum wants, behind a breaker that is too big."""
    circuit = {
        "key": "condenser",
        "serves": "outdoor_unit",
        "nameplate": {**NAMEPLATE, **nameplate},
        "devices": [{"key": "panel", "kind": "breaker", "place": "panel", "rating": "50 A"}],
    }
    job = {"job_id": "a", "schema_version": 1, "scope": {"outdoor_unit": True}, "circuits": [circuit]}
    report = checker.check(read_text(json.dumps(job).encode(), "a.json"), ON)
    return [part for found in report.findings if found.rule == "overcurrent-within-nameplate" for part in found.parts]


def test_a_part_comes_with_the_sizes_between_which_it_has_to_be(shipped: Checker) -> None:
    # by hand: 18.4 A asks for the next standard size, 20 A (NEC 240.6(A)); the nameplate allows 30 A
    (breaker,) = wanted(shipped, device_words="breaker_only")
    assert ("breaker", 20.0, 30.0) == (breaker.part, breaker.least, breaker.most)
    assert "Breaker, 2-pole, 20 A to 30 A, listed for the panel" == breaker.said


def test_what_the_nameplate_rules_out_is_not_brought(shipped: Checker) -> None:
    assert ["fuses", "disconnect"] == [part.part for part in wanted(shipped, device_words="fuse_only")]


def test_what_hangs_on_something_not_known_is_said_with_its_condition(shipped: Checker) -> None:
    breaker, *_ = wanted(shipped)
    assert "the nameplate allows a breaker" == breaker.doubt
    assert breaker.said.endswith("(if the nameplate allows a breaker)")


def test_an_end_that_is_not_known_yet_is_left_out_and_told(shipped: Checker) -> None:
    (breaker,) = wanted(shipped, device_words="breaker_only", minimum_circuit_ampacity={"not_known": "painted over"})
    assert (None, 30.0, True) == (breaker.least, breaker.most, breaker.unknown)
    assert "Breaker, 2-pole, 30 A at most, listed for the panel" == breaker.said


@pytest.mark.parametrize(
    ("ends", "said"),
    [
        ([(20, 30), (25, None), (None, 40)], "Breaker, 25 A to 30 A"),
        ([(20, 40), (25, 25)], "Breaker, 25 A"),
        ([(None, None)], "Breaker"),
    ],
)
def test_together_has_the_one_size_that_satisfies_every_rule(ends: list[tuple[Any, Any]], said: str) -> None:
    one = together(BREAKER._replace(least=least, most=most) for least, most in ends)
    assert said == one.said
    assert not one.conflict


def test_sizes_that_no_one_part_can_have_are_told() -> None:
    assert together([BREAKER._replace(least=40), BREAKER._replace(most=30)]).conflict


def test_notes_stand_once_and_a_condition_only_where_nobody_wants_it_without() -> None:
    hacr = BREAKER._replace(note="HACR", doubt="it is marked so")
    assert "Breaker, HACR" == together([hacr, hacr._replace(doubt=""), BREAKER]).said
    assert "Breaker, HACR (if it is marked so)" == together([hacr, hacr]).said


def test_every_part_that_is_listed_is_named_by_a_rule(shipped: Checker) -> None:
    listed = {part.name for part in shipped.vocabulary.parts}
    texts = [str(rule.bring) for ruleset in shipped.library.rulesets.values() for rule in ruleset.rules.values()]
    assert [] == sorted(name for name in listed if not any(f"'part': '{name}'" in text for text in texts))
