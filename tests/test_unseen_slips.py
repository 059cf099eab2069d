"""Slips that no case can see: each that a keeper could make in the shipped rules is named by the comparison with a release.

Which kinds there are is a list of what decides nothing and yet is read: written before it was run, in our own words.
"""

from __future__ import annotations

from typing import Any

import pytest

from checker.authoring.comparing import unseen
from checker.authoring.comparing.since_release import all_lean, of_others
from checker.authoring.comparing.unseen import slips, unnamed
from checker.engine.checker import Checker
from tests.support.ferry import BELOW, CHANGES, RULES, data

FERRY = {
    "rail-high-enough: life_safety dropped",
    "rail-high-enough: shall becoming should",
    "rail-high-enough: acceptable_by none becoming state",
    "rail-high-enough: acceptable_by none becoming local",
    "rail-high-enough: the caution water dropped",
    "rail-high-enough: the caution ropes dropped",
    "rail-high-enough: no longer in the edition 1",
    "rail-high-enough: no longer in the edition 3",
    "rail-high-enough: book 2: section_sure from_memory becoming checked",
    "rail-high-enough: book 2: requirement_sure doubtful becoming checked",
    "rail-high-enough: book 2: not cited for 2",
    "rail-high-enough: book 2: not cited for 3",
    "rail-high-enough: {height} and {least_rail} swapped in failed",
    "rail-high-enough: {height} and {least_rail} swapped in on_fail",
    "gap-small: shall becoming should",
    "gap-small: acceptable_by state becoming local",
    "gap-small: no longer in the edition 1",
    "gap-small: no longer in the edition 3",
    "gap-small: book 4: not cited for 1",
    "gap-small: book 4: not cited for 3",
    "least_rail: from_memory becoming checked",
    "sizes: small dropped",
    "sizes: middle dropped",
    "sizes: large dropped",
    "wire_for: deck upper dropped",
    "wire_for: deck lower dropped",
    "oars-stowed: shall becoming should",
}


def test_each_slip_is_made_once() -> None:
    assert sorted(FERRY) == sorted(f"{one.name}: {one.what}" for one in slips(data(RULES, CHANGES)))


def test_each_is_named_and_one_that_is_not_would_be_told(monkeypatch: pytest.MonkeyPatch) -> None:
    ferry = data(RULES, CHANGES)
    assert [] == unnamed(ferry, BELOW)

    def blind(before: Any, after: Any, below: Any) -> list[Any]:
        return [one for one in loosened(before, after, below) if one.field != "citation"]

    loosened = unseen.loosened
    monkeypatch.setattr(unseen, "loosened", blind)
    told = {f"{one.name}: {one.what}" for one in unnamed(ferry, BELOW)}
    assert {one for one in FERRY if "book" in one} == told


def test_lint_names_every_such_slip_in_the_shipped_rulesets(shipped: Checker) -> None:
    lean = all_lean(shipped.library)
    made = {name: len(list(slips(data))) for name, data in lean.items()}
    assert made["nec"] > 1000
    assert all(made.values())
    untold = [(name, one.name, one.what) for name, data in lean.items() for one in unnamed(data, of_others(lean, name))]
    assert [] == untold
