"""The pictures of a report: whole, inert, the same every time, readable, and holding the numbers they are drawn from."""

from __future__ import annotations

import hashlib
import itertools
import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checker.engine.checker import Checker
from checker.findings.finding import Finding
from checker.reading.files import read_text
from checker.reading.job import Job, load
from checker.reporting import figures
from checker.reporting.figures import canvas, size_ladder
from checker.reporting.figures.canvas import Figure
from tests.support import coolprop
from tests.support.browser import DESK, needs_chromium, opened
from tests.support.opening import forget_reports
from tests.support.rulesets import ON

pytestmark = pytest.mark.long

JOBS = Path(__file__).parent.parent / "examples" / "jobs"
NARROW = {"width": 360, "height": 800}
SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = "<script>alert(1)<!-- & \"q\" 'a' $x^2$ \\$ ]]> \u0007"
FORMS = ("decay_curve", "size_ladder", "target_band", "expected_against_read")

CYCLE_METRIC = {
    "site.elevation": "300 m",
    "charge.liquid_pressure": "2620 kPa gauge",
    "charge.liquid_temperature": "40 °C",
    "charge.suction_pressure": "900 kPa gauge",
    "charge.suction_temperature": "15 °C",
    "charge.refrigerant": "R-410A",
}
FIXED_ORIFICE = {
    "indoor_unit.metering_device": "fixed_orifice",
    "charge.method": "superheat",
    "instructions.superheat_target": "12 °F",
    "instructions.superheat_tolerance": "5 °F",
}


def job_of(shipped: Checker, name: str = "01-clean", **changes: Any) -> Job:
    """An example job with some facts written otherwise; None takes a fact out. `__` stands for a dot."""
    data = json.loads((JOBS / f"{name}.json").read_text(encoding="utf-8"))
    for path, value in changes.items():
        *groups, last = path.replace("__", ".").split(".")
        place = data
        for group in groups:
            place = place[int(group)] if isinstance(place, list) else place[group]
        key: Any = int(last) if isinstance(place, list) else last
        if value is None:
            place.pop(key, None)
        else:
            place[key] = value
    return load(read_text(json.dumps(data).encode(), "job.json"), shipped.vocabulary)


def finding_of(shipped: Checker, job: Job, rule: str, item: str = "") -> Finding:
    report = shipped.check_job(job, ON)
    return next(one for one in report.findings if one.rule == rule and one.item == item)


def drawn(shipped: Checker, job: Job, rule: str, item: str = "") -> Figure | None:
    return figures.figures(finding_of(shipped, job, rule, item), job)


def all_of(shipped: Checker, job: Job) -> list[Figure]:
    """Every picture of a job."""
    made = [figures.figures(one, job) for one in shipped.check_job(job, ON).findings]
    return [one for one in (*made, figures.cycle(job)) if one]


def words(picture: Figure) -> list[str]:
    """The texts that are seen in a picture."""
    root = ElementTree.fromstring(picture.svg)
    return ["".join(one.itertext()) for one in root.iter(f"{SVG}text")]


def seen(picture: Figure) -> str:
    return " | ".join(words(picture))


@pytest.fixture(scope="module")
def clean(shipped: Checker) -> list[Figure]:
    return all_of(shipped, job_of(shipped))


# --- what each is made of ---


def test_the_clean_job_has_every_form_of_picture(shipped: Checker, clean: list[Figure]) -> None:
    job = job_of(shipped)
    asked = {one.picture for one in shipped.check_job(job, ON).findings if figures.figures(one, job)}
    assert set(FORMS) == asked
    assert figures.cycle(job)
    assert all(form in figures.DRAWN for form in FORMS)


def test_each_is_a_whole_svg_element_named_for_those_who_do_not_see_it(clean: list[Figure]) -> None:
    for picture in clean:
        root = ElementTree.fromstring(picture.svg)
        assert picture.svg.startswith("<svg ")
        assert f"{SVG}svg" == root.tag
        assert ("img", "100%", None) == (root.get("role"), root.get("width"), root.get("height"))
        assert re.fullmatch(r"0 0 [\d.]+ [\d.]+", root.get("viewBox", ""))
        title, description = root[0], root[1]
        assert (f"{SVG}title", f"{SVG}desc") == (title.tag, description.tag)
        assert (picture.title, picture.description) == (title.text, description.text)
        assert f"{title.get('id')} {description.get('id')}" == root.get("aria-labelledby")
        assert picture.description.endswith(".")


