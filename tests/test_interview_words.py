"""What can be typed at a question of the interview besides its answer: change, back, one by one, a line in any order; and
an interview about one station, or about an inspection."""

from __future__ import annotations

import datetime
import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from checker.cli import main
from checker.engine.checker import Checker
from checker.fieldwork.interview import Interview
from checker.fieldwork.prompts import NotAnAnswer, said
from checker.fieldwork.questions import on_one_line
from checker.problems.sanitize import low
from checker.reading.files import read_text
from checker.reading.job import load
from tests.support.commands import JOBS, Run, changeout
from tests.support.interviews import about, asked, at_path, recorded
from tests.support.rulesets import ON
from tests.support.terminal import DAY, job_in

SCOPE = {"system": "split_air_conditioner", "outdoor_unit": True, "indoor_coil": True, "phase": "single_phase"}
STARTED = {"site": {"jurisdiction": "xx-alder"}, "dates": {"permit_applied": "2026-10-05"}, "scope": SCOPE}
CONDENSER = {"key": "condenser", "serves": "outdoor_unit"}


def at_nameplate(checker: Checker) -> Interview:
    talk = about(checker, {**STARTED, "circuits": [CONDENSER]})
    while "nameplate" not in asked(talk).text:
        talk.skip()
    return talk


def interview(folder: Path, *words: str, stdin: str) -> Run:
    return changeout("interview", *words, *DAY, stdin=stdin, cwd=folder)


def job_of_example(folder: Path, name: str = "02-oversized-breaker") -> dict[str, Any]:
    (folder / "job.json").write_text((JOBS / f"{name}.json").read_text())
    return recorded(name)


# --- one line ---


@pytest.mark.parametrize(
    "typed",
    [
        "18.9, 30, fuse or breaker, R-454B",
        "MCA 18.9 max fuse or breaker 30 R-454B",
        "R454B max fuse/breaker 30 mca 18.9",
        "18.9; 30; fuse or breaker; R-454B",
    ],
)
def test_a_nameplate_is_typed_in_the_order_shown_or_in_any_with_its_words(shipped: Checker, typed: str) -> None:
    talk = at_nameplate(shipped)
    talk.answer(typed)
    job = talk.now.job
    plate = {name: job.value(f"circuits.0.nameplate.{name}") for name in ("minimum_circuit_ampacity", "maximum_fuse")}
    assert plate == {"minimum_circuit_ampacity": pytest.approx(18.9), "maximum_fuse": pytest.approx(30)}
    assert job.text("circuits.0.nameplate.device_words") == "fuse_or_breaker"
    assert job.text("outdoor_unit.nameplate.refrigerant") == "R-454B"


@pytest.mark.parametrize("typed", ["18.9, 30, zork", "zork", "1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11", "-", "-, -, -"])
def test_a_line_that_cannot_be_read_keeps_its_place_and_says_which_part(shipped: Checker, typed: str) -> None:
    talk = at_nameplate(shipped)
    before = talk.now
    with pytest.raises(NotAnAnswer) as refused:
        talk.answer(typed)
    assert talk.now is before
    assert "zork" in str(refused.value) or "Kind of device" in str(refused.value) or "zork" not in typed


def test_what_a_line_leaves_out_at_its_end_is_asked_after_and_a_dash_is_not(shipped: Checker) -> None:
    talk = at_nameplate(shipped)
    talk.answer("18.9, -, fuse or breaker")
    later = set()
    while question := talk.question:
        later |= {*question.paths}
        talk.skip()
    assert "circuits.0.nameplate.maximum_breaker" not in later, "a dash leaves it for another time"
    assert "circuits.0.nameplate.minimum_circuit_ampacity" not in later
    assert "outdoor_unit.nameplate.refrigerant" in later


def test_one_by_one_asks_each_part_of_a_line_alone(shipped: Checker) -> None:
    talk = at_nameplate(shipped)
    parts = {*asked(talk).paths}
    assert talk.take_apart()
    seen = set()
    while question := talk.question:
        if parts & {*question.paths}:
            assert len(question.paths) == 1, question.text
            seen |= {*question.paths}
        talk.skip()
    assert "circuits.0.nameplate.minimum_circuit_ampacity" in seen


