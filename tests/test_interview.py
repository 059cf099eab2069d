"""The interview asks what partial evaluation finds, no more and no less; answers are read, kept and taken back whole.

The oracle is a recorded job of the examples: it answers each question with what is written there. What a full job says
is the yardstick, from the judge itself; that the judge is right is tested elsewhere.
"""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from typing import Any, NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checker.engine.checker import Checker
from checker.fieldwork.handed_over import to_name
from checker.fieldwork.interview import Interview, Where, new_job
from checker.fieldwork.prompts import NotAnAnswer, Question, placed, value_of
from checker.fieldwork.questions import question_of
from checker.findings.report import Report
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.reading.fact_shapes import Leaf, pattern
from checker.reading.files import read_text
from checker.reading.job import Job, load
from tests.support.interviews import JOBS, about, asked, at_path, of_text, recorded, reply
from tests.support.rulesets import ON

ALDER = {"site": {"jurisdiction": "xx-alder"}, "dates": {"permit_applied": "2026-10-05"}}
CODE_LIKE = "__import__('os').remove('job.json'); {x} %s $(reboot) \\ 'Ω' </script>"


def outcomes(report: Report) -> dict[tuple[str, str], str]:
    return {(finding.rule, finding.item): finding.outcome for finding in report.findings}


# --- the oracle: what the contractor of a recorded job would type ---


class Step(NamedTuple):
    question: Question
    report: Report
    job: Job
    passed_over: frozenset[str]
    where: Where | None
    headed: str


class Told(NamedTuple):
    """A finished interview: its steps, where it ended, and the job that answered."""

    steps: list[Step]
    talk: Interview
    full: dict[str, Any]


def interviewed(checker: Checker, name: str) -> Told:
    full, talk, steps = recorded(name), of_text(checker, new_job("told")), []
    while question := talk.question:
        now = talk.now
        steps.append(Step(question, now.report, now.job, now.passed_over, talk.where, talk.headed))
        answer = reply(question, full)
        if answer:
            talk.answer(answer)
        else:
            talk.skip()
        assert len(steps) < 500
    return Told(steps, talk, full)


@pytest.fixture(
    scope="module",
    params=[pytest.param(name, marks=pytest.mark.long) for name in ("01-clean", "06-heat-kit-two-circuits")],
)
def told(request: pytest.FixtureRequest, shipped: Checker) -> Told:
    return interviewed(shipped, request.param)


def report_of(checker: Checker, job: dict[str, Any]) -> Report:
    return checker.check(read_text(json.dumps(job).encode(), "job.json"), ON)


def needed_in(report: Report) -> set[str]:
    return {need.fact for finding in report.with_outcome(VERIFY) for need in finding.needs}


def deciding(checker: Checker, path: str) -> bool:
    """Whether a fact decides which rules hold: the place, a date that a version hangs on, or what a ruleset is written for."""
    written_for = " ".join(line.when for r in checker.library.rulesets.values() for line in r.header.written_for)
    return path == "site.jurisdiction" or path.startswith("dates.") or path in written_for


# --- no more and no less ---


@pytest.mark.long
def test_an_interview_says_what_the_full_job_says(told: Told, shipped: Checker) -> None:
    full, found = outcomes(report_of(shipped, told.full)), outcomes(told.talk.now.report)
    open_ones = {place for place, outcome in (full | found).items() if VERIFY in (full.get(place), outcome)}
    assert {p for p, o in full.items() if o == FAIL} - open_ones == {
        p for p, o in found.items() if o == FAIL
    } - open_ones
    assert {p for p, o in full.items() if o == PASS} - open_ones <= {p for p, o in found.items() if o == PASS}
    # more passes than in the full job only where a rule may not apply and would pass if it did: nobody is asked which
    assert all(outcome == PASS for place, outcome in found.items() if place not in full | dict.fromkeys(open_ones))
    assert len(open_ones) < len(full) / 10, open_ones