def test_several_stand_in_one_page(clean: list[Figure]) -> None:
    """No id is used twice, each reference finds its own, and no style reaches past its picture."""
    ids: list[str] = []
    for picture in clean:
        own = [one.get("id", "") for one in ElementTree.fromstring(picture.svg).iter() if one.get("id")]
        named = set(re.findall(r'(?:href="#|url\(#)([^")]+)', picture.svg))
        assert named
        assert named <= set(own)
        ids += own
        assert "<style" not in picture.svg
        assert " style=" not in picture.svg
    assert len(ids) == len(set(ids))


def test_nothing_in_it_calls_for_anything_outside(clean: list[Figure]) -> None:
    for picture in clean:
        assert {"http://www.w3.org/2000/svg"} == set(re.findall(r"https?://[^\"'\s<]+", picture.svg))
        assert re.findall(r'font-family="([^"]+)"', picture.svg).count("sans-serif") == picture.svg.count(
            "font-family="
        )


# --- the numbers ---


def test_the_decay_curve_holds_readings_limit_and_hold_time(shipped: Checker) -> None:
    picture = drawn(shipped, job_of(shipped), "evacuation-decay")
    assert picture
    for number in ("highest allowed 600 micron", "hold 15 min", "460 micron", "micron (k = 2)"):
        assert number in seen(picture)
    for number in (
        "0 min: 345",
        "2 min: 390",
        "4 min: 417",
        "6 min: 435",
        "9 min: 449",
        "12 min: 456",
        "15 min: 460 micron",
        "600 micron",
    ):
        assert number in picture.description


def test_the_decay_curve_of_a_leak_goes_past_its_limit(shipped: Checker) -> None:
    picture = drawn(shipped, job_of(shipped, "04-decay-rises"), "evacuation-decay")
    assert picture
    assert "961 micron" in seen(picture)
    assert "10 min: 961 micron" in picture.description
    assert "±" not in seen(picture)  # what is judged is open upwards, so it has no uncertainty


def test_the_ladder_holds_plate_and_device(shipped: Checker) -> None:
    job = job_of(shipped, "02-oversized-breaker")
    for rule in ("overcurrent-within-nameplate", "overcurrent-not-under-minimum-ampacity"):
        picture = drawn(shipped, job, rule, "condenser")
        assert picture
        texts = words(picture)
        for rung in ("15 A", "20 A", "25 A", "30 A", "35 A", "40 A", "45 A", "50 A"):
            assert rung in texts
        assert {"13.9 A minimum ampacity", "20 A maximum breaker and fuse", "45 A there: breaker in the panel"} <= set(
            texts
        )
        assert "minimum ampacity 13.9 A; maximum breaker 20 A; maximum fuse 20 A" in picture.description
        assert "panel breaker, breaker in the panel, 45 A" in picture.description
        assert "Standard sizes around them, in A: 15, 20, 25, 30, 35, 40, 45, 50." in picture.description


def test_the_rungs_are_sizes_of_every_edition() -> None:
    """NEC 240.6(A): 15 A is the smallest before 2023 and 10 A from then on, so the ladder begins at 15 A."""
    sizes = size_ladder.standard_sizes()
    assert (15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200) == sizes[:18]
    assert 6000 == sizes[-1]


def test_the_band_holds_target_limits_and_uncertainty(shipped: Checker) -> None:
    job = job_of(shipped)
    finding = finding_of(shipped, job, "subcooling-at-target")
    picture = figures.figures(finding, job)
    assert picture
    low, value, high = finding.workings[0].values
    assert ("6 °F", "10 °F") == (low, high)
    assert {"lowest", low, "target", "8 °F", "highest", high} <= set(words(picture))
    assert f"worked out {value} {finding.workings[0].uncertainty}" in words(picture)
    assert f"{value}, inside what is wanted, {low} to {high}. The target is 8 °F." in picture.description
    assert "Subcooling against its target" == picture.title


