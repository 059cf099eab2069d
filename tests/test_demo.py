"""The invented houses: each unlike the others, sound by arithmetic and physics, and in no real place.

The letters of states are those of USPS Publication 28, appendix B, from memory.
"""

from __future__ import annotations

import json
import re
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageChops, ImageStat

from checker.engine.checker import Checker
from checker.reading.files import read_file
from checker.reading.inherited.equipment import open_sheets
from checker.reading.inherited.inheritance import Inherited, load_job
from checker.reading.inherited.profile import open_profile
from tests.support import coolprop
from tests.support.import_sheets import imported
from tests.support.photographs import EXAMPLES, as_jpeg, drawn, photographs

ROOT = EXAMPLES.parent
HOUSES = sorted((EXAMPLES / "jobs").glob("*.json"))
SCENES = sorted(
    [*HOUSES, *EXAMPLES.glob("shop/*.json"), *EXAMPLES.glob("archive/*.json"), *ROOT.glob("tests/jobs/*.json")]
)
CODES = (
    "AA AE AK AL AP AR AS AZ CA CO CT DC DE FL FM GA GU HI IA ID IL IN KS KY LA MA MD ME MH MI MN MO MP MS MT NC ND NE NH "
    "NJ NM NV NY OH OK OR PA PR PW RI SC SD TN TX UT VA VI VT WA WI WV WY"
)
POSTAL = frozenset(CODES.split())
# NEC 240.6(A), the sizes that a house's condenser meets; the smallest that plates name is 15 A.
SIZES = (15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80)

Facts = dict[str, Any]


def facts_of(path: Path) -> Facts:
    found: Facts = json.loads(path.read_text(encoding="utf-8"))
    return found


def at(facts: Any, path: str) -> Any:
    for part in path.split("."):
        facts = facts.get(part) if isinstance(facts, dict) else None
    return facts


def number(written: Any) -> float | None:
    found = re.match(r"-?[\d.]+", str(written.get("value") if isinstance(written, dict) else written))
    return float(found[0]) if found else None


def condenser(facts: Facts) -> Facts:
    found: Facts = next((c for c in facts.get("circuits", ()) if c.get("serves") == "outdoor_unit"), {})
    return found


# --- nine houses, each unlike the others ----------------------------------------------------------------------------------

FIGURES: dict[str, tuple[str, ...]] = {
    "capacity": ("ratings.cooling_capacity",),
    "plate": ("plate.minimum_circuit_ampacity",),
    "plate's maximum": ("plate.maximum_breaker",),
    "old device": ("removed.device_rating",),
    "old serial": ("removed.serial",),
    "evacuation": ("instructions.evacuation_level",),
    "decay": ("instructions.decay_highest",),
    "vacuum read": ("evacuation.level.value",),
    "subcooling": ("instructions.subcooling_target", "instructions.subcooling_tolerance"),
    "least airflow": ("instructions.airflow_lowest",),
    "most airflow": ("instructions.airflow_highest",),
    "airflow": ("airflow.total.value",),
    "line": ("line_set.length",),
    "charge": ("outdoor_unit.nameplate.factory_charge",),
    "elevation": ("site.elevation",),
    "house": ("site.address",),
    "floor": ("site.floor_area",),
    "applied": ("dates.permit_applied",),
    "permit": ("permit.number",),
    "crew": ("crew.technician",),
    "manufacturer": ("outdoor_unit.maker",),
    "model": ("outdoor_unit.model",),
    "serial": ("outdoor_unit.serial",),
    "instruments": ("instruments",),
    "certificate": ("ratings.match_certificate",),
}


@pytest.mark.parametrize("figure", FIGURES)
def test_no_two_houses_share_a_figure(figure: str) -> None:
    found = {}
    for path in HOUSES:
        facts = facts_of(path) | {"plate": condenser(facts_of(path)).get("nameplate", {})}
        value = [at(facts, one) for one in FIGURES[figure]]
        if None not in value:
            found[path.stem] = value
    assert len(found) >= 8, "only the houses before and in the middle of a visit leave some of them out"
    assert [] == [(a, b) for a, b in combinations(found, 2) if found[a] == found[b]]


# --- figures of another scenario that no scene repeats -----------------------------------------------------------------------


