"""The field sheet: what stands on it, and that it fits two pages of paper."""

from __future__ import annotations

import functools
import json
from pathlib import Path
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.fieldwork import sheet_page
from checker.fieldwork.sheet import Sheet, sheet
from checker.reading.fact_shapes import pattern
from checker.reading.files import read_text
from checker.reading.job import load
from tests.support.browser import DESK, PHONE, faults_at, needs_chromium, opened
from tests.support.rulesets import ON

EXAMPLES = sorted((Path(__file__).parent.parent / "examples" / "jobs").glob("*.json"))
CLEAN = EXAMPLES[0]

SWAP = {
    "job_id": "swap",
    "schema_version": 1,
    "site": {"jurisdiction": "xx-alder"},
    "scope": {
        "system": "split_air_conditioner", "phase": "single_phase", "outdoor_unit": True, "indoor_coil": True,
        "air_handler": False, "furnace": False, "line_set": False, "ducts": False, "gas_appliance_removed": False,
        "gas_piping_altered": False, "new_circuit": False, "concealed_new_work": False,
    },
}  # fmt: skip


@functools.cache
def of(checker: Checker, written: bytes) -> Sheet:
    """The sheet of a job, made once."""
    return sheet(checker, read_text(written, "job.json"), lambda one: load(one, checker.vocabulary), ON)


def made(checker: Checker, job: dict[str, Any]) -> Sheet:
    return of(checker, json.dumps(job).encode())


def paths(one: Sheet) -> set[str]:
    return {blank.path for blank in one.blanks}


def test_every_blank_is_named_by_a_rule_of_the_place(shipped: Checker) -> None:
    asked = shipped.chain("xx-alder").facts_named
    assert {pattern(path) for path in paths(made(shipped, SWAP))} <= asked


def test_a_fact_that_a_county_asks_for_stands_under_its_name(shipped: Checker) -> None:
    """Alder county asks for facts of its own; they are headed by who asks."""
    headings = {part.heading for station in made(shipped, SWAP).stations for part in station.subjects}
    assert "Asked by alder-county" in headings


def test_what_the_scope_leaves_out_is_not_on_the_sheet(shipped: Checker) -> None:
    with_furnace = made(shipped, {**SWAP, "scope": {**SWAP["scope"], "furnace": True}})  # type: ignore[dict-item]
    assert paths(made(shipped, SWAP)) < paths(with_furnace)


def test_limits_stand_beside_their_blanks(shipped: Checker) -> None:
    job = {**SWAP, "instructions": {"evacuation_level": "300 micron"}}
    blanks = {blank.path: blank for blank in made(shipped, job).blanks}
    assert blanks["evacuation.level"].limit == "at most 300 micron"
    assert blanks["evacuation.level"].unit == "micron"


def test_room_for_a_circuit_is_no_fact_of_the_job(shipped: Checker) -> None:
    one = made(shipped, SWAP)
    assert one.added == ("circuits.0", "circuits.0.devices.0", "circuits.0.segments.0", "circuits.0.segments.1")
    assert "circuits" not in SWAP


def test_there_are_boxes_for_decay_readings(shipped: Checker) -> None:
    tables = {table.path: table for part in made(shipped, SWAP).stations for table in part.readings}
    assert tables["evacuation.decay_readings"].boxes == 8


def test_what_a_job_records_is_told_and_leaves_no_blank(shipped: Checker) -> None:
    """The clean example: an evacuation to 345 micron; a drain without a pan, whose size stays blank."""
    text = sheet_page.render(of(shipped, CLEAN.read_bytes()))
    assert "NV14-030" not in text  # no rule reads the model
    assert 'Final vacuum: <span class="is">345 micron</span>' in text
    assert '<span class="name"><span class="core">●</span> Auxiliary pan depth</span>' in text
    assert '<span class="name"><span class="core">●</span> Final vacuum' not in text


def test_no_answer_is_told_beside_a_yes_or_no_or_a_word(shipped: Checker) -> None:
    """What is wanted would be ticked without looking. Amounts have their limits."""
    blanks = list(made(shipped, SWAP).blanks)
    assert any(blank.limit for blank in blanks)
    assert not [blank.path for blank in blanks if blank.limit and blank.leaf.form not in ("quantity", "count", "date")]
    assert "<b>yes" not in sheet_page.render(made(shipped, SWAP))