def test_the_band_is_drawn_for_superheat_too(shipped: Checker) -> None:
    picture = drawn(shipped, job_of(shipped, **FIXED_ORIFICE), "superheat-at-target")
    assert picture
    assert "Superheat against its target" == picture.title
    assert {"7 °F", "12 °F", "17 °F"} <= set(words(picture))


def test_a_band_without_stated_accuracies_has_no_bar_and_says_so(shipped: Checker) -> None:
    job = job_of(shipped, charge__liquid_temperature="95.5 °F")
    finding = finding_of(shipped, job, "subcooling-at-target")
    bare = finding._replace(workings=(finding.workings[0]._replace(spread=None, uncertainty=""),))
    picture = figures.figures(bare, job)
    assert picture
    assert "±" not in seen(picture)
    assert "no bar is drawn" in picture.description


def test_the_pressure_test_is_drawn_with_what_the_gas_law_gives(shipped: Checker) -> None:
    """322 psig from 72 to 74 °F at 14.11 psia: the ideal gas law gives 323.26 psig, real nitrogen a hundredth more."""
    picture = drawn(shipped, job_of(shipped), "pressure-test-holds")
    assert picture
    ideal = (322 + 14.11) * (74 + 459.67) / (72 + 459.67) - 14.11
    expected = float(re.search(r"expected at the end at 74 °F: ([\d.]+) psig", seen(picture))[1])  # type: ignore[index]
    assert ideal == pytest.approx(expected, abs=0.1)
    assert {"read at the start at 72 °F: 322 psig", "read at the end at 74 °F: 323 psig"} <= set(words(picture))
    assert f"least allowed {expected - 2:.1f} psig" in words(picture)
    for number in ("322 psig", "323 psig", f"{expected} psig", f"{expected - 2:.1f} psig", "±3.4 psi (k = 2)"):
        assert number in picture.description


def test_a_pressure_test_written_in_kpa_is_drawn_in_kpa(shipped: Checker) -> None:
    changes = {"pressure_test.pressure": "2000 kPa gauge", "pressure_test.end_pressure": "2006 kPa gauge"}
    picture = drawn(shipped, job_of(shipped, **changes), "pressure-test-holds")
    assert picture
    assert "read at the start at 72 °F: 2,000 kPa gauge" in words(picture)
    assert "kPa gauge" in words(picture)


def test_the_cycle_holds_its_three_states(shipped: Checker) -> None:
    """Gauge and 14.11 psia of the standard atmosphere at 1120 ft; enthalpies from CoolProp, asked here."""
    picture = figures.cycle(job_of(shipped))
    assert picture
    liquid = coolprop.make_curves.heat("R454B.mix", T=coolprop.make_curves.kelvin(94.7), Q=0)
    suction = coolprop.make_curves.heat(
        "R454B.mix", T=coolprop.make_curves.kelvin(55), P=(117 + 14.111) * coolprop.make_curves.PSI
    )
    texts = words(picture)
    assert texts[texts.index("1 liquid, read: 317 psig, 94.7 °F") + 1] == f"worked out: 331.1 psia, {liquid:.1f} Btu/lb"
    assert texts[texts.index("3 suction, read: 117 psig, 55 °F") + 1] == f"worked out: 131.1 psia, {suction:.1f} Btu/lb"
    between = texts[texts.index("2 metered, read: 117 psig") + 1]
    assert between.startswith("worked out: 131.1 psia, ")
    assert between.endswith(f" °F, {liquid:.1f} Btu/lb")
    assert {"pressure, psig", "pressure, psia", "enthalpy, Btu/lb", "hot gas:", "not measured"} <= set(texts)
    for said in ("317 psig (331.1 psia), 94.7 °F", "were not measured", "14.11 psia of air from the standard",
                 "atmosphere at 1120 ft", "0 °C (32 °F) being 200 kJ/kg",
                 "taken as saturated liquid", "133.2 °F to", "no point of this"):  # fmt: skip
        assert said in picture.description


