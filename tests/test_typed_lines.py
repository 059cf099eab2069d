"""A line about one thing of a job, as the interview asks for it: what is recorded, and what is told of the rest."""

from __future__ import annotations

import json
from typing import Any

import pytest

from checker.fieldwork.prompts import NotAnAnswer
from checker.fieldwork.questions import on_one_line, question_of
from checker.reading.files import read_text
from checker.reading.job import Job, load
from tests.support.import_sheets import VOCABULARY

FACTS = {
    "circuits": [
        {"key": "unit", "serves": "outdoor_unit", "devices": [{"key": "main"}], "segments": [{"key": "cable"}]},
        {"key": "furnace", "serves": "furnace"},
    ]
}
NAMEPLATE = [
    "circuits.0.nameplate.minimum_circuit_ampacity", "circuits.0.nameplate.maximum_breaker",
    "circuits.0.nameplate.device_words", "outdoor_unit.nameplate.rated_load_current", "outdoor_unit.nameplate.refrigerant",
]  # fmt: skip
DEVICE = [f"circuits.0.devices.0.{name}" for name in ("rating", "kind", "poles", "place")]
CLEAR = [f"outdoor_unit.clearance_{name}" for name in ("service", "coil", "above")]


def job(**more: Any) -> Job:
    text = json.dumps({"job_id": "x", "schema_version": 1, **FACTS, **more})
    return load(read_text(text.encode(), "job.json"), VOCABULARY)


def test_a_line_in_any_order_records_the_facts_of_its_thing() -> None:
    question = on_one_line(job(), NAMEPLATE)
    found = question.facts("r454b rla14.1 mca 19.6 max fuse/HACR 30 6lb2oz")
    assert found == {
        "circuits.0.nameplate.minimum_circuit_ampacity": "19.6 A",
        "circuits.0.nameplate.maximum_breaker": "30 A",
        "circuits.0.nameplate.maximum_fuse": "30 A",
        "circuits.0.nameplate.device_words": "fuse_or_hacr_breaker",
        "outdoor_unit.nameplate.rated_load_current": "14.1 A",
        "outdoor_unit.nameplate.refrigerant": "R-454B",
        "outdoor_unit.nameplate.factory_charge": "6lb2oz",
    }
    assert "such as: MCA 19.6" in question.text


@pytest.mark.parametrize("plate", ["max overcurrent 35", "Max Overcurrent Protection 35", "MOCP 35", "max OCPD 35 A"])
def test_a_plate_that_names_no_device_gives_the_maximum_of_both(plate: str) -> None:
    found = on_one_line(job(), NAMEPLATE).facts(f"MCA 21.3, {plate}, RLA 16")
    assert ["35", "35"] == [
        str(found[f"circuits.0.nameplate.maximum_{device}"]).split()[0] for device in ("breaker", "fuse")
    ]


@pytest.mark.parametrize(
    "answer", ["40, breaker, 2, panel", "2-pole 40 breaker panel", "panel, 2p40, brkr", "double pole 40 breaker, panel"]
)
def test_the_order_shown_and_labels_say_the_same(answer: str) -> None:
    found = on_one_line(job(), DEVICE).facts(answer)
    assert [found[path] for path in DEVICE] == ["40 A", "breaker", 2, "panel"]


def test_what_is_not_recorded_is_told_and_the_rest_is_kept() -> None:
    question = on_one_line(job(), CLEAR)
    answer = "24 front, 14 sides, plenty above"
    assert question.left is not None
    assert question.facts(answer) == {CLEAR[0]: "24 in", CLEAR[1]: "14 in"}
    assert "plenty" in question.left(answer)
    device = on_one_line(job(), DEVICE)
    assert device.left is not None
    assert device.left("2-pole 40, panel, old") == "Not kept: old."


def test_what_is_recorded_is_not_written_over() -> None:
    question = on_one_line(job(outdoor_unit={"clearance_service": "30 in"}), CLEAR[1:])
    assert question.left is not None
    assert question.facts("24 front, 14 sides") == {CLEAR[1]: "14 in"}
    assert "Recorded already: Clearance at the service side" in question.left("24 front, 14 sides")