def test_what_stays_open_is_what_the_recorded_job_says_nothing_of(told: Told) -> None:
    silent = {path for step in told.steps for path in step.question.paths if at_path(told.full, path) is None}
    for finding in told.talk.now.report.with_outcome(VERIFY):
        unasked = {need.fact for need in finding.needs} - silent - set(told.talk.now.job.readings)
        assert not unasked - set(told.talk.now.job.not_known), finding.rule


def test_an_interview_asks_less_than_the_job_records(told: Told) -> None:
    job = load(read_text(json.dumps(told.full).encode(), "job.json"), told.talk.checker.vocabulary)
    assert len(told.steps) < len(job.readings)


def test_each_question_was_needed_when_it_was_asked(told: Told, shipped: Checker) -> None:
    for step in told.steps:
        needed = needed_in(step.report) | {*to_name(step.job, step.report)}
        useful = [path in needed or deciding(shipped, path) for path in step.question.paths]
        assert all(useful) if step.question.lines else any(useful), step.question.text


def test_no_fact_is_asked_twice_nor_one_that_is_recorded(told: Told) -> None:
    before: set[str] = set()
    for step in told.steps:
        paths = set(step.question.paths)
        assert not paths & set(step.job.readings), step.question.text
        assert not paths & before, step.question.text
        before |= (
            paths if len(paths) == 1 or step.question.lines else set()
        )  # an answer to several at once may say nothing of some


def waiting(step: Step) -> dict[str, bool]:
    """Every fact that could be asked about at a step, and whether a core rule waits for it.

    No rule waits for what the title block or a record has to name; its place is among what is not core.
    """
    found = dict.fromkeys(to_name(step.job, step.report), False)
    for finding in step.report.with_outcome(VERIFY):
        for need in finding.needs:
            found[need.fact] = found.get(need.fact, False) or finding.weight == "core"
    known = {*step.job.readings, *step.job.not_known, *step.job.lists, *step.passed_over}
    return {path: core for path, core in found.items() if path not in known}


def test_core_comes_first_then_the_stations_in_their_order(told: Told) -> None:
    """Nothing of the same round waits at an earlier station; what a reading has to meet is asked with the reading."""
    vocabulary, walked = told.talk.checker.vocabulary, 0
    for step in told.steps:
        if step.where is None:
            continue
        open_ones = waiting(step)
        assert step.where.core or not any(open_ones.values()), step.question.text
        round_ = [path for path, core in open_ones.items() if core == step.where.core]
        assert vocabulary.station(step.headed).place == min(vocabulary.station(path).place for path in round_)
        walked += 1
    assert walked > 50


def test_within_a_station_what_is_gone_first_is_asked_first(told: Told) -> None:
    vocabulary, stages = told.talk.checker.vocabulary, told.talk.order.stages
    any_time = len(vocabulary.stages) - 1
    for step in told.steps:
        if step.where is None or step.question.lines:
            continue
        here = vocabulary.station(step.headed)
        same = [p for p, core in waiting(step).items() if core == step.where.core and vocabulary.station(p) == here]
        gone = min(stages[pattern(path)] for path in same)
        own = stages[pattern(step.headed)]
        assert own in (gone, any_time), step.question.text  # a plate or a paper is read when it first helps


def test_the_line_says_where_one_is_and_never_a_number_to_despair_of(told: Told) -> None:
    places = [step.where for step in told.steps if step.where]
    assert all(1 <= where.number <= where.of <= len(told.talk.checker.vocabulary.stations) for where in places)
    assert all(1 <= where.left <= where.round for where in places)
    assert max(where.left for where in places) <= 45
    assert places[-1].left == 1