@pytest.mark.parametrize(
    ("typed", "keys", "rating"),
    [
        ("panel breaker: 30, breaker, panel", ["panel breaker"], "30 A"),
        ("2-pole 30 breaker, panel", ["breaker"], "30 A"),
        ("in the panel: 30, breaker, panel; pullout: 25, fuse, disconnect", ["in the panel", "pullout"], "30 A"),
        ("main, pullout", ["main", "pullout"], None),
    ],
)
def test_the_items_of_a_list_take_their_facts_with_them(
    shipped: Checker, typed: str, keys: list[str], rating: str | None
) -> None:
    talk = about(shipped, {**STARTED, "circuits": [CONDENSER]})
    while asked(talk).paths != ("circuits.0.devices",):
        talk.skip()
    talk.answer(typed)
    devices = talk.now.job.data["circuits"][0]["devices"]
    assert [one["key"] for one in devices] == keys
    assert devices[0].get("rating") == rating


def test_what_else_is_part_of_the_job_is_picked_and_the_rest_is_a_no(shipped: Checker) -> None:
    talk = about(shipped, {**STARTED, "scope": {**SCOPE, "air_handler": False, "furnace": False}})
    while not asked(talk).several:
        talk.skip()
    things, question = list(asked(talk).paths), asked(talk)
    with pytest.raises(NotAnAnswer, match="numbers that apply"):
        talk.answer("the ducts")
    assert question.facts("thermostat") == question.facts("5")
    talk.answer("2")
    job = talk.now.job.data
    assert [at_path(job, path) for path in things] == [path == things[1] for path in things]
    assert question.facts("none") == dict.fromkeys(things, False)


@pytest.mark.parametrize(
    ("typed", "choice"),
    [
        ("ac + coil + furnace", "air conditioner, coil and furnace"),
        ("furnace, A/C and coil", "air conditioner, coil and furnace"),
        ("HP and air handler", "heat pump and air handler"),
        ("minisplit with heads", "mini-split, outdoor unit and heads"),
        ("heat pump condenser only", "outdoor unit only, of a heat pump"),
    ],
)
def test_a_choice_is_known_by_its_words_in_any_order(shipped: Checker, typed: str, choice: str) -> None:
    question = asked(about(shipped, {}))
    assert question.facts(choice) == said(question, typed)


@pytest.mark.parametrize("typed", ["ac and furnace", "heat pump and furnace", "condenser only"])
def test_words_that_fit_several_choices_are_asked_about(shipped: Checker, typed: str) -> None:
    with pytest.raises(NotAnAnswer, match="may mean"):
        said(asked(about(shipped, {})), typed)


@pytest.mark.parametrize(
    ("typed", "obtained", "issued"),
    [("permit issued 11/3/2026", True, "2026-11-03"), ("no permit", False, None), ("not pulled yet", None, None)],
)
def test_the_permit_is_told_as_people_say_it(
    shipped: Checker, typed: str, obtained: bool | None, issued: str | None
) -> None:
    talk = about(shipped, {})
    while "permit.obtained" not in asked(talk).paths:
        talk.skip()
    told = said(asked(talk), typed)
    assert (obtained, issued) == (told.get("permit.obtained"), told.get("dates.permit_issued"))


@pytest.mark.parametrize(
    ("typed", "by"),
    [("I pulled it", "contractor"), ("pulled by us", "contractor"), ("homeowner pulled it", "homeowner")],
)
def test_who_pulled_the_permit_is_told_as_people_say_it(shipped: Checker, typed: str, by: str) -> None:
    talk = about(shipped, {})
    while "permit.obtained" not in asked(talk).paths:
        talk.skip()
    told = said(asked(talk), f"issued 11/3/2026, {typed}")
    assert (True, by) == (told["permit.obtained"], told["permit.pulled_by"])


def test_an_amount_is_not_taken_for_a_text_on_the_same_line(shipped: Checker) -> None:
    line = on_one_line(about(shipped, STARTED).now.job, ["site.address", "site.elevation"])
    with pytest.raises(NotAnAnswer, match="-, 880 ft"):
        line.facts("880 ft")
    assert {"site.elevation": "880 ft"} == line.facts("-, 880 ft")
    assert {"site.address", "site.elevation"} == {*line.facts("880 Ash Street, 880 ft")}


