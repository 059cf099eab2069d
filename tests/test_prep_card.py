"""The plan of a visit on one page: never more than a page, a part once, and the question that settles most first."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.fieldwork import prep_card
from checker.fieldwork.prep import Prep, prepare
from checker.findings.parts import PartWanted
from checker.reading.files import read_file, read_text
from checker.reading.job import load
from tests.support.commands import changeout
from tests.support.jobs import QUOTE
from tests.support.rulesets import ON

ROOT = Path(__file__).parent.parent
EXAMPLES = sorted((ROOT / "examples" / "jobs").glob("*.json"))
BLANK: dict[str, Any] = {"job_id": "blank", "schema_version": 1}
OF_STATES = sorted((ROOT / "rulesets" / "states" / "us").glob("??.yaml"))
STATES = random.Random(7).sample([file.stem.upper() for file in OF_STATES], 5)


def plan(checker: Checker, facts: dict[str, Any]) -> Prep:
    return prepare(checker, load(read_text(json.dumps(facts).encode(), "job.json"), checker.vocabulary), ON)


def told(prep: Prep) -> str:
    card = prep_card.render(prep)
    assert len(card.splitlines()) <= prep_card.MOST_LINES
    assert max(map(len, card.splitlines())) <= 80
    assert "The authority having jurisdiction decides." in card
    return " ".join(card.split())


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_the_plan_of_an_example_is_one_page(path: Path, shipped: Checker) -> None:
    told(prepare(shipped, load(read_file(path), shipped.vocabulary), ON))


@pytest.mark.parametrize(
    "facts",
    [
        BLANK,
        BLANK | {"site": {"jurisdiction": "Anytown"}},
        QUOTE,
        BLANK | {"site": {"state": STATES[0]}},
        *(pytest.param(BLANK | {"site": {"state": one}}, marks=pytest.mark.long) for one in STATES[1:]),
    ],
    ids=["blank", "uncovered", "quote", *STATES],
)
def test_the_plan_of_a_job_that_records_hardly_anything_is_one_page(facts: dict[str, Any], shipped: Checker) -> None:
    card = told(plan(shipped, facts))
    for heading in ("Bring", "Ask the office,", "Before the old equipment is removed", "Measure", "Photograph"):
        assert f"{heading} " in card
    assert "(--all)" in card, "what does not fit is counted"


def test_the_editions_are_asked_where_nobody_has_said_them(shipped: Checker) -> None:
    assert "Which edition is adopted: " in told(plan(shipped, BLANK | {"site": {"jurisdiction": "Anytown"}}))
    assert "Which edition is adopted: " not in told(plan(shipped, QUOTE))


def test_a_part_that_several_rules_want_is_one_line_with_the_size_that_satisfies_all(shipped: Checker) -> None:
    """25 A to 45 A for one rule and 35 A at most for another is 25 A to 35 A: arithmetic."""
    prep = plan(shipped, QUOTE)
    one = PartWanted("breaker", "Breaker", "2-pole", 25, 45, "current", "A", note="listed for the panel")
    other = PartWanted("breaker", "Breaker", "", None, 35, "current", "A", note="HACR")
    findings = prep.report.with_outcome("verify_locally")[:2]
    wanting = tuple(
        finding._replace(parts=(part,), item="condenser", evidence=(), weight="core")
        for finding, part in zip(findings, (one, other), strict=True)
    )
    card = told(prep._replace(report=prep.report._replace(findings=wanting)))
    assert "Panel: [_] Breaker, 2-pole, 25 A to 35 A, listed for the panel, HACR [condenser]" in card
    assert 1 == card.count("Breaker")
    smaller = other._replace(most=20)
    torn = tuple(f._replace(parts=(p,)) for f, p in zip(wanting, (one, smaller), strict=True))
    assert "no one size fits every rule" in told(prep._replace(report=prep.report._replace(findings=torn)))


def test_a_size_that_rests_on_figures_as_ordered_is_to_be_confirmed(shipped: Checker) -> None:
    card = told(plan(shipped, QUOTE))
    assert "20 A to 30 A" in card
    assert "confirm on the plate" in card


def test_at_most_a_dozen_photographs(shipped: Checker) -> None:
    card = prep_card.render(plan(shipped, QUOTE)).partition("\nPhotograph\n")[2]
    assert 0 < card.count("[_]") <= prep_card.MOST_PHOTOGRAPHS


def test_without_a_job_it_asks_four_things_and_plans_by_them(tmp_path: Path) -> None:
    """17.5 A: 20 A is the next standard rating (NEC 240.6(A)); 30 A the largest that the manufacturer allows."""
    run = changeout("prep", "--on", ON.isoformat(), stdin="xx-alder\n1\n17.5\n30\n", cwd=tmp_path)
    assert 0 == run.returncode, run.stderr
    assert "4. " in run.stdout
    assert "5. " not in run.stdout
    assert "20 A to 30 A" in " ".join(run.stdout.split())
    assert [] == list(tmp_path.iterdir()), "nothing is written"


def test_all_lists_each_thing_with_its_section_and_rule() -> None:
    run = changeout("prep", "examples/jobs/02-oversized-breaker.json", "--all", "--on", ON.isoformat())
    assert "(overcurrent-within-nameplate)" in " ".join(run.stdout.split())


def test_of_a_part_that_many_rules_want_a_few_words_are_told_and_the_rest_counted(shipped: Checker) -> None:
    card = told(plan(shipped, BLANK))
    manuals = card.partition("Installation manuals, ")[2].partition("[_]")[0].partition("Panel:")[0]
    assert manuals.count(";") == prep_card.MOST_WORDS
    assert "more (--all)" in manuals


def test_a_reading_is_measured_once_and_what_its_limits_wait_for_is_found_first(shipped: Checker) -> None:
    facts = {"system": "split_air_conditioner", "phase": "single_phase", "outdoor_unit": True, "furnace": True}
    prep = plan(shipped, BLANK | {"site": {"dwelling": "one_family"}, "scope": facts})
    (text,) = {one.text for one in prep_card._Card(prep, 80).measured() if one.text.startswith("Manifold gas pressure")}
    assert "(first: " in text
    assert "minimum manifold pressure" in text
    assert "maximum manifold pressure" in text