def test_the_facts_of_one_item_are_asked_together(told: Told) -> None:
    """In one round, station and stage nothing else comes between the facts of one circuit."""
    runs: list[tuple[object, ...]] = []
    for step in told.steps:
        path = step.headed
        if not path or step.where is None or step.question.lines:
            continue
        steps = path.split(".")
        circuit = ".".join(steps[:2]) if steps[0] == "circuits" and len(steps) > 1 else ""
        run = (step.where.core, step.where.heading, told.talk.order.stages[pattern(path)], circuit)
        if not runs or runs[-1] != run:
            runs.append(run)
    seen = [run for run in runs if run[-1] and run[1] == "Disconnect and whip"]
    assert seen
    assert len(seen) == len(set(seen)), seen


# --- tick lists ---


def test_no_list_holds_what_is_of_life_safety_or_more_than_a_yes_or_no(told: Told) -> None:
    lists = [step for step in told.steps if step.question.lines]
    assert lists
    for step in lists:
        safety = {need.fact for f in step.report.with_outcome(VERIFY) if f.life_safety for need in f.needs}
        assert not safety & set(step.question.paths), step.question.text
        leaves = [step.job.vocabulary.leaf(path) for path in step.question.paths]
        assert all(leaf and leaf.form == "flag" for leaf in leaves)
        assert len({step.job.vocabulary.station(path) for path in step.question.paths}) == 1
        assert all(path in waiting(step) for path in step.question.paths), "each line could change an outcome"


def at_list(checker: Checker) -> Interview:
    """A job before its first tick list of three lines and more."""
    scope = {"system": "split_air_conditioner", "outdoor_unit": True, "indoor_coil": True, "phase": "single_phase"}
    talk = about(checker, {**ALDER, "scope": scope})
    while len(asked(talk).lines) < 3:
        talk.skip()
    return talk


def test_all_says_yes_to_each_line_and_enter_nothing(shipped: Checker) -> None:
    talk = at_list(shipped)
    paths, before = asked(talk).paths, talk.now.text
    talk.skip()
    assert talk.now.text == before, "Enter claims nothing"
    assert talk.back()
    talk.answer("All")
    assert [at_path(talk.now.job.data, path) for path in paths] == [True] * len(paths)


def test_numbers_say_no_to_their_lines_and_a_mark_leaves_a_line(shipped: Checker) -> None:
    question = asked(at_list(shipped))
    first, second, *others = question.paths
    assert question.facts("1, 2?") == {first: False, **dict.fromkeys(others, True)}
    assert question.facts("#1 and 2") == {first: False, second: False, **dict.fromkeys(others, True)}


@pytest.mark.parametrize("answer", ["none", "no", "yes", "0", "99", "2 or 3", "1 1?", "x", "1.5", "-1", "all 2"])
def test_what_could_mean_two_things_at_a_list_keeps_its_place(shipped: Checker, answer: str) -> None:
    talk = at_list(shipped)
    before, question = talk.now, asked(talk).text
    with pytest.raises(NotAnAnswer, match=r"such as|Such as|Type it once|Write|Say why|leave"):
        talk.answer(answer)
    assert talk.now is before
    assert asked(talk).text == question


def test_a_yes_is_not_claimed_of_what_a_no_in_the_same_list_makes_moot(shipped: Checker) -> None:
    """Where nothing was brazed, nobody meant that nitrogen flowed."""
    job = recorded("01-clean")
    del job["brazing"], job["line_set"]["insulation_continuous"]
    talk = about(shipped, job)
    while "brazing.any" not in asked(talk).paths:
        talk.skip()
    paths = asked(talk).paths
    assert {"brazing.any", "brazing.nitrogen_flowed", "line_set.insulation_continuous"} <= {*paths}
    talk.answer(str(paths.index("brazing.any") + 1))
    brazing = at_path(talk.now.job.data, "brazing")
    assert brazing["any"] is False
    assert "nitrogen_flowed" not in brazing
    assert at_path(talk.now.job.data, "line_set.insulation_continuous") is True