def of_another_scenario(facts: Facts) -> list[str]:
    size = re.search(r"-0?(\d\d)\D*$", str(at(facts, "outdoor_unit.model")))
    rated = number(at(facts, "ratings.cooling_capacity")) or (float(size[1]) * 1000 if size else 0)
    plate, asked = condenser(facts).get("nameplate", {}), facts.get("instructions", {})
    most = {number(plate.get("maximum_breaker")), number(plate.get("maximum_fuse"))}
    target = (number(asked.get("subcooling_target")), number(asked.get("subcooling_tolerance")))
    heat = (number(asked.get("superheat_target")), number(asked.get("superheat_tolerance")))
    rise = (number(asked.get("decay_highest")), number(asked.get("decay_hold_time")))
    found = {
        "a unit of about 30,000 Btu/h with 25 A": 28000 <= rated <= 31500 and 25 in most,
        "350 micron": 350 == number(asked.get("evacuation_level")),
        "1,100 cfm": 1100 in {number(asked.get("airflow_lowest")), number(asked.get("airflow_highest"))},
        "500 micron in a minute": rise == (500, 1),
        "10 °F, 3 either way": (10, 3) in (target, heat),
    }
    return [name for name, there in found.items() if there]


def test_no_scene_repeats_the_figures_of_another_scenario(shipped: Checker) -> None:
    assert [] == [(path.name, found) for path in SCENES if (found := of_another_scenario(facts_of(path)))]
    rows = imported((EXAMPLES / "jobs.csv").read_bytes(), shipped.vocabulary).jobs
    assert [] == [found for row in rows if (found := of_another_scenario(row.data))]
    sheets = {"instructions.evacuation_level": "350 micron", "instructions.airflow_highest": "1100 cfm"}
    for path in EXAMPLES.glob("equipment/*.yaml"):
        for fact, value in sheets.items():
            assert f"{fact}: {value}" not in path.read_text(encoding="utf-8")


def test_what_is_looked_for_is_found() -> None:
    asked = {
        "evacuation_level": "350 micron",
        "airflow_highest": "1100 cfm",
        "decay_highest": "500 micron",
        "decay_hold_time": "1 min",
        "subcooling_target": "10 delta_degF",
        "subcooling_tolerance": "3 delta_degF",
    }
    plate = [{"serves": "outdoor_unit", "nameplate": {"maximum_breaker": "25 A"}}]
    assert 5 == len(
        of_another_scenario({"ratings": {"cooling_capacity": "29000 Btu/h"}, "circuits": plate, "instructions": asked})
    )
    assert ["a unit of about 30,000 Btu/h with 25 A"] == of_another_scenario(
        {"outdoor_unit": {"model": "AB14-030"}, "circuits": plate}
    )


# --- no real place ---------------------------------------------------------------------------------------------------------


def test_no_scene_lies_in_a_real_state(shipped: Checker) -> None:
    letters = set(next(leaf for leaf in shipped.vocabulary.leaves.values() if leaf.path == "site.state").possible)
    invented = letters - POSTAL
    assert {"XN", "XE", "XW"} == invented, "the letters that stand for invented places"
    for path in SCENES:
        facts = facts_of(path)
        assert at(facts, "site.state") in {None, *invented}, path.name
        for licence in ("contractor_licence", "electrician_licence"):
            written = at(facts, f"crew.{licence}")
            assert not isinstance(written, str) or written.split("-")[0] not in POSTAL, f"{path.name}: {written}"
    assert facts_of(EXAMPLES / "profile.json")["site"]["state"] in invented
    for row in imported((EXAMPLES / "jobs.csv").read_bytes(), shipped.vocabulary).jobs:
        assert row.data["site"]["state"] in invented


# --- plates that add up ----------------------------------------------------------------------------------------------------


WITH_PLATES = [path for path in HOUSES if "outdoor_unit" in facts_of(path)]


