"""Finding one's way: facts and functions by a word of the trade; the guide names all of them."""

from __future__ import annotations

from typing import get_args, get_type_hints

import pytest
from click.testing import CliRunner

from checker.authoring import language_listing as listing
from checker.cli import main
from checker.reading.shipped import ROOT
from checker.rulesets import models
from checker.trade import functions
from tests.support.rulesets import shipped_rulesets

GUIDE = (ROOT / "rulesets" / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("word", "fact"),
    [
        ("float", "condensate.water_level_device.fitted"),
        ("float switch", "condensate.water_level_device.fitted"),
        ("max fuse", "circuits.nameplate.maximum_fuse"),
        ("subcooling", "instructions.subcooling_target"),
    ],
)
def test_a_fact_is_found_by_what_the_trade_calls_it(word: str, fact: str) -> None:
    checker = shipped_rulesets()
    found = {one.name for one in listing.facts(checker.library, checker.vocabulary, word)}
    assert fact in found, sorted(found)[:20]
    assert len(found) < len(checker.vocabulary.leaves) / 10


def test_a_fact_tells_its_station_its_form_and_who_uses_it() -> None:
    checker = shipped_rulesets()
    (one,) = (
        one
        for one in listing.facts(checker.library, checker.vocabulary, "float")
        if one.name == "condensate.water_level_device.fitted"
    )
    assert ("Float switch installed", "yes or no", "seen: Drain and float switch") == (one.what, *one.more[:2])
    assert "overflow-protection-where-damage-possible" in one.used_by


def test_a_misspelled_word_is_answered_with_the_nearest() -> None:
    assert "Did you mean 'float'?" == listing.nearest_fact(shipped_rulesets().vocabulary, "flaot")


def test_every_function_is_found_and_tells_its_source() -> None:
    library = shipped_rulesets().library
    every = listing.trade_functions(library, "")
    assert set(functions()) == {one.name.partition("(")[0] for one in every}
    assert all(one.more[0].startswith("from ") for one in every)
    (one,) = listing.trade_functions(library, "dew_temperature")
    assert "dew_temperature(refrigerant: word, pressure: absolute pressure) → temperature" == one.name


def test_the_guide_has_every_function() -> None:
    written = CliRunner().invoke(main, ["rules", "functions", "--format", "markdown"])
    assert written.stdout in GUIDE, "write it anew: changeout rules functions --format markdown"


@pytest.mark.parametrize("field", list(models.LocalFact.fields))
def test_the_guide_names_what_a_fact_of_ones_own_has(field: str) -> None:
    assert f"`{field}`" in GUIDE or f"`{field}:" in GUIDE


def test_the_guide_names_each_form_of_a_fact() -> None:
    forms = get_args(get_type_hints(models.LocalFact)["form"])
    assert [] == [form for form in forms if f"`{form}`" not in GUIDE]