def test_a_sheet_goes_by_station_core_first(shipped: Checker) -> None:
    one = made(shipped, SWAP)
    stations = [station.heading for station in shipped.vocabulary.stations]
    assert [part.heading for part in one.stations] == [heading for heading in stations if heading in
            {part.heading for part in one.stations}]  # fmt: skip
    for subject in (subject for part in one.stations for subject in part.subjects):
        core = [blank.core for blank in subject.blanks]
        assert core == sorted(core, reverse=True), subject.heading


def test_of_two_limits_on_one_fact_the_stricter_stands_beside_it(shipped: Checker) -> None:
    """The invented county allows 25 ft to the disconnect where the code's definition allows 50 ft."""
    limits = {blank.path: blank.limit for blank in made(shipped, SWAP).blanks}
    assert limits["circuits.0.disconnect.distance"].startswith("at most 25 ft (")


def test_what_does_not_fit_two_pages_is_the_least_looked_at_and_counted(shipped: Checker) -> None:
    one = made(shipped, SWAP)
    two_pages, everything = sheet_page.render(one), sheet_page.render(one, everything=True)
    left = everything.count('<div class="fact') - two_pages.count('<div class="fact')
    assert left > 0
    assert f"{left} more that are looked at less often" in two_pages
    assert "looked at less often" not in everything
    assert sum(blank.core and not blank.written for blank in one.blanks) == two_pages.count(
        '<span class="name"><span class="core">'
    )


def test_no_outcome_is_on_a_sheet(shipped: Checker) -> None:
    text = sheet_page.render(made(shipped, SWAP)).lower()
    for word in ("verify_locally", "outcome", "approved", "compliant", ">fail<", ">pass<"):
        assert word not in text


def scope_of(file: Path) -> dict[str, Any]:
    """A job that records no more than what is done, and where."""
    job = json.loads(file.read_text())
    return {
        "job_id": "blank",
        "schema_version": 1,
        "site": {"jurisdiction": job["site"]["jurisdiction"]},
        "scope": job["scope"],
    }


SMALLEST = """Math.min(...[...document.querySelectorAll('body *')].filter(one => one.offsetParent && [...one.childNodes].some(
  node => node.nodeType === Node.TEXT_NODE && node.data.trim())).map(one => parseFloat(getComputedStyle(one).fontSize)))"""


@needs_chromium
@pytest.mark.parametrize(
    "job",
    [SWAP, scope_of(CLEAN), scope_of(EXAMPLES[5]), CLEAN, EXAMPLES[5], EXAMPLES[4]],
    ids=["swap", "clean, only its scope", "heat kit, only its scope", "clean", "heat kit", "only the nameplate"],
)
def test_a_sheet_prints_on_two_pages_at_eight_points(shipped: Checker, tmp_path: Path, job: Any) -> None:
    """8 pt are 10.67 px; on both papers of the two pages asked for."""
    written = job.read_bytes() if isinstance(job, Path) else json.dumps(job).encode()
    file = tmp_path / "sheet.html"
    file.write_text(sheet_page.render(of(shipped, written)), encoding="utf-8")
    with opened(file) as (page, complaints, requests):
        for paper in ("Letter", "A4"):
            assert page.pdf(format=paper).count(b"/Type /Page\n") <= 2, paper
        page.emulate_media(media="print")
        assert page.evaluate(SMALLEST) > 10.66
    assert (complaints, requests) == ([], [])


@needs_chromium
@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_a_sheet_fits_its_window_and_can_be_read_by_everybody(
    shipped: Checker, tmp_path: Path, size: dict[str, int]
) -> None:
    file = tmp_path / "sheet.html"
    file.write_text(sheet_page.render(made(shipped, SWAP)), encoding="utf-8")
    with opened(file, size) as (page, complaints, requests):
        assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
        assert faults_at(page, size) == []
    assert (complaints, requests) == ([], [])


@needs_chromium
def test_hostile_text_stays_text(shipped: Checker, tmp_path: Path) -> None:
    evil = '"><script>window.hit = 1</script></script><img src=x onerror="window.hit=1">=cmd|x'
    job = {**SWAP, "job_id": evil, "title": evil, "circuits": [{"key": evil.replace("/", ""), "serves": "outdoor_unit"}],
           "site": {"jurisdiction": evil}, "charge": {"refrigerant": {"not_known": evil}}}  # fmt: skip
    file = tmp_path / "sheet.html"
    file.write_text(sheet_page.render(made(shipped, job)), encoding="utf-8")
    with opened(file) as (page, complaints, requests):
        assert page.evaluate("window.hit") is None
        assert page.query_selector("img") is None
        assert evil in page.inner_text("h1")
    assert (complaints, requests) == ([], [])