@pytest.mark.parametrize("path", [*WITH_PLATES, EXAMPLES / "shop/20-quarry-lane.json"], ids=lambda path: path.stem)
def test_a_plate_adds_up(path: Path) -> None:
    """NEC 440.33 for the ampacity; 440.22(B)(1), at its most, for the fuse or breaker, taken down to a standard size."""
    facts = facts_of(path)
    plate, marked = facts["outdoor_unit"]["nameplate"], condenser(facts)["nameplate"]
    rla, fan = number(plate.get("rated_load_current")), number(plate.get("fan_current"))
    if rla is None or fan is None:
        assert path.stem == "20-quarry-lane", "what a sheet gives is left out of that job alone"
        return
    assert 1.25 * rla + fan == pytest.approx(number(marked["minimum_circuit_ampacity"]), abs=0.051)
    assert max(size for size in SIZES if size <= 2.25 * rla + fan) == number(marked["maximum_breaker"])
    assert marked["maximum_breaker"] == marked["maximum_fuse"]
    (mark,) = (supply["mark"] for supply in facts["supplies"] if supply["unit"] == "outdoor_unit")
    assert f"ampacity {marked['minimum_circuit_ampacity']}" in mark
    assert mark.endswith(f" {marked['maximum_breaker']}")


@pytest.mark.parametrize("path", [path for path in HOUSES if "charge" in facts_of(path)], ids=lambda path: path.stem)
def test_charge_and_subcooling_are_those_of_the_refrigerant(path: Path) -> None:
    """CoolProp's own bubble point at the reading and the standard atmosphere; total = factory + what the line set takes."""
    facts = facts_of(path)
    charge, asked, plate = facts["charge"], facts["instructions"], facts["outdoor_unit"]["nameplate"]
    height = number(facts["site"]["elevation"]) or 0
    atmosphere = 14.696 * (1 - 6.8754e-6 * height) ** 5.2559  # U.S. Standard Atmosphere, 1976, in feet
    fluid = {"R-32": "R32", "R-454B": "R454B.mix"}[charge["refrigerant"]]
    bubble = (
        coolprop.PropsSI("T", "P", (charge["liquid_pressure"]["value"] + atmosphere) * 6894.757, "Q", 0, fluid) * 1.8
        - 459.67
    )
    subcooling = bubble - charge["liquid_temperature"]["value"]
    target, tolerance = number(asked["subcooling_target"]), number(asked["subcooling_tolerance"])
    assert subcooling == pytest.approx(target, abs=tolerance)
    assert charge["refrigerant"] == plate["refrigerant"] == facts["indoor_unit"]["coil_refrigerant"]
    longer = (number(facts["line_set"]["length"]) or 0) - (number(asked["charge_included_length"]) or 0)
    added = longer * (number(asked["charge_per_length"]) or 0) / 16
    assert added == pytest.approx(number(charge["added"]), abs=0.006)
    assert number(plate["factory_charge"]) + number(charge["added"]) == pytest.approx(
        number(charge["total"]), abs=0.006
    )  # type: ignore[operator]


# --- plate, sheet, photograph and job say the same ---------------------------------------------------------------------------


def test_every_photograph_shows_what_its_job_records() -> None:
    """Its lines stand in it as a comment, and its pixels are those of the lines."""
    found = list(photographs())
    assert len(found) >= 5
    kept = {file.resolve() for file, _, _ in found}
    assert kept == {file.resolve() for file in EXAMPLES.rglob("*.jpg")}, (
        "python -m tests.support.photographs; no other is kept"
    )
    for file, lines, _ in found:
        with Image.open(file) as picture:
            assert "\n".join(lines) == picture.info["comment"].decode(), (
                f"{file.name}: python -m tests.support.photographs"
            )
            apart = ImageChops.difference(picture.convert("RGB"), drawn(lines))
            assert max(ImageStat.Stat(apart).mean) < 4, f"{file.name}: python -m tests.support.photographs"


def test_another_plate_would_be_noticed() -> None:
    (one, other) = (drawn(["A", "B", f"MAX FUSE {size} A"]) for size in (25, 30))
    assert as_jpeg(["A", "B", "MAX FUSE 25 A"]) != as_jpeg(["A", "B", "MAX FUSE 30 A"])
    assert ImageChops.difference(one, other).getbbox()


def test_jobs_and_sheets_do_not_contradict_each_other(shipped: Checker) -> None:
    sheets = open_sheets([EXAMPLES / "equipment"], shipped.vocabulary)
    profile = open_profile(EXAMPLES / "profile.json", shipped.vocabulary)
    for path in (*HOUSES, EXAMPLES / "shop/20-quarry-lane.json"):
        inherited = Inherited(sheets, profile) if path.stem == "20-quarry-lane" else Inherited(sheets)
        loaded = load_job(read_file(path), shipped.vocabulary, inherited)
        assert [] == [note for note in loaded.notes if "The job's is used" in note and "sheet" in note], path.name