@settings(max_examples=25)
@given(seed=st.integers(0, 2**32))
def test_a_fact_never_asked_may_be_anything(told: Told, seed: int) -> None:
    """Unasked facts with a closed list of values, some of them at a time: what was settled stays settled."""
    draw, talk = random.Random(seed), told.talk
    unasked = [one for one in closed_facts(talk.now.job) if pattern(one[0]) not in ("scope.phase", "site.dwelling")]
    some = draw.sample(unasked, min(len(unasked), draw.choice([1, 2, 8, 40])))
    facts = {path: draw.choice(values) for path, values in some}
    after = outcomes(report_of(talk.checker, placed(talk.now.job.data, facts)))
    for place, outcome in outcomes(talk.now.report).items():
        if outcome == FAIL:
            assert after.get(place) == FAIL, (place, facts)
        elif outcome == PASS:
            assert after.get(place, PASS) == PASS, (place, facts)


def closed_facts(job: Job) -> Iterator[tuple[str, list[Any]]]:
    """Every unrecorded fact that has a closed list of values, in every item of the recorded lists."""
    for leaf in job.vocabulary.leaves.values():
        values = [True, False] if leaf.form == "flag" else list(leaf.possible)
        values += [{"none": "looked for"}] if leaf.may_be_none else []
        if values and (leaf.form == "flag" or leaf.possible):
            yield from ((path, values) for path in places_of(leaf, job) if path not in job.readings)


def places_of(leaf: Leaf, job: Job) -> list[str]:
    paths = [""]
    steps = leaf.path.split(".")
    for at, step in enumerate(steps):
        paths = [f"{path}.{step}" if path else step for path in paths]
        if ".".join(steps[: at + 1]) in job.vocabulary.lists:
            paths = [f"{path}.{index}" for path in paths for index, _ in enumerate(job.lists.get(path, ()))]
    return paths


# --- answers ---


def test_an_answer_is_written_and_everything_else_kept(shipped: Checker) -> None:
    text = (JOBS / "05-only-the-nameplate.json").read_text()
    talk = of_text(shipped, text)
    before, path = json.loads(text), asked(talk).paths[0]
    talk.answer("unknown: nobody was at home")
    after = json.loads(talk.now.text)
    assert at_path(after, path) == {"not_known": "nobody was at home"}
    assert {name: value for name, value in after.items() if name in before and name != path.split(".")[0]} == {
        name: value for name, value in before.items() if name != path.split(".")[0]
    }
    assert list(before) == list(after)[: len(before)], "in the same order, $schema first"


def test_back_restores_the_file_to_the_letter_and_asks_again(shipped: Checker) -> None:
    text = (JOBS / "05-only-the-nameplate.json").read_text().replace('"schema_version": 1', '"schema_version":   1')
    talk = of_text(shipped, text)
    states = []
    for answer in ("unknown: not looked at", "", "unknown: not looked at either"):
        states.append((talk.now.text, asked(talk).text, talk.where))
        if answer and not asked(talk).a_list:
            talk.answer(answer)
        else:
            talk.skip()
    for state in reversed(states):
        assert talk.back()
        assert (talk.now.text, asked(talk).text, talk.where) == state
    assert talk.now.text == text
    assert not talk.back()


def test_back_goes_across_a_list(shipped: Checker) -> None:
    talk = at_fact(shipped, "circuits")
    before = talk.now.text
    talk.answer("condenser, furnace")
    after = talk.now.text
    while not asked(talk).paths[0].startswith("circuits.1."):
        talk.skip()
    talk.answer("main" if asked(talk).a_list else "unknown: not seen")
    while talk.now.text != before:
        assert talk.back()
        assert talk.now.text in (before, after)
    assert asked(talk).paths == ("circuits",)


def at_fact(checker: Checker, path: str) -> Interview:
    """A job of which little is recorded, with everything passed over that comes before a fact."""
    scope = {"system": "split_air_conditioner", "outdoor_unit": True, "indoor_coil": True, "phase": "single_phase"}
    talk = about(checker, {**ALDER, "scope": scope})
    while asked(talk).paths != (path,):
        _ = talk.take_apart() if path in asked(talk).paths else talk.skip()
    return talk


