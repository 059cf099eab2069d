"""A reading is called good when every rule that reads it is settled, its limits are asked before it, and a stage of the visit
does not end without a word on what is open.

Figures are common practice, no source: a manual's 400 micron beside the usual 500; a subcooling target with its tolerance.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.fieldwork.interview import Interview
from checker.fieldwork.open_readings import is_measured
from checker.fieldwork.prompts import placed
from checker.fieldwork.settled import Settled
from checker.findings import named_facts
from checker.ir.outcomes import FAIL, VERIFY
from checker.reading.fact_shapes import pattern
from checker.reading.job import Job
from tests.support.interviews import JOBS, about, asked, recorded, reply
from tests.support.rulesets import ON


def reading(checker: Checker, job: Job, path: str) -> set[tuple[str, str]]:
    """Every rule, with its item, that names a fact on this job: asked of the bound rules themselves."""
    return {
        (rule.id, judged.place.key)
        for rule, judged in checker.looked_at(job, ON)
        if path in named_facts.facts_named(rule, judged.scope)
    }


def without(job: dict[str, Any], *paths: str) -> dict[str, Any]:
    for path in paths:
        *around, last = path.split(".")
        place: Any = job
        for step in around:
            place = place[int(step)] if isinstance(place, list) else place.get(step, {})
        place.pop(last, None)
    return job


def cleared(job: Any, checker: Checker, path: str = "") -> Any:
    """A recorded job without any reading and without anything from a plate, a manual or a rating."""
    if isinstance(job, list):
        return [cleared(item, checker, path) for item in job]
    kept: dict[str, Any] = {}
    for name, value in job.items():
        here = f"{path}.{name}".lstrip(".")
        leaf = checker.vocabulary.leaf(here)
        if leaf and (
            leaf.measured or any(checker.vocabulary.holds(here, sort) for sort in ("plate", "manual", "rating"))
        ):
            continue
        if (
            here in checker.vocabulary.lists
            and is_measured(here, checker.vocabulary)
            and not checker.vocabulary.lists[here].keyed
        ):
            continue
        kept[name] = cleared(value, checker, here) if isinstance(value, dict | list) and not leaf else value
    return kept


class Driven:
    """An interview of a recorded job whose readings and plates are not yet known, with what was said at each answer."""

    def __init__(self, checker: Checker, name: str) -> None:
        full = recorded(name)
        self.talk = about(checker, cleared(full, checker))
        self.steps: list[tuple[Interview, str, Settled | None]] = []
        self.order: list[str] = []
        self.waiting: list[tuple[str, set[str]]] = []
        while question := self.talk.question:
            self.order += question.paths
            for path in question.paths if not question.choices else ():
                needs = {
                    need.fact
                    for finding in self.talk.now.needed.get(path, ())
                    for need in finding.needs
                    if need.fact in self.talk.now.needed and need.fact not in self.talk.now.passed_over
                }
                self.waiting.append((path, needs - {*question.paths}))
            answer = reply(question, full)
            if answer:
                settled = self.talk.answer(answer)
                self.check_good(checker, settled)
            else:
                self.talk.skip()

    def check_good(self, checker: Checker, settled: Settled) -> None:
        report = self.talk.now.report
        open_ones = {(one.rule, one.item) for one in report.with_outcome(VERIFY)}
        for finding in settled.passed:
            for one in finding.evidence:
                if is_measured(one.fact, checker.vocabulary):
                    others = reading(checker, self.talk.now.job, one.fact) & open_ones
                    assert not others, (finding.title, one.fact, others)


@pytest.fixture(scope="module", params=[pytest.param("01-clean", marks=pytest.mark.long), "06-heat-kit-two-circuits"])
def driven(request: pytest.FixtureRequest, shipped: Checker) -> Driven:
    return Driven(shipped, request.param)


@pytest.mark.long
def test_nothing_is_called_good_while_a_rule_that_reads_it_is_open(driven: Driven) -> None:
    """Driven with its check at each answer; here, that it had something to check."""
    assert sum(is_measured(path, driven.talk.checker.vocabulary) for path in driven.order) > 15


@pytest.mark.long
def test_no_reading_is_asked_before_what_it_is_compared_with(driven: Driven) -> None:
    vocabulary, stages = driven.talk.checker.vocabulary, driven.talk.order.stages
    for path, needs in driven.waiting:
        if not is_measured(path, vocabulary):
            continue
        for fact in needs:
            leaf = vocabulary.leaf(fact)
            if is_measured(fact, vocabulary) or (leaf and leaf.form == "date"):
                continue
            assert len(vocabulary.stages) - 1 > stages[pattern(fact)] > stages[pattern(path)], (path, fact)


BY_SUPERHEAT = {
    "charge.method": "superheat",
    "indoor_unit.metering_device": "fixed_orifice",
    "instructions.superheat_target": "11 delta_degF",
    "instructions.superheat_tolerance": "4 delta_degF",
}
CASES: list[tuple[str, list[str], dict[str, Any]]] = [
    ("evacuation.level", ["instructions.evacuation_level"], {}),
    ("charge.liquid_temperature", ["instructions.subcooling_target", "instructions.subcooling_tolerance"], {}),
    ("charge.suction_temperature", ["instructions.superheat_target", "instructions.superheat_tolerance"], BY_SUPERHEAT),
    ("pressure_test.pressure", ["pressure_test.lowest_rated_part", "instructions.test_pressure"], {}),
    ("airflow.external_static", ["instructions.maximum_static"], {}),
    ("airflow.total", ["instructions.airflow_lowest", "instructions.airflow_highest"], {}),
]


@pytest.mark.parametrize(
    ("measured", "limits", "otherwise"), CASES, ids=lambda one: one if isinstance(one, str) else ""
)
def test_limits_come_before_their_reading(
    shipped: Checker, measured: str, limits: list[str], otherwise: dict[str, Any]
) -> None:
    full = placed(recorded("01-clean"), otherwise)
    talk, order = about(shipped, without(placed(full, {}), measured, *limits)), []
    while question := talk.question:
        order += question.paths
        answer = reply(question, full)
        settled = talk.answer(answer) if answer else talk.skip()
        if measured not in order and settled:
            assert not any(measured in {one.fact for one in finding.evidence} for finding in settled.passed)
    wanted = [path for path in limits if path in order]
    assert wanted, order
    assert max(order.index(path) for path in wanted) < order.index(measured), order


def test_a_vacuum_of_450_is_not_good_before_the_manual_is_read(shipped: Checker) -> None:
    job = without(recorded("01-clean"), "evacuation.level", "instructions.evacuation_level")
    talk = about(shipped, job)
    while asked(talk).paths != ("instructions.evacuation_level",):
        assert asked(talk).paths != ("evacuation.level",)
        talk.skip()
    talk.skip()
    while asked(talk).paths != ("evacuation.level",):
        talk.skip()
    said = talk.answer("450 micron")
    assert not any("vacuum" in finding.title.lower() for finding in said.passed)
    assert said.holding_back
    still = {finding.rule for finding in talk.open_at(talk.order.stages["evacuation.level"])}
    assert {finding.rule for finding in said.holding_back} <= still


def test_a_vacuum_of_450_fails_a_manual_of_400_at_once(shipped: Checker) -> None:
    job = without(recorded("01-clean"), "evacuation.level", "instructions.evacuation_level")
    talk = about(shipped, job)
    while asked(talk).paths != ("instructions.evacuation_level",):
        talk.skip()
    talk.answer("400 micron")
    while asked(talk).paths != ("evacuation.level",):
        talk.skip()
    assert [FAIL] == list({finding.outcome for finding in talk.answer("450 micron").failed})


def test_the_charge_is_not_to_be_released_on_an_open_vacuum(tmp_path: Path) -> None:
    from click.testing import CliRunner

    from checker.cli import main

    job: dict[str, Any] = json.loads((JOBS / "01-clean.json").read_text())
    del job["evacuation"]["level"]
    del job["condensate"]["primary_drain"]["cleanout"]
    file = tmp_path / "job.json"
    file.write_text(json.dumps(job))
    run = CliRunner().invoke(main, ["interview", str(file), "--on", "2026-11-25"], input="\n\n\n\n\n")
    said = " ".join(run.output.split())
    assert "Don't release the charge yet. Still open:" in said
    assert said.index("How deep was the vacuum") < said.index("Don't release the charge yet"), said
    job["evacuation"]["level"] = "300 micron"
    file.write_text(json.dumps(job))
    run = CliRunner().invoke(main, ["interview", str(file), "--on", "2026-11-25"], input="\n\n\n\n\n")
    assert "Don't release the charge yet" not in run.output


def test_a_reading_far_from_usual_is_said_to_be_looked_at_again(tmp_path: Path) -> None:
    from click.testing import CliRunner

    from checker.cli import main

    job = recorded("01-clean")
    del job["evacuation"]["level"]
    file = tmp_path / "job.json"
    file.write_text(json.dumps(job))
    run = CliRunner().invoke(main, ["interview", str(file), "--on", "2026-11-25"], input="34500 micron\nstop\n")
    assert "34500 micron. 1 micron to 25000 micron is usual. If it is a slip, type back." in " ".join(
        run.stdout.split()
    )
