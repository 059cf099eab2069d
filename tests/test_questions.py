"""What is left to somebody else is put as a question that a clerk can answer, over everything that is shipped.

Each has whom it is put to, the section, and what follows from each answer; it ends as a question does.
"""

from __future__ import annotations

import json
import random
import re
from pathlib import Path
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.findings.finding import Finding
from checker.ir.outcomes import VERIFY
from checker.reading.files import read_text
from checker.reading.job import load
from tests.long.random_jobs import random_job, worked
from tests.support.clerk import assert_a_clerk_can_answer
from tests.support.jobs import whole_job
from tests.support.rulesets import ON, Judge

ROOT = Path(__file__).parent.parent
JOBS = sorted(
    [*ROOT.glob("examples/jobs/*.json"), *ROOT.glob("examples/archive/*.json"), *ROOT.glob("tests/jobs/*.json")]
)
PLACES = ("xx-alder", "xx-sorrel", "xx-nowhere")


@pytest.mark.long
@pytest.mark.parametrize("part", range(3))
def test_every_whole_job_is_put_as_questions(part: int, shipped: Checker) -> None:
    """Every third job, where it is and at other places. No note of its report names a limit by its id."""
    places: tuple[str | None, ...] = (
        (None, "xx-nowhere") if part == 0 else (None, "xx-nowhere", "xx-alder", "xx-sorrel")
    )
    limits = {name for ruleset in shipped.library.rulesets.values() for name in ruleset.limits if "_" in name}
    within = 0
    for file in JOBS[part::3]:
        data = whole_job(file)
        for place in places:
            for finding in report_of(shipped, moved(data, place) if place else data):
                assert_a_clerk_can_answer(finding)
                assert not limits & set(re.findall(r"\w+", " ".join(finding.notes))), (file.stem, finding.notes)
                within += assert_an_answer_says_what_follows_within(finding, shipped)
    assert within, "some rule asks under an edition that may hold"


def assert_an_answer_says_what_follows_within(finding: Finding, shipped: Checker) -> int:
    """No edition is in force for sure, and under some of them the rule asks the office something of its own: how often.

    Every answer that the rule names is there with what follows from it; a rule that names none is asked yes or no.
    """
    written = shipped.library.rulesets[finding.ruleset].rules[finding.rule]
    named = list(written.answers) or ["yes", "no"]
    asked = [answer.leads_to for answer in finding.answers if answer.leads_to.startswith("then this too: ")]
    for leads_to in asked if finding.alternatives else []:
        _, *answers = re.split(r"(?:\? If |; if )", leads_to)
        assert [answer.partition(", ")[0] for answer in answers] == named, leads_to
        assert all(answer.partition(", ")[2] for answer in answers), leads_to
    return len(asked) if finding.alternatives else 0


@pytest.mark.parametrize("seeds", [range(4), pytest.param(range(4, 40), marks=pytest.mark.long)], ids=["few", "many"])
def test_every_random_job_is_put_as_questions(seeds: range, shipped: Checker) -> None:
    bases = worked()
    for seed in seeds:
        data = random_job(random.Random(seed), bases, shipped).facts
        for place in PLACES:
            for finding in report_of(shipped, moved(data, place)):
                assert_a_clerk_can_answer(finding)


def moved(data: dict[str, Any], place: str) -> dict[str, Any]:
    """A job at another place, where nobody was told which code is adopted."""
    site = {name: said for name, said in data.get("site", {}).items() if name != "adopted"}
    return data | {"site": site | {"jurisdiction": place}}


def report_of(shipped: Checker, data: dict[str, Any]) -> tuple[Finding, ...]:
    return shipped.check_job(load(read_text(json.dumps(data).encode(), "job.json"), shipped.vocabulary), ON).findings


def test_every_rule_that_asks_says_what_each_answer_means(shipped: Checker) -> None:
    for ruleset in shipped.library.rulesets.values():
        for name, rule in ruleset.rules.items():
            assert bool(rule.ask) == bool(rule.answers), name


def test_a_question_stands_where_a_sum_of_its_rule_is_not_known(shipped: Checker) -> None:
    """A sentence with an unknown value goes unsaid; the one that asks holds nothing that the rule has to work out."""
    for ruleset in shipped.library.rulesets.values():
        for name, rule in ruleset.rules.items():
            asking = (rule.ask or "").rpartition(". ")[2]
            assert not [worked_out for worked_out in rule.where or {} if f"{{{worked_out}}}" in asking], name


def test_older_stock_is_no_question_to_the_county(judge: Judge) -> None:
    """Between 1 January and 27 July 2026: 40 CFR 84.54, 88 FR 88825 and 91 FR 31284, as the rule cites them."""
    data = whole_job(ROOT / "examples/jobs/01-clean.json")
    data["site"]["jurisdiction"] = "xx-alder"
    data["dates"]["equipment_installed"] = "2026-03-03"
    data["outdoor_unit"]["manufactured"] = data["indoor_unit"]["manufactured"] = "2024-11-04"
    data["outdoor_unit"]["nameplate"]["refrigerant"] = "R-410A"
    data["scope"] |= {"outdoor_unit": True, "indoor_coil": True}
    asked = next(finding for finding in judge(data).findings if finding.rule == "gwp-limit-by-dates")
    assert VERIFY == asked.outcome
    assert asked.asked_of.startswith("EPA")
    assert "2026-03-03" in asked.ask
    assert ["yes", "no"] == [answer.answer for answer in asked.answers]
    assert "it passes" == asked.answers[0].leads_to
    assert asked.answers[1].leads_to.startswith("it fails")


def test_which_edition_is_asked_with_what_each_leads_to(judge: Judge) -> None:
    data = whole_job(ROOT / "examples/jobs/01-clean.json")
    data["site"]["jurisdiction"] = "xx-nowhere"
    asked = [finding for finding in judge(data).findings if finding.alternatives and finding.ask]
    assert asked
    for finding in asked:
        assert "Which edition of " in finding.ask
        said = " ".join(answer.answer for answer in finding.answers)
        editions = [label.split()[1] for other in finding.alternatives for label in other.label.split(", ")]
        assert all(edition in said for edition in editions)
        assert "2026-08-26" in finding.ask, "the day of the application decides the edition"