def test_a_skipped_fact_is_not_asked_again(shipped: Checker) -> None:
    talk, seen = about(shipped, ALDER), set()
    while question := talk.question:
        assert not seen & {*question.paths}
        seen |= {*question.paths} if not question.opens else set()
        talk.skip()
    assert len(seen) > 50
    assert talk.where is None
    assert talk.now.text == json.dumps({"job_id": "test", "schema_version": 1, **ALDER})


@pytest.mark.parametrize(("name", "outcome"), [("01-clean", PASS), ("02-oversized-breaker", FAIL)])
def test_the_first_real_verdict_comes_after_at_most_12_answers(shipped: Checker, name: str, outcome: str) -> None:
    """From a blank file, answered as recorded: is the breaker right for the nameplate?"""
    full, talk = recorded(name), of_text(shipped, new_job("told"))
    for _ in range(12):
        answer = reply(asked(talk), full)
        _ = talk.answer(answer) if answer else talk.skip()
    judged = {f.rule: f.outcome for f in talk.now.report.findings if f.item.startswith(full["circuits"][0]["key"])}
    assert judged["overcurrent-within-nameplate"] == outcome


def test_what_is_recorded_is_not_asked_at_the_opening(shipped: Checker) -> None:
    first = [asked(about(shipped, facts)).paths for facts in ({}, {"scope": {"system": "split_air_conditioner"}})]
    assert {"scope.system", "scope.outdoor_unit", "scope.furnace"} <= {*first[0]}
    assert "scope.outdoor_unit" in first[1]


@pytest.mark.parametrize(
    ("answer", "recorded_"),
    [
        ("applied 2026-08-26", {"dates.permit_applied": "2026-08-26"}),
        ("Issued on 2026-08-28", {"permit.obtained": True, "dates.permit_issued": "2026-08-28"}),
        (
            "applied 2026-08-26, issued 2026-08-28",
            {"dates.permit_applied": "2026-08-26", "permit.obtained": True, "dates.permit_issued": "2026-08-28"},
        ),
        ("none", {"permit.obtained": False, "dates.permit_applied": {"not_known": "there is no permit"}}),
        ("not asked yet", {"dates.permit_applied": {"not_known": "the permit is not asked for yet"}}),
    ],
)
def test_the_permit_is_told_in_one_line(shipped: Checker, answer: str, recorded_: dict[str, Any]) -> None:
    talk = about(shipped, {})
    while "permit.obtained" not in asked(talk).paths:
        talk.skip()
    talk.answer(answer)
    assert {path: at_path(talk.now.job.data, path) for path in recorded_} == recorded_
    assert set(talk.now.job.data) <= {"job_id", "schema_version", "permit", "dates", "known_by"}


@pytest.mark.parametrize("answer", ["applied", "applied soon", "2026-08-26", "yes", "unknown", "issued, applied"])
def test_a_permit_that_cannot_be_read_keeps_its_place(shipped: Checker, answer: str) -> None:
    talk = about(shipped, {})
    while "permit.obtained" not in asked(talk).paths:
        talk.skip()
    before = talk.now
    with pytest.raises(NotAnAnswer):
        talk.answer(answer)
    assert talk.now is before


def test_the_breaker_is_that_of_the_circuit_that_feeds_the_outdoor_unit(shipped: Checker) -> None:
    """Whatever place it has in the list; a name that says what the circuit feeds is understood, another is asked about."""
    talk = about(shipped, {**ALDER, "scope": {"system": "split_air_conditioner", "outdoor_unit": True}})
    while asked(talk).paths != ("circuits",):
        talk.skip()
    talk.answer("furnace, condenser, spare")
    assert talk.now.job.data["circuits"] == [
        {"key": "furnace", "serves": "furnace"},
        {"key": "condenser", "serves": "outdoor_unit"},
        {"key": "spare"},
    ]
    assert "circuits.1.nameplate.minimum_circuit_ampacity" in asked(talk).paths


