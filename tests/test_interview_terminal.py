"""The interview as a contractor meets it: typed line by line on a real pseudo-terminal, broken off and gone on with."""

from __future__ import annotations

import json
import os
import re
from pathlib import Path
from typing import Any

import pytest

from checker.commands import interview as command
from tests.support.commands import JOBS, ROOT, Run, changeout
from tests.support.terminal import DAY, Session, job_in

OPENING = [
    ("What goes in?", "1"),
    ("one-family house", "1"),
    ("State and county", "Alder County"),
    ("The permit:", "applied 2026-10-05"),
    ("What else is part of the job?", "none"),
    ("Which branch circuits feed the equipment?", "outdoor unit, furnace"),
    ("New outdoor unit's nameplate", "18, 30, fuse or breaker, R454B"),
    ("outdoor unit: Which breakers and fuses protect this circuit", "panel: 40, breaker, panel"),
    ("Where is the indoor unit?", "attic"),
    ("condensate overflow?", "nothing"),
    ("share a vent or chimney", "n"),
]


def nearly_done(folder: Path) -> dict[str, Any]:
    """The clean job with a fact left out at each stage of the visit."""
    job: dict[str, Any] = json.loads((JOBS / "01-clean.json").read_text())
    del job["recovery"]["released"]
    del job["pressure_test"]["gas"]
    del job["evacuation"]["gauge_isolated_from_pump"]
    del job["condensate"]["primary_drain"]["cleanout"]
    del job["outdoor_unit"]["service_only_label"]
    (folder / "job.json").write_text(json.dumps(job))
    return job


@pytest.mark.long
def test_a_first_conversation_from_an_empty_folder_to_a_written_job(tmp_path: Path) -> None:
    talk = Session(tmp_path)
    talk.answer(*OPENING)
    talk.shown()
    talk.type("stop")
    said, code = talk.end()
    assert code == 0
    assert "What was answered is in job.json" in said
    job = job_in(tmp_path)
    assert [(one["key"], one["serves"]) for one in job["circuits"]] == [
        ("outdoor unit", "outdoor_unit"),
        ("furnace", "furnace"),
    ]
    assert job["circuits"][0]["devices"] == [{"key": "panel", "rating": "40 A", "kind": "breaker", "place": "panel"}]
    assert job["scope"]["indoor_coil"] is True
    assert job["condensate"]["overflow_drain"] == {"fitted": False}
    assert [file.name for file in tmp_path.iterdir()] == ["job.json"]
    seen = " ".join(talk.seen.split())
    assert "Settled: FAIL Overflow protection where water could damage the building" in seen
    assert "The authority having" in seen
    for word in ("None", "True", "False", "item 0", "circuits.0", "not_known", "Traceback"):
        assert not re.search(rf"\b{re.escape(word)}\b", talk.seen.replace("None of the", "")), word


@pytest.mark.long
def test_everything_skipped_ends_in_the_report(tmp_path: Path) -> None:
    talk = Session(tmp_path)
    talk.answer(*OPENING)
    while "That was the last question" not in talk.shown():
        talk.type("")
    talk.type("")
    said, code = talk.end()
    assert code == 1
    assert "Skipped, and could still change a result:" in said
    assert "Fix first" in said
    assert "Don't start it until" in said


@pytest.mark.long
def test_ctrl_c_in_the_middle_and_gone_on_with_to_the_end(tmp_path: Path) -> None:
    full = nearly_done(tmp_path)
    talk = Session(tmp_path)
    first = talk.shown()
    assert "Going on with job.json" in first
    assert "What gas did you pressure-test with?" in first
    assert re.search(r"station \d of \d, about \d left here 1\. What gas", first)
    talk.type("nitrogen")
    assert "valve off the pump" in talk.shown()
    talk.terminal.sendintr()
    said, code = talk.end()
    assert code == 130
    assert "What was answered is in job.json" in said
    half = job_in(tmp_path)
    assert half["pressure_test"]["gas"] == "nitrogen"
    again = Session(tmp_path)
    again.answer(
        ("valve off the pump", "y"),
        ("Core is done: nothing failed. About 3 more would answer the rest; go on or stop here?", "go on"),
        ("only for servicing existing equipment", "n"),
        ("cleanout?", "y"),
        ("Was any refrigerant vented?", "only unavoidable traces"),
    )
    assert "That was the last question" in again.shown()
    again.type("")
    said, code = again.end()
    assert code == 0
    assert "No question is left that could change a result." in said
    # none of its three photographs is in this folder; each may be named anew, or one be added to the list
    assert "Nothing failed. Still open: up to 4 to record." in said
    assert "Still open, and no answer here settles it: Photo kept of the new outdoor nameplate" in said
    assert "does not count as taken: there is no such file in the folder" in said
    done = job_in(tmp_path)
    assert done["evacuation"]["gauge_isolated_from_pump"] is True
    assert done["circuits"] == full["circuits"]
    assert done["$schema"] == full["$schema"]
    assert list(done) == [*full, "known_by"]