def test_a_cycle_read_in_kpa_is_drawn_in_kpa(shipped: Checker) -> None:
    picture = figures.cycle(job_of(shipped, **CYCLE_METRIC))
    assert picture
    assert "enthalpy, kJ/kg" in words(picture)
    atmosphere = 101.325 * (1 - 2.25577e-5 * 300) ** 5.2559  # ASHRAE Fundamentals, chapter 1, equation 3
    assert {"1 liquid, read: 2,620 kPa gauge, 40 °C", "pressure, kPa gauge", "pressure, kPa absolute"} <= set(
        words(picture)
    )
    assert any(text.startswith(f"worked out: {2620 + atmosphere:,.1f} kPa absolute, ") for text in words(picture))
    assert "gives no answer" not in picture.description


def test_a_barometer_goes_before_the_elevation(shipped: Checker) -> None:
    """29.00 inHg is 14.24 psia (0.491154 psi an inch)."""
    picture = figures.cycle(job_of(shipped, site__barometer="29.00 inHg absolute", site__elevation=None))
    assert picture
    assert "14.24 psia of air from the barometer" in picture.description


# --- what a mark says ---


def marks(picture: Figure) -> list[tuple[set[str], ElementTree.Element]]:
    """Every mark that says how it came about, with its classes."""
    root = ElementTree.fromstring(picture.svg)
    return [(set(one.get("class", "").split()), one) for one in root.iter() if one.get("class")]


def dots(picture: Figure) -> list[tuple[set[str], str, str, str]]:
    """Every dot: its classes, the path of its shape, its fill and its outline."""
    shapes = {one.get("id"): one.get("d", "") for one in ElementTree.fromstring(picture.svg).iter(f"{SVG}path")}
    used = [(classes, one) for classes, group in marks(picture) for one in group.iter(f"{SVG}use")]
    return [
        (classes, shapes[one.get("href", "").removeprefix("#")], one.get("fill", ""), one.get("stroke", ""))
        for classes, one in used
    ]


def length(element: ElementTree.Element) -> float:
    """How long a straight line is, in points of its picture."""
    path = next(one for one in element.iter(f"{SVG}path"))
    x, y, *_, right, low = map(float, re.findall(r"-?[\d.]+", path.get("d", "")))
    return float(((right - x) ** 2 + (low - y) ** 2) ** 0.5)


def test_what_was_read_is_filled_or_solid_and_what_is_worked_out_is_open_or_dashed(
    crowded: list[tuple[str, Figure]],
) -> None:
    seen_of: set[str] = set()
    for name, picture in crowded:
        for classes, _, fill, outline in dots(picture):
            assert ("worked-out" in classes) == (fill == "#ffffff"), (name, picture.title)
            assert ("read" in classes) == (fill == outline), (name, picture.title)
            seen_of |= classes
        for classes, group in marks(picture):
            line = next((one for one in group.iter(f"{SVG}path") if one.get("stroke-width")), None)
            if line is not None and not next(group.iter(f"{SVG}use"), None):
                assert ("read" in classes) == (line.get("stroke-dasharray") is None), (name, picture.title)
    assert {"read", "worked-out", "passes", "close", "fails", "plain"} <= seen_of
    words_of = {
        picture.legend for _, picture in crowded if any("worked-out" in classes for classes, _ in marks(picture))
    }
    assert all("worked out" in legend and "read" in legend for legend in words_of)


def test_a_dot_that_fails_has_another_shape_and_another_color(crowded: list[tuple[str, Figure]]) -> None:
    looks: dict[str, set[tuple[str, str]]] = {}
    for _, picture in crowded:
        for classes, shape, _, outline in dots(picture):
            for look in classes & {"passes", "close", "fails"}:
                looks.setdefault(look, set()).add((re.sub(r"[\d.-]+", "", shape), outline))
    assert 3 == len(looks)
    for one, other in itertools.combinations(looks.values(), 2):
        assert not {shape for shape, _ in one} & {shape for shape, _ in other}
        assert not {color for _, color in one} & {color for _, color in other}