def test_something_else_leaves_each_part_to_be_asked(shipped: Checker) -> None:
    talk = about(shipped, {**ALDER, "scope": {"system": "split_air_conditioner"}})
    parts_of_a_system = ("outdoor_unit", "indoor_coil", "air_handler", "furnace", "heat_kit", "ducts")
    assert (*(f"scope.{part}" for part in parts_of_a_system), "heating.heat_kit.fitted") == asked(talk).paths
    talk.answer("something else")
    parts = set()
    while question := talk.question:
        parts |= {path for path in question.paths if path.startswith("scope.")}
        talk.skip()
    assert {"scope.outdoor_unit", "scope.indoor_coil", "scope.air_handler", "scope.furnace"} <= parts


@pytest.mark.long
def test_what_was_noted_as_not_known_is_not_asked_when_it_goes_on(shipped: Checker) -> None:
    talk = at_fact(shipped, "recovery.released")
    talk.answer("unknown: another crew took it out")
    again = of_text(shipped, talk.now.text)
    while question := again.question:
        assert "recovery.released" not in question.paths
        again.skip()


def test_life_safety_comes_before_the_rest_of_its_station_and_stage(shipped: Checker) -> None:
    """Of the questions of one round, station and stage that belong to no item of a list."""
    talk = about(shipped, {**ALDER, "scope": {"system": "split_air_conditioner", "outdoor_unit": True}, "circuits": []})
    runs: dict[tuple[object, ...], list[bool]] = {}
    while asked_now := talk.question:
        if (where := talk.where) and not asked_now.lines:
            stage = talk.order.stage(talk.headed, talk.open_now())
            safety = any(finding.life_safety for finding in talk.now.needed.get(talk.headed, ()))
            runs.setdefault((where.core, where.heading, stage), []).append(safety)
        talk.skip()
    assert any({True, False} <= {*marks} for marks in runs.values())
    for run, marks in runs.items():
        assert marks == sorted(marks, reverse=True), run


def test_what_is_not_written_for_the_job_asks_nothing(shipped: Checker) -> None:
    talk = about(shipped, ALDER)
    talk.answer("something else, or three-phase")
    talk.answer("package unit")
    left_out = talk.now.report.left_out
    assert "permit-obtained" in left_out
    waiting = [finding.rule for findings in talk.now.needed.values() for finding in findings]
    assert waiting
    assert not left_out & {*waiting}


def test_an_answer_says_what_it_settled(shipped: Checker) -> None:
    job = recorded("02-oversized-breaker")
    circuit = next(c for c in job["circuits"] if c["serves"] == "outdoor_unit")
    rating = circuit["devices"][0].pop("rating")
    talk = about(shipped, job)
    while not asked(talk).paths[0].endswith("devices.0.rating"):
        talk.skip()
    findings, limits = talk.why()
    assert "overcurrent-within-nameplate" in {finding.rule for finding in findings}
    assert limits == ()  # the rule looks at the smallest of the breakers, not at this one alone
    settled = talk.answer(rating)
    assert "overcurrent-within-nameplate" in {finding.rule for finding in settled.failed}
    assert all(finding.message and finding.remedy for finding in settled.failed)
    assert not {f.rule for f in settled.failed} & {f.rule for f in settled.passed}


def test_why_names_the_limit_of_a_reading(shipped: Checker) -> None:
    """36 in before the disconnect: NEC 110.26(A)(1) Table, condition 1, 0-150 V to ground."""
    job = recorded("01-clean")
    for circuit in job["circuits"]:
        circuit.get("disconnect", {}).pop("working_depth", None)
    talk = about(shipped, job)
    while not asked(talk).paths[0].endswith("working_depth"):
        talk.skip()
    assert "at least 36 in" in talk.why()[1]