def test_back_skip_help_why_and_a_wrong_unit(tmp_path: Path) -> None:
    job = json.loads((JOBS / "01-clean.json").read_text())
    del job["pressure_test"]["pressure"]
    (tmp_path / "job.json").write_text(json.dumps(job))
    talk = Session(tmp_path)
    assert "What pressure did you test at? (psig)" in talk.shown()
    talk.type("back")
    assert "Nothing to take back." in talk.shown()
    talk.type("?")
    helped = talk.shown()
    assert "unknown: why" in helped
    assert "takes the last answer back" in helped
    talk.type("WHY")
    why = talk.shown()
    assert "IRC 2021" in why or "IMC 2021" in why or "commissioning" in why.lower() or "instructions" in why
    assert "Wanted: at least 320 psig; at most 325 psig" in why
    talk.type("300 ft")
    assert "'ft' is a unit of length; gauge pressure is needed here. Write it in psig." in talk.shown()
    talk.type("\x1b[A")
    assert "characters that are not text" in talk.shown()
    os.write(talk.terminal.child_fd, b"\xff\xfe\n")  # no text in any encoding of ours
    assert "characters that are not text" in talk.shown()
    assert job_in(tmp_path) == job
    talk.type("301")
    assert "Settled: FAIL" in talk.shown()
    assert job_in(tmp_path)["pressure_test"]["pressure"] == "301 psig"
    talk.type("back")
    assert "Taken back." in talk.shown()
    assert (tmp_path / "job.json").read_text() == json.dumps(job), "to the letter"
    talk.type("")
    talk.shown()
    talk.type("")
    _, code = talk.end()
    assert job_in(tmp_path) == job
    assert code in (0, 1)


@pytest.mark.long
def test_ctrl_c_before_any_answer_leaves_no_file(tmp_path: Path) -> None:
    talk = Session(tmp_path)
    talk.shown()
    talk.terminal.sendintr()
    said, code = talk.end()
    assert code == 130
    assert "no file was written" in said
    assert not list(tmp_path.iterdir())


# --- without a terminal ---


def interview(folder: Path, *words: str, stdin: str = "") -> Run:
    return changeout("interview", *words, *DAY, stdin=stdin, cwd=folder)


def test_the_end_of_input_keeps_what_was_answered(tmp_path: Path) -> None:
    run = interview(tmp_path, "here.json", stdin="1\n\nxx-alder\n")
    assert run.returncode == 130
    assert "What was answered is in here.json" in run.stdout
    assert job_in(tmp_path, "here.json")["site"] == {"jurisdiction": "xx-alder"}


def test_a_wrong_kind_of_system_can_be_taken_back(tmp_path: Path) -> None:
    run = interview(tmp_path, stdin="10\npackage unit\n\n\nxx-alder\nback\nback\nback\nback\n1\n")
    said = " ".join(run.stdout.split())
    assert "Not judged: " in said
    assert "A package unit has other dates and limits." in said
    assert 2 == said.count("What is put in?")
    assert "What is replaced?" in said.rpartition("What is put in?")[2]
    assert run.returncode == 130
    assert job_in(tmp_path)["scope"] == {"system": "split_air_conditioner"}


def test_a_file_changed_meanwhile_is_not_overwritten(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Somebody else writes the file while the third question waits for its answer."""
    answers = iter(["1", "1", "OH"])

    def typed() -> str:
        answer = next(answers)
        if answer == "OH":
            (tmp_path / "job.json").write_text("mine")
        return answer

    monkeypatch.setattr(command, "typed", typed)
    run = interview(tmp_path)
    assert run.returncode == 2
    assert "changed the file in the meantime" in run.stderr
    assert (tmp_path / "job.json").read_text() == "mine"


def test_answers_that_look_like_commands_of_a_computer_stay_text(tmp_path: Path) -> None:
    answer = "$(touch gone); __import__('os').system('touch gone') {0} %s \"; DROP"
    run = interview(tmp_path, stdin=f"\n\n{answer}, OH\nstop\n")
    assert run.returncode == 0, run.stderr
    assert job_in(tmp_path)["site"]["jurisdiction"] == answer
    assert [file.name for file in tmp_path.iterdir()] == ["job.json"]


@pytest.mark.parametrize(
    ("content", "says"),
    [
        ("{", "job.json:1:2"),
        ('{"job_id": "a", "schema_version": 1, "scope": {"sytem": "mini_split"}}', "Did you mean"),
        ("", "The file is empty."),
    ],
)
def test_a_file_with_mistakes_is_said_as_check_says_it_and_left_alone(tmp_path: Path, content: str, says: str) -> None:
    (tmp_path / "job.json").write_text(content)
    run = interview(tmp_path, stdin="xx-alder\n")
    assert run.returncode == 2
    assert says in run.stderr
    assert "Traceback" not in run.stderr
    checked = changeout("check", "job.json", *DAY, cwd=tmp_path)
    assert run.stderr == checked.stderr
    assert (tmp_path / "job.json").read_text() == content


@pytest.mark.parametrize(
    ("file", "says"), [("no/job.json", "folder"), ("job.yaml", "ends in .json"), ("job", "ends in .json")]
)
def test_a_file_that_cannot_be_a_job_is_refused_before_any_question(tmp_path: Path, file: str, says: str) -> None:
    run = interview(tmp_path, file, stdin="xx-alder\n")
    assert run.returncode == 2
    assert says in run.stderr
    assert not list(tmp_path.iterdir())


def test_a_job_that_cannot_be_written_is_said_and_ends_with_2(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The disk is full: every write of a whole file fails."""
    from click.testing import CliRunner

    from checker.cli import main

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("checker.commands.partial_file.os.replace", full)
    (tmp_path / "job.json").write_text('{"job_id": "a", "schema_version": 1}')
    run = CliRunner().invoke(main, ["interview", str(tmp_path / "job.json"), *DAY], input="1\n")
    assert run.exit_code == 2
    assert "cannot be written: No space left on device" in run.output
    assert (tmp_path / "job.json").read_text() == '{"job_id": "a", "schema_version": 1}'


def test_the_help_says_the_exit_codes() -> None:
    run = interview(ROOT, "--help")
    assert "130 Ctrl-C" in " ".join(run.stdout.split())