def test_what_is_still_to_be_asked_is_not_warned_of(tmp_path: Path) -> None:
    """At the first station nothing of the later ones was skipped yet; in the end all was."""
    run = CliRunner().invoke(main, ["interview", str(tmp_path / "job.json"), *DAY], input="1\n1\nOhio\n" + "\n" * 9)
    assert "Still open" not in run.output
    job = json.loads((JOBS / "01-clean.json").read_text())
    del job["evacuation"]["level"]
    (tmp_path / "job.json").write_text(json.dumps(job))
    run = CliRunner().invoke(main, ["interview", str(tmp_path / "job.json"), *DAY], input="\n" * 9)
    assert 1 == run.output.count("Don't release the charge yet. Still open")


@pytest.mark.parametrize(
    ("typed", "editions"),
    [
        ("2021 residential, 2023 electrical", {"irc-mechanical": "2021", "nec": "2023"}),
        ("IRC 2018; NEC 20", {"irc-mechanical": "2018", "nec": "2020"}),
        ("2018 irc 2023 nec", {"irc-mechanical": "2018", "nec": "2023"}),
        ("2021 res and 2023 elec", {"irc-mechanical": "2021", "nec": "2023"}),
        ("NEC 2023 / IRC 2021", {"irc-mechanical": "2021", "nec": "2023"}),
    ],
)
def test_editions_are_typed_as_the_office_says_them(shipped: Checker, typed: str, editions: dict[str, str]) -> None:
    talk = about(shipped, {"site": {"jurisdiction": "Harlow Bend"}})
    while "site.adopted" not in asked(talk).paths:
        talk.skip()
    with pytest.raises(NotAnAnswer, match="Such as: 2021 residential"):
        talk.answer("the new ones")
    talk.answer(typed)
    assert {one["code"]: one["edition"] for one in talk.now.job.data["site"]["adopted"]} == editions


def test_state_and_editions_are_not_asked_of_a_place_that_is_covered(shipped: Checker) -> None:
    talk = about(shipped, {"site": {"jurisdiction": "xx-alder"}})
    while (question := talk.question) and talk.where is None:
        assert not {"site.state", "site.adopted"} & {*question.paths}
        talk.skip()


# --- change ---


@pytest.mark.parametrize("picked", ["1", "change 1"])
def test_change_finds_a_question_by_its_words_and_its_answer_is_judged_anew(
    tmp_path: Path, shipped: Checker, picked: str
) -> None:
    job = job_of_example(tmp_path)
    condenser = next(n for n, one in enumerate(job["circuits"]) if one["serves"] == "outdoor_unit")
    most = job["circuits"][condenser]["nameplate"]["maximum_breaker"].split()[0]
    title = shipped.vocabulary.title("circuits.devices.rating").lower()
    run = interview(tmp_path, stdin=f"change {title}\n{picked}\n{most}\nstop\n")
    assert run.returncode in (0, 1), run.stderr
    assert "Which one? Its number" in run.stdout
    assert job_in(tmp_path)["circuits"][condenser]["devices"][0]["rating"] == f"{most} A"


def test_change_that_fits_nothing_or_says_nothing_leaves_the_question(tmp_path: Path) -> None:
    job = job_of_example(tmp_path)
    run = interview(tmp_path, stdin="change zorkmid\nchange\nstop\n")
    assert "No question has the words 'zorkmid'" in " ".join(run.stdout.split())
    assert "Say what to change" in run.stdout
    assert job_in(tmp_path) == job


def test_a_part_is_added_to_a_list_and_the_others_stay_as_they_are(shipped: Checker) -> None:
    job = recorded("02-oversized-breaker")
    talk = about(shipped, job)
    (fit,) = [one for one in talk.fits("branch circuits") if one.path == "circuits"]
    talk.change(fit.path)
    with pytest.raises(NotAnAnswer, match="is there already"):
        talk.answer(job["circuits"][0]["key"])
    talk.answer("heat kit")
    after = talk.now.job.data["circuits"]
    assert after[:-1] == job["circuits"]
    assert after[-1] == {"key": "heat kit", "serves": "heat_kit"}
    assert talk.back()
    assert talk.now.job.data["circuits"] == job["circuits"]


def test_after_a_failure_it_says_what_to_type_when_it_is_fixed(tmp_path: Path, shipped: Checker) -> None:
    job = recorded("02-oversized-breaker")
    condenser = next(one for one in job["circuits"] if one["serves"] == "outdoor_unit")
    rating = condenser["devices"][0].pop("rating")
    (tmp_path / "job.json").write_text(json.dumps(job))
    said = " ".join(interview(tmp_path, stdin=f"{rating}\nstop\n").stdout.split())
    assert "Settled: FAIL" in said
    rated, parts = (low(shipped.vocabulary.title(f"circuits.devices{path}")) for path in (".rating", ""))
    assert f"Fixed? change {rated}. Put in a part? change {parts}." in said