def test_a_cross_stands_where_the_rule_fails_and_nowhere_else(shipped: Checker) -> None:
    for job in odd_jobs(shipped).values():
        for finding in shipped.check_job(job, ON).findings:
            picture = figures.figures(finding, job)
            if picture and finding.picture != "decay_curve":  # a decay is also judged by who watched it, and when
                crossed = any("fails" in classes for classes, *_ in dots(picture))
                assert (finding.outcome == "fail") == crossed, (finding.rule, finding.item)
                assert crossed == bool(re.search(r"\bcross\b", picture.legend))


def test_the_readings_of_a_decay_over_the_limit_are_crosses(shipped: Checker) -> None:
    """The clean job stays under its limit; the other one goes over it and stays over."""
    assert not [classes for classes, *_ in dots(_decay(shipped, "01-clean")) if "fails" in classes]
    data = json.loads((JOBS / "04-decay-rises.json").read_text(encoding="utf-8"))
    levels = [float(one["vacuum"].split()[0]) for one in data["evacuation"]["decay_readings"]]
    limit = float(data["instructions"]["decay_highest"].split()[0])
    found = ["fails" in classes for classes, *_ in dots(_decay(shipped, "04-decay-rises"))]
    assert [level > limit for level in levels] == found
    assert {True, False} == set(found)


def _decay(shipped: Checker, name: str) -> Figure:
    picture = drawn(shipped, job_of(shipped, name), "evacuation-decay")
    assert picture
    return picture


def test_a_bar_that_reaches_over_the_limit_is_told_of(shipped: Checker) -> None:
    """The clean job's pressure test: 301 psig with 299.2 the least, and gauge and thermometer together are ±3.4 psi."""
    near = drawn(shipped, job_of(shipped), "pressure-test-holds")
    far = drawn(shipped, job_of(shipped), "subcooling-at-target")
    assert near
    assert far
    assert "nearer its limit than the instrument can tell" in near.legend
    assert any("close" in classes for classes, *_ in dots(near))
    assert "nearer" not in far.legend


def test_nothing_of_compressor_and_hot_gas_has_a_scale(shipped: Checker) -> None:
    """However far apart suction and liquid are, the stubs are as long as before, dotted, and end at no mark."""
    stubs = []
    for changes in ({}, {"charge.suction_temperature": "90 °F"}, {"charge.liquid_pressure": "420 psig"}):
        picture = figures.cycle(job_of(shipped, **changes))
        assert picture
        found = [element for classes, element in marks(picture) if "not-measured" in classes]
        stubs.append([length(one) for one in found])
        assert all(path.get("stroke-dasharray") for one in found for path in one.iter(f"{SVG}path"))
        assert 3 == len(dots(picture))
        assert "say nothing" in picture.legend
    for other in stubs[1:]:
        assert stubs[0] == pytest.approx(other, abs=0.2)


def test_a_band_names_no_target_that_nobody_printed(shipped: Checker) -> None:
    """7 to 13 °F around no printed target: the middle is not called one."""
    job = job_of(shipped)
    finding = finding_of(shipped, job, "subcooling-at-target")
    picture = figures.figures(finding, job_of(shipped, instructions__subcooling_target=None))
    assert picture
    assert "target" not in words(picture)
    assert "The target" not in picture.description


# --- what is not there is not drawn ---


@pytest.mark.parametrize(
    "changes",
    [
        {"site.elevation": None},
        {"charge.mode": "heating"},
        {"charge.mode": None},
        {"charge.suction_temperature": None},
        {"charge.refrigerant": "other"},
        {"charge.refrigerant": "R-466A"},
        {"charge.liquid_temperature": "140 °F"},  # above its bubble point: no liquid
        {"charge.suction_temperature": "20 °F"},  # below its dew point: no vapor
        {"charge.suction_pressure": "330 psig", "charge.suction_temperature": "150 °F"},  # above the liquid's
    ],
    ids=str,
)
def test_no_cycle_is_drawn_by_a_guess(shipped: Checker, changes: dict[str, Any]) -> None:
    assert figures.cycle(job_of(shipped)) is not None
    assert figures.cycle(job_of(shipped, **changes)) is None