def test_a_place_that_no_ruleset_covers_is_said_at_once(shipped: Checker) -> None:
    talk = about(shipped, {})
    while asked(talk).paths != ("site.state", "site.jurisdiction"):
        talk.skip()
    settled = talk.answer("Nowhere County, Ohio")
    assert any("Ohio" in note for note in settled.notes)


# --- one answer ---


def value(shipped: Checker, path: str, answer: str, instruments: tuple[str, ...] = ()) -> Any:
    return value_of(shipped.vocabulary.leaves[path], answer, instruments)


@pytest.mark.parametrize(
    ("path", "answer", "written"),
    [
        ("pressure_test.pressure", "300", "300 psig"),
        ("pressure_test.pressure", "20.7 bar gauge", "20.7 bar gauge"),
        ("condensate.primary_drain.size", "3/4", "3/4 in"),
        ("line_set.vapor_size", "1 1/8", "1 1/8 in"),
        ("ratings.seer2", "14.3", "14.3"),
        ("outdoor_unit.run_capacitor.tolerance", "5", "5 %"),
        ("evacuation.nitrogen_breaks", "2", 2),
        ("outdoor_unit.manufactured", "2026-03-01 to 2026-03-31", {"between": ["2026-03-01", "2026-03-31"]}),
        ("removed.model", '"back"', "back"),
        ("removed.model", CODE_LIKE, CODE_LIKE),
    ],
)
def test_an_answer_is_recorded_as(shipped: Checker, path: str, answer: str, written: Any) -> None:
    assert value(shipped, path, answer) == written


@pytest.mark.parametrize(
    ("path", "answer", "says"),
    [
        ("pressure_test.pressure", "300 kg", "is a unit of mass; gauge pressure is needed here"),
        ("pressure_test.pressure", "much", "is not a number with a unit"),
        ("pressure_test.pressure", "²", "is not a number with a unit"),
        ("evacuation.nitrogen_breaks", "a few", "This has to be a whole number"),
        ("evacuation.nitrogen_breaks", "²", "This has to be a whole number"),
        ("dates.work_started", "5.May", "is not a date"),
        ("dates.work_started", "14/5/2026", "is 14 May 2026 meant"),
        ("dates.work_started", "5/4", "does not say which year"),
        ("dates.work_started", "2026-05-31 to 2026-05-01", "in the wrong order"),
        ("pressure_test.pressure", "300 @gauge 7", "The job lists no instrument 'gauge 7'. Listed: manifold."),
    ],
)
def test_an_answer_that_cannot_be_is_refused_in_trade_words(
    shipped: Checker, path: str, answer: str, says: str
) -> None:
    with pytest.raises(NotAnAnswer, match=says.replace("(", r"\(")):
        value(shipped, path, answer, ("manifold",))


def test_a_reading_may_name_its_instrument(shipped: Checker) -> None:
    found = value(shipped, "charge.liquid_pressure", "118 psig @manifold", ("manifold",))
    assert found == {"value": 118, "unit": "psig", "instrument": "manifold"}
    bare = value(shipped, "charge.liquid_pressure", "118.5@manifold", ("manifold",))
    assert bare == {"value": 118.5, "unit": "psig", "instrument": "manifold"}


def test_none_and_unknown_want_their_reason(shipped: Checker) -> None:
    talk = at_fact(shipped, "recovery.released")
    for answer in ("none: there was none", "unknown", "unknown:", "maybe", "9999999999999999999999", "²"):
        with pytest.raises(NotAnAnswer):
            talk.answer(answer)
    assert asked(talk).paths == ("recovery.released",), "nothing was recorded"
    may_be_none = at_fact(shipped, "gas_and_venting.removed_appliance")
    may_be_none.answer("None: all electric")
    assert at_path(may_be_none.now.job.data, "gas_and_venting.removed_appliance") == {"none": "all electric"}