# --- one station, an inspection ---


def test_at_a_station_nothing_of_another_is_asked(shipped: Checker) -> None:
    text = json.dumps({"job_id": "test", "schema_version": 1, **STARTED, "circuits": [CONDENSER]})
    document = read_text(text.encode(), "job.json")
    talk = Interview(shipped, document, ON, lambda one: load(one, shipped.vocabulary), "panel")
    asked_of: set[str] = set()
    while question := talk.question:
        if not question.decides:
            asked_of |= {shipped.vocabulary.station(path).name for path in question.paths}
        talk.skip()
    assert asked_of == {"panel"}


def test_a_wrong_station_lists_those_there_are(tmp_path: Path) -> None:
    run = interview(tmp_path, "--at", "roof", stdin="")
    assert run.returncode == 2
    assert "panel (Panel)" in run.stderr


def test_an_inspection_and_its_notices_are_recorded(tmp_path: Path) -> None:
    job_of_example(tmp_path)
    words = "GFCI receptacle missing within 25 ft of condenser"
    run = interview(
        tmp_path, "--at", "inspection", stdin=f"rough\nrough: 9/10/2026, mechanical, corrections\n{words}\n1\n\n"
    )
    assert run.returncode == 0, run.stderr
    assert "Say how 'rough' went" in run.stdout
    kept = job_in(tmp_path)["inspections"][-1]
    assert (kept["date"], kept["trade"], kept["result"]) == ("2026-09-10", "mechanical", "corrections")
    (notice,) = kept["corrections"]
    assert notice["words"] == words
    assert "receptacle" in notice["rule"]
    told = changeout("jobs", "open", "job.json", *DAY, cwd=tmp_path)
    assert words[:20] in " ".join(told.stdout.split())


# --- today, and more than one fact at a question with choices ---


@pytest.mark.parametrize(("typed", "day"), [("today", ON), ("Yesterday", ON - datetime.timedelta(days=1))])
def test_today_is_the_day_of_the_interview(shipped: Checker, typed: str, day: datetime.date) -> None:
    talk = about(shipped, STARTED)
    talk.change("dates.permit_applied")
    talk.answer(typed)
    assert talk.now.job.data["dates"]["permit_applied"] == day.isoformat()


def test_the_permit_was_issued_today(shipped: Checker) -> None:
    talk = about(shipped, {})
    while "permit.obtained" not in asked(talk).paths:
        talk.skip()
    assert len(asked(talk).text) < 100
    talk.answer("issued today, by contractor")
    assert talk.now.job.data["dates"] == {"permit_issued": ON.isoformat()}


def test_today_in_words_that_are_no_day_stays(shipped: Checker) -> None:
    talk = about(shipped, STARTED)
    talk.change("notes")
    talk.answer("started today")
    assert talk.now.job.data["notes"] == "started today"


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("8-2 NM-B", {"size": "8", "wiring_method": "nm_cable"}),
        ("10/2 romex copper", {"size": "10", "wiring_method": "nm_cable", "material": "copper"}),
    ],
)
def test_a_cable_is_typed_whole_where_its_size_is_asked(shipped: Checker, typed: str, says: dict[str, str]) -> None:
    circuit = {**CONDENSER, "segments": [{"key": "cable"}]}
    talk = about(shipped, {**STARTED, "circuits": [circuit]})
    talk.change("circuits.0.segments.0.size")
    talk.answer(typed)
    segment = talk.now.job.data["circuits"][0]["segments"][0]
    assert {name: segment.get(name) for name in says} == says


def test_all_does_not_say_yes_to_what_nobody_means(shipped: Checker) -> None:
    """A yes there would worry an inspector, as the job schema says; the words that are asked for instead take it."""
    talk = about(shipped, STARTED)
    while "outdoor_unit.service_only_label" not in asked(talk).paths:
        talk.skip()
    question = asked(talk)
    number = 1 + question.paths.index("outdoor_unit.service_only_label")
    with pytest.raises(NotAnAnswer, match=f"line {number} too"):
        talk.answer("all")
    talk.answer("yes to all")
    assert talk.now.job.data["outdoor_unit"]["service_only_label"] is True