@pytest.mark.parametrize(
    ("rule", "changes"),
    [
        ("evacuation-decay", {"evacuation.decay_readings": []}),
        ("evacuation-decay", {"evacuation.decay_readings": None}),
        ("pressure-test-holds", {"site.elevation": None}),
        ("pressure-test-holds", {"pressure_test.end_pressure": None}),
        ("subcooling-at-target", {"charge.liquid_pressure": None}),
        ("subcooling-at-target", {"instructions.subcooling_target": None}),
    ],
)
def test_what_is_not_recorded_is_not_drawn(shipped: Checker, rule: str, changes: dict[str, Any]) -> None:
    assert drawn(shipped, job_of(shipped), rule) is not None
    assert drawn(shipped, job_of(shipped, **changes), rule) is None


def test_a_ladder_needs_a_device_and_a_plate(shipped: Checker) -> None:
    rule = "overcurrent-within-nameplate"
    bare = dict.fromkeys(("minimum_circuit_ampacity", "maximum_breaker", "maximum_fuse"))
    no_plate = {f"circuits.0.nameplate.{fact}": None for fact in bare}
    assert drawn(shipped, job_of(shipped), rule, "condenser") is not None
    assert drawn(shipped, job_of(shipped, **no_plate), rule, "condenser") is None
    assert drawn(shipped, job_of(shipped, **{"circuits.0.devices.0.rating": None}), rule, "condenser") is None


def test_a_rule_that_asks_for_no_picture_has_none(shipped: Checker) -> None:
    job = job_of(shipped)
    finding = finding_of(shipped, job, "subcooling-at-target")
    assert figures.figures(finding._replace(picture=""), job) is None
    assert figures.figures(finding._replace(picture="a_form_of_tomorrow"), job) is None


# --- hostile and odd input ---


def hostile(shipped: Checker) -> list[Figure]:
    """Pictures with markup, mathematics and a control character wherever a job or a ruleset can put text."""
    changes = {"circuits.0.key": HOSTILE, "circuits.0.devices.0.key": HOSTILE, "job_id": HOSTILE}
    job = job_of(shipped, **changes)
    found = [finding_of(shipped, job, "overcurrent-within-nameplate", HOSTILE)]
    band = finding_of(shipped, job, "subcooling-at-target")
    working = band.workings[0]
    texts = {"text": f"low <= {HOSTILE} <= high", "values": (HOSTILE,) * 3, "uncertainty": f"±1 °F (k = 2) {HOSTILE}"}
    found.append(band._replace(workings=(working._replace(**texts),)))
    return [one for one in (figures.figures(finding, job) for finding in found) if one]


def test_hostile_text_stays_literal(shipped: Checker) -> None:
    pictures = hostile(shipped)
    assert 2 == len(pictures)
    for picture in pictures:
        root = ElementTree.fromstring(picture.svg)
        assert not [one for one in root.iter() if "script" in one.tag]
        assert "<script" not in picture.svg
    assert "<script>alert(1)<!-- &" in pictures[0].title
    literal = HOSTILE.replace("\u0007", "\ufffd")
    assert any(literal in text for text in words(pictures[1]))
    assert literal in pictures[1].description


@needs_chromium
def test_hostile_text_does_nothing_in_a_browser(shipped: Checker, tmp_path: Path) -> None:
    page = tmp_path / "hostile.html"
    page.write_text(_page(hostile(shipped), "100%"), encoding="utf-8")
    with opened(page, NARROW) as (shown, complaints, requests):
        assert 2 == shown.locator("svg").count()
        assert 0 == shown.locator("script").count()
        assert any("$x^2$" in text for text in shown.locator("svg text").all_text_contents())
        assert ([], []) == (complaints, requests)