def test_a_word_that_is_a_choice_is_that_choice(shipped: Checker) -> None:
    """`none` is one of the kinds of ground-fault protection; it needs no reason."""
    job = load(read_text(json.dumps(recorded("01-clean")).encode(), "job.json"), shipped.vocabulary)
    question = question_of(job, "circuits.0.gfci")
    talk = about(shipped, ALDER)
    talk.question = question
    talk.positions[0] = talk.now._replace(job=job)
    talk.answer("none")
    assert at_path(talk.now.job.data, "circuits.0.gfci") == "none"


def test_names_of_a_list_are_told_apart(shipped: Checker) -> None:
    talk = at_fact(shipped, "circuits")
    for answer in ("a, a", "a/b", " , ", "unknown: not counted", "none: it has none"):
        with pytest.raises(NotAnAnswer):
            talk.answer(answer)
    talk.answer("condenser, furnace,")
    assert [circuit["key"] for circuit in talk.now.job.data["circuits"]] == ["condenser", "furnace"]
    assert talk.now.job.lists["circuits"] == ("condenser", "furnace")


def test_none_is_an_empty_list(shipped: Checker) -> None:
    talk = at_fact(shipped, "circuits")
    talk.answer("none")
    assert talk.now.job.data["circuits"] == []


def test_a_row_of_readings_is_typed_at_once(shipped: Checker) -> None:
    job = load(read_text(new_job("x").encode(), "job.json"), shipped.vocabulary)
    question = question_of(job, "evacuation.decay_readings")
    assert "(min)" in question.text
    assert "(micron)" in question.text
    assert question.facts("0 310, 5 min 340 micron") == {
        "evacuation.decay_readings": [
            {"elapsed": "0 min", "vacuum": "310 micron"},
            {"elapsed": "5 min", "vacuum": "340 micron"},
        ]
    }
    for answer in ("0 310 5", "310", "soon 310", "0 310 psig"):
        with pytest.raises(NotAnAnswer):
            question.facts(answer)


def test_an_item_is_called_by_its_name_and_a_reading_by_its_place_from_1(shipped: Checker) -> None:
    full = recorded("01-clean")
    job = load(read_text(json.dumps(full).encode(), "job.json"), shipped.vocabulary)
    names = [circuit["key"] for circuit in full["circuits"]], full["circuits"][0]["devices"][0]["key"]
    assert question_of(job, "circuits.1.serves").text.startswith(f"{names[0][1]}: ")
    assert question_of(job, "circuits.0.devices.0.rating").text.startswith(f"{names[0][0]}, {names[1]}: ")
    assert question_of(job, "evacuation.decay_readings.1.vacuum").text.startswith("Decay test readings 2: ")


def test_no_question_shows_a_path_or_an_underscore(told: Told) -> None:
    for step in told.steps:
        shown = " ".join((step.question.text, *step.question.choices))
        assert "_" not in shown
        assert not any(path in shown for path in step.question.paths if "." in path)


ANSWERS = st.one_of(
    st.text(max_size=30),
    st.sampled_from(
        ["none", "unknown: x", "none: x", "yes", "1", "0", "5", "@", "5 @", "1e400", "2026-10-05", "a, b", "[]"]
    ),
)


@pytest.mark.long
@settings(max_examples=40)
@given(answers=st.lists(ANSWERS, min_size=1, max_size=4), skips=st.integers(0, 60))
def test_whatever_is_typed_is_recorded_or_refused(shipped: Checker, answers: list[str], skips: int) -> None:
    talk = about(shipped, ALDER)
    for _ in range(skips):
        talk.skip()
    for answer in answers:
        before = talk.now
        if talk.question is None:
            return
        try:
            talk.answer(answer)
        except NotAnAnswer:
            assert talk.now is before
        assert json.loads(talk.now.text) == talk.now.job.data