def test_labels_go_before_the_order_shown() -> None:
    assert on_one_line(job(), CLEAR[:2]).facts("14 sides, 24 front") == {CLEAR[1]: "14 in", CLEAR[0]: "24 in"}


@pytest.mark.parametrize("answer", ["zzz", "hello there", "19.6 and 30"])
def test_a_line_of_which_nothing_can_be_used_is_refused_with_the_example(answer: str) -> None:
    with pytest.raises(NotAnAnswer, match="such as: MCA"):
        on_one_line(job(), NAMEPLATE).facts(answer)


@pytest.mark.parametrize(
    ("path", "answer", "items"),
    [
        ("circuits.1.devices", "2-pole 40, panel, old", [{"rating": "40 A", "poles": 2, "place": "panel"}]),
        (
            "circuits.1.segments", "8-2 NM-B 52 ft attic; whip LFNC #10 6 ft",
            [
                {"size": "8", "wiring_method": "nm_cable", "length": "52 ft", "place": "attic"},
                {"size": "10", "wiring_method": "flexible_raceway", "flexible_kind": "liquidtight_nonmetallic", "length": "6 ft"},
            ],
        ),
    ],
)  # fmt: skip
def test_an_item_of_a_list_may_be_told_by_its_line_alone(path: str, answer: str, items: list[dict[str, Any]]) -> None:
    (found,) = question_of(job(), path).facts(answer).values()
    assert [{name: value for name, value in item.items() if name != "key"} for item in found] == items
    assert all(item["key"] and "/" not in item["key"] for item in found)


def test_a_line_of_an_item_with_a_word_not_understood_is_refused_and_is_no_name() -> None:
    with pytest.raises(NotAnAnswer, match=r"Not understood: zzz.* such as: 8-2"):
        question_of(job(), "circuits.1.segments").facts("8-2 NM-B zzz 52 ft attic")


def test_names_stay_names() -> None:
    (found,) = question_of(job(), "circuits.1.segments").facts("cable, whip").values()
    assert [item["key"] for item in found] == ["cable", "whip"]


def test_facts_of_two_items_are_read_in_their_order_alone() -> None:
    paths = ["circuits.0.nameplate.minimum_circuit_ampacity", "circuits.1.nameplate.minimum_circuit_ampacity"]
    assert on_one_line(job(), paths).facts("19.6, 11") == {paths[0]: "19.6 A", paths[1]: "11 A"}


def test_an_amount_with_more_of_its_group_is_read_at_its_own_question() -> None:
    found = question_of(job(), DEVICE[0]).facts("2-pole 40")
    assert found == {DEVICE[0]: "40 A", DEVICE[2]: 2}


@pytest.mark.parametrize(
    "answer", ["1105, 1140, 1120", "1,105, 1,140, 1,120", "1105 1140 1120", "1105 cfm, 1140 cfm, 1120 cfm"]
)
def test_three_readings_need_no_clock(answer: str) -> None:
    (found,) = question_of(job(), "airflow.readings").facts(answer).values()
    assert [float(one["flow"].replace(",", "").split()[0]) for one in found] == [1105, 1140, 1120]
    assert all(set(one) == {"flow"} for one in found)


def test_readings_with_their_times_are_read_as_a_line_tells_them() -> None:
    found = question_of(job(), "evacuation.decay_readings").facts("330, after 10 min 520, 610 after 20 min")
    rows = [{"elapsed": "10 min", "vacuum": "520 micron"}, {"elapsed": "20 min", "vacuum": "610 micron"}]
    assert found == {"evacuation.level": "330 micron", "evacuation.decay_readings": rows}


def test_readings_without_their_times_are_refused_where_the_time_counts() -> None:
    with pytest.raises(NotAnAnswer):
        question_of(job(), "evacuation.decay_readings").facts("330, 520, 610")
