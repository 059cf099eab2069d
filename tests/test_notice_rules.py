"""A notice in the inspector's words finds the rules that exist; what is like none of them is a rule to write.

The notices are invented, in the words of correction lists as they are handed out (common practice, no source); which rule
each is about was written down by hand.
"""

from __future__ import annotations

import json
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.portfolio.lessons import Lessons
from checker.portfolio.lessons_text import as_json, as_text
from checker.portfolio.notice_rules import MOST, NoticeRules, of_place
from checker.reading.files import read_text
from checker.reading.job import load

NOTICES = {
    "GFCI receptacle missing within 25 ft of condenser": "service-receptacle-near",
    "Working clearance at disconnect less than 36 in, shrubs in the way": "disconnect-working-space",
    "Breaker exceeds max overcurrent on nameplate": "overcurrent-within-nameplate",
    "No permit posted on site": "permit-at-the-site",
    "Float switch not wired in secondary drain": "overflow-device-stops-the-equipment",
    "Seal line set penetration at exterior wall": "wall-opening-around-tubes-sealed",
    "Condensate drain needs trap": "drain-trapped-as-maker-asks",
    "Insulate suction line at coil": "suction-line-insulated-all-the-way",
    "Locking caps required on refrigerant access ports": "refrigerant-ports-locked",
    "Provide CO alarm outside bedrooms": "co-alarms-where-this-work-calls-for-them",
    "Smoke detectors missing": "smoke-alarms-in-place",
    "Vent connector slope insufficient": "vent-connector-clear-and-rising",
    "Water heater vent orphaned, resize flue": "shared-vent-verified-after-change",
    "Condenser not level on pad": "outdoor-unit-level",
    "Label disconnect": "disconnect-labelled",
    "Need load calc Manual J": "load-calculated-before-choosing",
    "A2L labels missing from outdoor unit": "flammable-marks-in-place",
    "Panel directory not updated": "panel-directory-names-the-circuit",
    "Missing in-use cover on WP receptacle": "service-receptacle-covered",
    "Manufacturers instructions not on site": "instructions-on-site",
    "White wire used as hot not re-identified": "white-wire-remarked",
    "No light at attic unit": "light-and-receptacle-at-hidden-unit",
    "Gas line not capped": "gas-outlet-capped-after-removal",
    "Drain slope less than 1/8 per foot": "primary-drain-falls",
    "Double tapped breaker": "one-wire-each-terminal",
    "AHRI certificate not provided": "certificate-names-the-installed-models",
    "Whip not strapped": "whip-strapped",
}  # fmt: skip
OTHERS = [
    "Address numbers not visible from street",
    "Remove debris from yard",
    "Deck railing too low",
    "Contractor vehicle blocks hydrant",
    "",
]


@pytest.fixture(scope="module")
def alder(shipped: Checker) -> NoticeRules:
    return of_place(shipped.chain("xx-alder"), shipped.vocabulary)


@pytest.mark.parametrize(("words", "rule"), NOTICES.items(), ids=list(NOTICES))
def test_a_notice_finds_the_rule_that_it_is_about(alder: NoticeRules, words: str, rule: str) -> None:
    found = [one.rule for one in alder.about(words)]
    assert rule in found
    assert len(found) <= MOST


@pytest.mark.parametrize("words", OTHERS)
def test_what_is_about_no_rule_finds_none(alder: NoticeRules, words: str) -> None:
    assert () == alder.about(words)


def learned(shipped: Checker, *notices: str, rule: Any = None) -> Lessons:
    """One job of the invented county with a notice each, the words as given."""
    lessons = Lessons(shipped)
    for number, words in enumerate(notices):
        correction = {"key": "a", "words": words} | ({} if rule is None else {"rule": rule})
        job = {"job_id": f"j{number}", "schema_version": 1, "site": {"jurisdiction": "xx-alder"},
               "inspections": [{"key": "final", "date": "2026-05-14", "trade": "mechanical", "result": "corrections",
                                "corrections": [correction]}]}  # fmt: skip
        lessons.add(load(read_text(json.dumps(job).encode(), "job.json"), shipped.vocabulary))
    return lessons


def text(lessons: Lessons) -> str:
    return " ".join(as_text(lessons, 0, 100).split())


def test_only_what_matches_nothing_is_a_rule_to_write(shipped: Checker) -> None:
    lessons = learned(shipped, "Whip not strapped", "Remove debris from yard")
    assert ["Remove debris from yard"] == [group.words for group in lessons.rules_to_write()]
    assert "[whip-strapped]" in text(lessons)


def test_where_a_person_looked_and_no_rule_fits_none_is_proposed(shipped: Checker) -> None:
    lessons = learned(shipped, "Whip not strapped", rule={"none": "it is about the cable"})
    assert [()] == [one.candidates for one in lessons.told["no_rule"]]
    assert 1 == len(lessons.rules_to_write())


def test_three_notices_about_a_rule_propose_it_as_core_there(shipped: Checker) -> None:
    """The strap of the whip is of usual weight, the breaker core already."""
    twice = learned(shipped, *["Whip not strapped"] * 2)
    thrice = learned(shipped, *["Whip not strapped"] * 3)
    core = learned(shipped, *["Replace."] * 3, rule="overcurrent-within-nameplate")
    assert [] == twice.to_weigh_more() == core.to_weigh_more()
    assert [("xx-alder", "whip-strapped", "usual", 3)] == [
        (one.place, one.rule, one.weight, one.notices) for one in thrice.to_weigh_more()
    ]
    assert "xx-alder: 3 notices about" in text(thrice)
    assert "make it core" in text(thrice).lower()
    document = json.loads(as_json(thrice, 0))
    assert ["whip-strapped"] == [one["rule"] for one in document["weights_to_change"]]
    assert "whip-strapped" in [one["rule"] for one in document["corrections"][0]["candidates"]]