def test_a_name_in_any_letters_is_drawn(shipped: Checker) -> None:
    key = "室外機 🔥 \u202e" + "w" * 300
    job = job_of(shipped, **{"circuits.0.key": key, "circuits.0.devices.0.key": key})
    picture = drawn(shipped, job, "overcurrent-within-nameplate", key)
    assert picture
    assert "室外機" in picture.title
    assert len(picture.title) < 90


def test_many_devices_and_wide_sizes_are_drawn(shipped: Checker) -> None:
    one = {"kind": "breaker", "place": "panel", "rating": "15 A"}
    devices = [{**one, "key": f"d{n}", "rating": f"{15 + 7 * (n % 20)} A"} for n in range(60)]
    job = job_of(shipped, **{"circuits.0.devices": [*devices, {**one, "key": "huge", "rating": "9000 A"}]})
    picture = drawn(shipped, job, "overcurrent-within-nameplate", "condenser")
    assert picture
    assert "9,000 A there: breaker in the" in words(picture)
    assert "15 A there: 3 devices" in words(picture)


@given(st.lists(st.tuples(st.floats(0, 10), st.floats(0.1, 3)), min_size=1, max_size=12))
def test_things_spread_along_a_line_keep_their_order_and_never_overlap(things: list[tuple[float, float]]) -> None:
    wanted, sizes = sorted(at for at, _ in things), [size for _, size in things]
    places = canvas.spread(wanted, sizes)
    assert len(wanted) == len(places)
    for (a, first), (b, second) in itertools.pairwise(zip(places, sizes, strict=True)):
        assert b - a >= (first + second) / 2 - 1e-9
    assert sum(wanted) == pytest.approx(sum(places))  # as a whole they stay where they were wanted


def test_things_with_room_stay_where_they_are_wanted() -> None:
    assert [1, 3, 7] == pytest.approx(canvas.spread([1, 3, 7], [1, 1, 2]))


# --- the same every time, and only when asked for ---

DIGEST = """
from tests import test_figures
from checker.engine.checker import Checker
from checker.rulesets.library import SHIPPED, job_vocabulary, open_library
shipped = Checker(open_library([SHIPPED], {SHIPPED: "rulesets"}), job_vocabulary())
print(test_figures.digest(test_figures.all_of(shipped, test_figures.job_of(shipped))))
"""


def digest(pictures: list[Figure]) -> str:
    return hashlib.sha256("".join(one.svg for one in pictures).encode()).hexdigest()


def test_the_same_job_gives_the_same_bytes(shipped: Checker, clean: list[Figure]) -> None:
    """Again in this run, and in another with another order of hashes, another time zone and another language."""
    forget_reports()
    assert clean == all_of(shipped, job_of(shipped))
    assert digest(clean) == _python(DIGEST, PYTHONHASHSEED="7", TZ="Asia/Tokyo", LC_ALL="de_DE.UTF-8")


def test_the_settings_of_others_are_left_as_they_were(shipped: Checker) -> None:
    import matplotlib

    with matplotlib.rc_context({"font.size": 31.0, "axes.edgecolor": "red"}):
        before = dict(matplotlib.rcParams)
        inside = all_of(shipped, job_of(shipped))
        assert before == dict(matplotlib.rcParams)
    assert inside == all_of(shipped, job_of(shipped))


@pytest.mark.parametrize("module", ["checker.engine.checker", "checker.cli", "checker.reporting.json"])
def test_judging_does_not_load_matplotlib(module: str) -> None:
    loaded = _python(f"import sys, {module}; print(sorted({{'matplotlib', 'numpy', 'CoolProp'}} & set(sys.modules)))")
    assert "[]" == loaded


def test_drawing_loads_neither_pyplot_nor_coolprop() -> None:
    loaded = _python(
        "import sys, checker.reporting.figures; print(sorted({'matplotlib.pyplot', 'CoolProp'} & set(sys.modules)))"
    )
    assert "[]" == loaded


def _python(code: str, **environment: str) -> str:
    root = Path(__file__).parent.parent
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=root,
        env={**os.environ, **environment},
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout.strip()


# --- readable ---


