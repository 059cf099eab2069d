"""Nothing impossible passes: each amount of each example is negated and made larger, and somebody is told.

What is possible and what is usual is common practice, no source, but for what nature says: nothing lies below a perfect
vacuum, and a length, a weight or a current has no sign.
"""

from __future__ import annotations

import html
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from checker.cli import main
from checker.engine.checker import Checker
from checker.fieldwork.prompts import NotAnAnswer
from checker.importing.places import Fault
from checker.problems.problem import ProblemsFound
from checker.reading.fact_reader import LeafError, read_leaf
from checker.reading.job_schema import job_vocabulary
from checker.reading.second_look import second_look
from checker.reading.shipped import ROOT
from checker.rulesets.library import SHIPPED, open_library
from tests.support.import_sheets import in_csv
from tests.support.slips import NUMBER, ON, amounts, changed, fact_at, read, seen, times
from tests.support.typed import at_a_question, in_a_cell, in_a_file

EXAMPLES = sorted((ROOT / "examples" / "jobs").glob("*.json"))
CLEAN = ROOT / "examples" / "jobs" / "01-clean.json"
# The trade writes these with a sign: below the ground, below the sea, a drain that runs uphill, refrigerant taken
# out, a heat pump's suction line in winter.
SIGNED = {
    "site.elevation", "site.design_flood_elevation", "outdoor_unit.base_elevation", "outdoor_unit.pad.height_above_grade",
    "charge.added", "charge.suction_temperature", "condensate.primary_drain.slope", "condensate.auxiliary_pan.drain_slope",
    "condensate.overflow_drain.slope", "heads.drain.slope", "gas_and_venting.vent_connector_slope",
}  # fmt: skip
# Ten times as much of these is another house, and nothing to wonder at.
TEN_TIMES_IS_COMMON = {
    "outdoor_unit.pad.height_above_grade",
    "outdoor_unit.clearance_coil",
    "pressure_test.hold",
    "charge.running_time",
    "circuits.segments.length",
    "circuits.disconnect.distance",
    "evacuation.decay_readings.elapsed",
    "airflow.readings.elapsed",
    "ducts.new_length",
    "gas_and_venting.shutoff_distance",
    "recovery.level",
    "ducts.share_replaced",
}


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda path: path.stem)
def test_nothing_but_what_has_a_sign_is_below_zero(file: Path) -> None:
    let_in = set()
    for at, value in amounts(json.loads(file.read_text())):
        leaf = job_vocabulary().leaves[fact_at(at)]
        if float(NUMBER.match(str(value))[0]) == 0:  # type: ignore[index]
            continue
        less = times(value, -1)
        try:
            read_leaf(leaf, {"value": less} if at[-1] == "value" else less)
        except LeafError:
            continue
        let_in.add(leaf.path)
    assert let_in <= SIGNED


@pytest.mark.long
@pytest.mark.parametrize("factor", [10, 1000])
def test_what_is_much_too_large_is_refused_asked_about_or_judged_otherwise(factor: int) -> None:
    data = json.loads(CLEAN.read_text())
    checker = Checker(open_library([SHIPPED], {SHIPPED: "rulesets"}), job_vocabulary())
    silent = set()
    before = seen(checker, data)
    for at, value in amounts(data):
        try:
            if seen(checker, changed(data, at, times(value, factor))) == before:
                silent.add(fact_at(at))
        except ProblemsFound:
            pass
    nothing = {
        "recovery.level",
        "evacuation.decay_readings.elapsed",
        "airflow.readings.elapsed",
        "ducts.share_replaced",
    }
    assert silent <= (TEN_TIMES_IS_COMMON if factor == 10 else nothing)


def _title(path: str) -> str:
    return job_vocabulary().title(path)


def _remarks(**facts: Any) -> list[str]:
    return [look.said for look in second_look(read({"schema_version": 1, "job_id": "x", **facts}), ON)]


def test_an_impossible_reading_is_refused_with_its_place_and_what_to_do() -> None:
    with pytest.raises(ProblemsFound) as found:
        read({"schema_version": 1, "job_id": "x", "evacuation": {"level": "-310 micron"}})
    problem = found.value.problems[0]
    assert problem.what == f"{_title('evacuation.level')}: -310 micron is below zero, and this cannot be."
    assert problem.hint == "Write it without the minus sign, or measure again."
    with pytest.raises(ProblemsFound, match="more than this can be: 100 %"):
        read({"schema_version": 1, "job_id": "x", "ratings": {"afue": "960 %"}})


def test_a_reading_far_from_usual_is_looked_at_again() -> None:
    assert _remarks(evacuation={"level": "31000 micron"}) == [
        f"Look again: {_title('evacuation.level')}, 31000 micron. 1 micron to 25000 micron is usual."
    ]
    assert _remarks(evacuation={"level": "310 micron"}) == []