def test_every_color_of_text_and_lines_is_4_5_to_1_on_white() -> None:
    """WCAG 2.1, 1.4.3 and its definition of relative luminance."""
    for color in (canvas.INK, canvas.QUIET, canvas.BLUE, canvas.RUST, canvas.GREEN, canvas.RED, canvas.AMBER):
        parts = [int(color[at : at + 2], 16) / 255 for at in (1, 3, 5)]
        linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
        luminance = sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))
        assert 1.05 / (luminance + 0.05) >= 4.5, color


BOXES = """svg => { const whole = svg.getBoundingClientRect();
  return [...svg.querySelectorAll('text')].map(t => { const b = t.getBoundingClientRect();
    return [t.textContent, b.left - whole.left, b.top - whole.top, b.right - whole.left, b.bottom - whole.top,
            whole.width, whole.height,
            parseFloat(getComputedStyle(t).fontSize) * whole.width / svg.viewBox.baseVal.width]; }) }"""


def odd_jobs(shipped: Checker) -> dict[str, Job]:
    """The examples, and jobs that crowd a picture."""
    examples = {path.stem: job_of(shipped, path.stem) for path in sorted(JOBS.glob("*.json"))}
    late = [{"elapsed": f"{n} min", "vacuum": f"{490 + n} micron"} for n in range(0, 21, 4)]
    return examples | {
        "metric": job_of(shipped, **CYCLE_METRIC),
        "superheat": job_of(shipped, **FIXED_ORIFICE),
        "far off target": job_of(shipped, **{"charge.liquid_temperature": "104 °F"}),
        "near the limit": job_of(shipped, **{"evacuation.decay_readings": late}),
        "leaking": job_of(shipped, **{"pressure_test.end_pressure": "240 psig"}),
        "old refrigerant": job_of(shipped, **{"charge.refrigerant": "R-22", "charge.liquid_temperature": "90 °F",
                                              "charge.liquid_pressure": "220 psig", "charge.suction_pressure": "68 psig"}),
    }  # fmt: skip


@pytest.fixture(scope="module")
def crowded(shipped: Checker) -> list[tuple[str, Figure]]:
    return [(name, picture) for name, job in odd_jobs(shipped).items() for picture in all_of(shipped, job)]


@needs_chromium
@pytest.mark.parametrize(("size", "width"), [(NARROW, "100%"), (DESK, "36rem")], ids=["phone", "desk"])
def test_no_text_lies_on_another_or_leaves_its_picture(
    crowded: list[tuple[str, Figure]], tmp_path: Path, size: dict[str, int], width: str
) -> None:
    page = tmp_path / "figures.html"
    page.write_text(_page([picture for _, picture in crowded], width), encoding="utf-8")
    with opened(page, size) as (shown, _, _):
        found = shown.evaluate(f"[...document.querySelectorAll('svg')].map({BOXES})")
    assert len(crowded) == len(found)
    for (name, _), boxes in zip(crowded, found, strict=True):
        _assert_apart(name, boxes)
        _assert_inside(name, boxes)


def _assert_apart(name: str, boxes: list[list[Any]]) -> None:
    for one, other in itertools.combinations(boxes, 2):
        across = min(one[3], other[3]) - max(one[1], other[1])
        down = min(one[4], other[4]) - max(one[2], other[2])
        # A line of text takes more height than its letters: lines of one label may share a little of it.
        assert across <= 1 or down <= 0.35 * min(one[4] - one[2], other[4] - other[2]), (name, one[0], other[0])


def _assert_inside(name: str, boxes: list[list[Any]]) -> None:
    for text, left, top, right, bottom, width, height, size in boxes:
        assert left >= -1 and top >= -1 and right <= width + 1 and bottom <= height + 1, (name, text)  # noqa: PT018
        assert size >= 10.5, (name, text, size)  # CSS px on a phone: not smaller than a caption


def _page(pictures: list[Figure], width: str) -> str:
    body = "".join(f'<figure style="margin:0;max-width:{width}">{one.svg}</figure>' for one in pictures)
    head = '<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">'
    return f'{head}<title>Pictures</title><body style="margin:8px">{body}</body></html>'