def test_readings_that_contradict_each_other_are_looked_at_again() -> None:
    """A wet bulb never reads above the dry bulb beside it (ASHRAE Fundamentals, psychrometrics)."""
    assert _remarks(charge={"indoor_wet_bulb": "80 °F", "indoor_dry_bulb": "76 °F"}) == [
        f"Look again: {_title('charge.indoor_wet_bulb')} (80 °F) is more than {_title('charge.indoor_dry_bulb')} (76 °F)."
    ]
    circuits = [
        {"key": "one", "nameplate": {"minimum_circuit_ampacity": "19 A", "maximum_breaker": "30 A"}},
        {"key": "two", "nameplate": {"minimum_circuit_ampacity": "40 A", "maximum_breaker": "35 A"}},
    ]
    assert len(_remarks(circuits=circuits)) == 1


@pytest.mark.parametrize(("minutes", "told"), [((0, 5, 10), 0), ((0, 10, 5), 1), ((0, 0, 5), 0)])
def test_readings_stand_in_the_order_of_the_clock(minutes: tuple[int, ...], told: int) -> None:
    readings = [{"elapsed": f"{minute} minute", "vacuum": "300 micron"} for minute in minutes]
    assert told == len(_remarks(evacuation={"decay_readings": readings}))


def test_days_have_an_order_and_do_not_lie_ahead() -> None:
    assert len(_remarks(dates={"permit_issued": "2062-05-01"})) == 1
    assert len(_remarks(dates={"work_started": "2026-05-06", "work_finished": "2026-05-04"})) == 1
    assert _remarks(dates={"inspection": "2026-12-04"}, instruments=[]) == []
    between = {"between": ["2026-03-01", "2026-03-31"]}
    assert _remarks(outdoor_unit={"manufactured": between}, dates={"equipment_installed": "2026-03-10"}) == []


@pytest.mark.parametrize("text", ["-310 micron", "0,500 micron", "12,50 micron", "900000 micron"])
def test_what_cannot_be_is_refused_at_every_door(text: str) -> None:
    """At a question, in a cell of a spreadsheet and in a job's file; a comma parts thousands and nothing else.

    `compute` refuses the same: tests/test_compute.py.
    """
    leaf = job_vocabulary().leaves["evacuation.level"]
    for door in (in_a_file, in_a_cell, at_a_question):
        with pytest.raises((LeafError, ProblemsFound, Fault, NotAnAnswer)):
            door(leaf, text)


AT_DOORS = {
    "a contradiction": ("charge.liquid_pressure", "60 psig", "is more than"),
    "a reading far from usual": ("evacuation.level", "31000 micron", "1 micron to 25000 micron is usual"),
}
TOLD = re.compile("look again|if it is a slip", re.IGNORECASE)


def _at_a_check(file: Path, data: Any, _: str) -> str:
    file.write_text(json.dumps(data))
    return CliRunner().invoke(main, ["check", str(file), "--on", ON.isoformat()]).output


def _on_a_page(file: Path, data: Any, _: str) -> str:
    file.write_text(json.dumps(data))
    run = CliRunner().invoke(main, ["check", str(file), "--on", ON.isoformat(), "--format", "page"])
    return html.unescape(re.sub(r"<[^>]*>", "", run.output))


def _in_an_interview(file: Path, data: Any, fact: str) -> str:
    """The one fact that is missing is asked for first."""
    group, name = fact.split(".")
    typed = data[group].pop(name)
    file.write_text(json.dumps(data))
    return CliRunner().invoke(main, ["interview", str(file), "--on", ON.isoformat()], input=f"{typed}\nstop\n").output


def _in_an_import(file: Path, data: Any, fact: str) -> str:
    """What the job records of this group, in a row."""
    group = fact.split(".")[0]
    said = {name: value for name, value in data[group].items() if isinstance(value, str)}
    rows = [["job_id", *(f"{group}.{name}" for name in said)], ["J1", *said.values()]]
    file.with_suffix(".csv").write_bytes(in_csv(rows))
    run = CliRunner().invoke(
        main, ["jobs", "import", str(file.with_suffix(".csv")), "--output", str(file.with_suffix(".jsonl"))]
    )
    assert 0 == run.exit_code, run.output
    return run.output


@pytest.mark.parametrize("door", [_at_a_check, _on_a_page, _in_an_interview, _in_an_import])
@pytest.mark.parametrize("slip", AT_DOORS)
def test_what_is_to_be_looked_at_again_is_told_at_every_door(
    tmp_path: Path, door: Callable[[Path, Any, str], str], slip: str
) -> None:
    """`compute` tells of the unusual and refuses the contradiction: tests/test_compute.py."""
    fact, value, told = AT_DOORS[slip]
    data = json.loads(CLEAN.read_text())
    group, name = fact.split(".")
    data[group][name] = value
    data["charge"]["suction_pressure"] = "131 psig"
    said = " ".join(door(tmp_path / "job.json", data, fact).split())
    assert (True, True) == (bool(TOLD.search(said)), told in said), said[:3000]
