"""What people write is read: the ways in which the trade writes an amount, a day, a size, a word.

Each row says a fact, what it is in its own unit or in its own words, and how that is written. What the words mean is common
practice of the trade, no source.
"""

from __future__ import annotations

import datetime
from typing import Any

import pytest

from checker.fieldwork.prompts import NotAnAnswer
from checker.importing.places import Fault
from checker.ir.kleene import Range
from checker.reading import units
from checker.reading.fact_reader import LeafError
from tests.support.import_sheets import VOCABULARY
from tests.support.typed import at_a_question, in_a_cell, in_a_file, readings, worth_of

AMOUNTS: list[tuple[str, float, str]] = [
    ("charge.liquid_pressure", 262, "262 psi; 262 PSIG; 262#; 262psig; 262 lbs; 262 pounds"),
    ("outdoor_unit.nameplate.factory_charge", 12.25, "12 lb 4 oz; 12# 4oz; 12lb4; 12lb 4oz; 12 lbs, 4 ounces; 196 OZ"),
    ("ratings.cooling_capacity", 36000, "3-ton; 3 ton; 3 tons; 3T; 36k; 36K; 36,000 BTUH"),
    ("line_set.vapor_size", 1.125, '1-1/8 in; 1 1/8 in; 1-1/8"; 1-1/8”; 1.125 in'),
    ("access.passage_height", 66, "5'6\"; 5 ft 6; 5'-6\"; 5' 6; 5ft 6in; 5’6”; 66 in; 66\"; 5.5 ft; 5.5'"),
    ("line_set.length", 25.5, "25'6\"; 25 ft 6 in; 25.5 ft; 25.5'; 306 in"),
    ("condensate.primary_drain.slope", 0.25, '1/4" per foot; 1/4 in/ft; 1/4 per foot; 1/4"/ft; .25 in per ft'),
    ("condensate.primary_drain.slope", 0.24, "2 %; 2%"),
    ("charge.outdoor_dry_bulb", 71, "71F; 71 F; 71°; 71 deg; 71 degrees; 71 °F; 71 deg F; 71f"),
    ("charge.outdoor_dry_bulb", -5, "-5F; -5°; -5 deg"),
    ("charge.outdoor_dry_bulb", -0.35, "-0.35 F; -.35°"),
    ("outdoor_unit.run_capacitor.tolerance", 6, "±6%; 6 %; 6%; +/-6%; +/- 6 %; 6 percent"),
    ("airflow.external_static", 0.5, '.5 in wc; 0.5 in. w.c.; .5 in w.c.; .5 iwc; .5 wc; .5"; 0.5 IN WC'),
    ("removed.heat_kit_power", 5, "5 kW; 5kw; 5 KW; 5000 W"),
    ("evacuation.level", 500, "500 micron; 500 microns; 500u; 500 Microns; .5 torr"),
    ("pressure_test.hold", 60, "60 min; 60 mins; 1 hr; 1h; 1 hour; 1 HR"),
    ("circuits.nameplate.supply_voltage", 240, "240 V; 240v; 240 volts; 240 VAC"),
    ("circuits.devices.rating", 40, "40A; 40 amp; 40 amps; 40 AMPS; 40a"),
    ("instructions.charge_per_length", 0.6, "0.6 oz/ft; .6 oz per foot; .6 oz per ft"),
    ("outdoor_unit.clearance_service", 24, "24\"; 24 in; 24 inches; 2 ft; 2'; 24”"),
]
# A number without a unit, and what is plain only where the fact is known: at a question and in a cell, not in a file.
TYPED: list[tuple[str, Any, str]] = [
    ("charge.liquid_pressure", 262, "262"),
    ("ratings.cooling_capacity", 36000, "36,000; 36000; 036"),
    ("line_set.vapor_size", 0.875, "7/8; 7/8 OD; 7/8 od"),
    ("line_set.vapor_size", 1.125, "1-1/8; 1 1/8; 1-1/8 OD"),
    ("condensate.primary_drain.slope", 0.25, "1/4"),
    ("charge.indoor_dry_bulb", 75, "75/63; 75/63 F"),
    ("outdoor_unit.run_capacitor.rated", 45, "45/5; 45/5 mfd; 45+5"),
    ("outdoor_unit.run_capacitor.measured", 43.1, "43.1/4.8; 43.1/4.8 read; measured 43.1/4.8"),
    ("outdoor_unit.run_capacitor.tolerance", 6, "6; ±6; +/-6"),
    ("outdoor_unit.nameplate.rated_load_current", 14.1, "RLA 14.1; 14.1 RLA; rla:14.1; 14.1"),
    ("circuits.nameplate.minimum_circuit_ampacity", 19.6, "MCA 19.6; 19.6 A; mca 19.6 amps"),
    ("charge.outdoor_dry_bulb", -0.35, "-0.35; -.35"),
    ("evacuation.nitrogen_breaks", 2, "2; two; twice; 2x; 2 times"),
    ("circuits.segments.size", "10", "10; #10; 10 ga; 10ga; no. 10; 10 AWG; 10/2; 10-2; 10/2 w/g; 10-3 wg; #10 AWG"),
    ("circuits.segments.size", "12", "12/2 w/g; 12-2 w/g; #12"),
    ("circuits.segments.size", "4/0", "4/0; 4/0 AWG; #4/0"),
    ("circuits.segments.wiring_method", "nm_cable", "romex; NM-B; nm; nm cable"),
    ("circuits.segments.wiring_method", "uf_cable", "UF; UF-B"),
    ("circuits.segments.wiring_method", "se_cable", "SER; SEU"),
    ("circuits.segments.wiring_method", "raceway", "EMT; PVC"),
    ("circuits.segments.wiring_method", "flexible_raceway", "LFNC; liquidtight; sealtite"),
    ("circuits.segments.material", "copper", "cu; copper; Copper"),
    ("circuits.devices.kind", "breaker", "breaker; brkr; CB"),
    ("circuits.devices.kind", "fuse", "fuse; fuses"),
    ("outdoor_unit.nameplate.refrigerant", "R-454B", "454b; 454B; R454B; R-454B; r 454b"),
    ("outdoor_unit.nameplate.refrigerant", "R-410A", "410a; 410; R410A"),
    ("site.state", "OH", "Ohio; ohio; OH; oh"),
    ("site.state", "NC", "North Carolina; nc"),
    ("indoor_unit.location", "attic", "attic; Attic"),
    ("indoor_unit.location", "crawlspace", "crawl; crawl space; crawlspace"),
    ("indoor_unit.location", "garage", "garage"),
    ("charge.method", "subcooling", "subcool; SC; subcooling"),
    ("outdoor_unit.compressor", "single_stage", "single stage; 1 stage; single"),
    ("crew.recovery_certification", "type_2", "type 2; II"),
    ("permit.obtained", True, "y; yes; yep; Y; yeah; yup"),
    ("permit.obtained", False, "n; no; nope; nah"),
]
UNKNOWN = "don't know; idk; can't see it; not sure; no idea"
DAYS: list[tuple[str, Any, str]] = [
    (
        "dates.permit_applied",
        datetime.date(2026, 9, 14),
        "9/14/2026; 9-14-26; 9/14/26; 09/14/2026; 9.14.2026; Sep 14 2026; Sept 14, 2026; September 14th, 2026; 14 Sep 2026; "
        "14-Sep-2026; 2026-9-14; 2026-09-14; 2026/9/14",
    ),
    ("dates.permit_applied", datetime.date(2026, 3, 4), "3/4/26; 3/4/2026; Mar 4 2026; march 4 2026; 03-04-2026"),
    (
        "outdoor_unit.manufactured",
        (datetime.date(2026, 4, 1), datetime.date(2026, 4, 30)),
        "04/2026; 4/2026; Apr 2026; 2026-04; April 2026",
    ),
    ("outdoor_unit.manufactured", (datetime.date(2019, 1, 1), datetime.date(2019, 12, 31)), "2019"),
    (
        "outdoor_unit.manufactured",
        (datetime.date(2026, 5, 1), datetime.date(2026, 5, 31)),
        "5/1/2026 to 5/31/2026; between 5/1/26 and 5/31/26; 2026-05-01 to 2026-05-31",
    ),
]
# What may mean two things, and both of them.
ASKED: list[tuple[str, str, tuple[str, ...]]] = [
    ("dates.permit_applied", "14/9/2026", ("14 September 2026",)),
    ("dates.permit_applied", "3/4", ("year", "day")),
    ("outdoor_unit.manufactured", "4/26", ("year", "day")),
    ("ratings.cooling_capacity", "36", ("36 Btu/h", "36 thousand")),
    ("outdoor_unit.nameplate.refrigerant", "454", ("R-454A", "R-454B", "R-454C")),
    ("site.dwelling", "house", ("one", "townhouse")),
    ("circuits.segments.wiring_method", "whip", ("flexible", "mc")),
    ("circuits.segments.wiring_method", "THHN", ("raceway", "flexible")),
    ("indoor_unit.location", "basement", ("finished", "unfinished")),
    ("permit.obtained", "n/a", ("none: why",)),
]


def rows(table: list[tuple[str, Any, str]]) -> list[Any]:
    return [
        pytest.param(path, value, text.strip(), id=f"{path}: {text.strip()}")
        for path, value, texts in table
        for text in texts.split(";")
    ]


def in_own_unit(path: str, amount: float) -> float:
    leaf = VOCABULARY.leaves[path]
    unit = units.find_unit(leaf.kind, leaf.unit)
    assert unit is not None
    return units.from_base(amount, unit)


@pytest.mark.parametrize(("path", "number", "text"), rows(AMOUNTS))
def test_an_amount_with_its_unit_is_read_alike_everywhere(path: str, number: float, text: str) -> None:
    leaf = VOCABULARY.leaves[path]
    for way in (at_a_question, in_a_cell, in_a_file):
        assert in_own_unit(path, worth_of(leaf, way(leaf, text))) == pytest.approx(number)


@pytest.mark.parametrize(("path", "value", "text"), rows(TYPED))
def test_what_is_typed_for_a_fact_is_read_alike_at_a_question_and_in_a_cell(path: str, value: Any, text: str) -> None:
    leaf = VOCABULARY.leaves[path]
    for way in (at_a_question, in_a_cell):
        found = worth_of(leaf, way(leaf, text))
        assert (pytest.approx(in_own_unit(path, found)) if leaf.form == "quantity" else found) == value


@pytest.mark.parametrize(("path", "days", "text"), rows(DAYS))
def test_a_day_is_read_as_americans_write_it(path: str, days: Any, text: str) -> None:
    leaf = VOCABULARY.leaves[path]
    for way in (at_a_question, in_a_cell):
        found = worth_of(leaf, way(leaf, text))
        if isinstance(days, tuple):
            assert isinstance(found, Range)
            assert (found.low, found.high) == tuple(day.toordinal() for day in days)
        else:
            assert found == days.toordinal()


@pytest.mark.parametrize("text", [text.strip() for text in UNKNOWN.split(";")])
def test_not_known_is_recorded_in_the_words_that_said_it(text: str) -> None:
    for path in ("permit.obtained", "removed.model", "charge.liquid_pressure", "outdoor_unit.manufactured"):
        leaf = VOCABULARY.leaves[path]
        assert [worth_of(leaf, way(leaf, text)) for way in (at_a_question, in_a_cell)] == [{"not_known": text}] * 2


@pytest.mark.parametrize(("path", "text", "both"), ASKED, ids=[text for _, text, _ in ASKED])
def test_what_may_mean_two_things_is_asked_with_both(path: str, text: str, both: tuple[str, ...]) -> None:
    leaf = VOCABULARY.leaves[path]
    assert readings(leaf, text) == []
    for way in (at_a_question, in_a_cell):
        with pytest.raises((NotAnAnswer, Fault, LeafError)) as asked:
            way(leaf, text)
        told = str(asked.value) + "".join(str(getattr(asked.value, part, "")) for part in ("what", "hint"))
        assert all(word in told.replace("_", " ").replace(": and why", ": why") for word in both), told


def test_ok_is_a_yes_only_where_a_no_would_worry() -> None:
    """Asked whether there is a trap, ok says yes; asked whether a joint is soft-soldered, nobody knows what it says."""
    for leaf in VOCABULARY.leaves.values():
        if leaf.form == "flag":
            clear = False in leaf.alarming and True not in leaf.alarming
            assert readings(leaf, "ok") == ([True, True] if clear else []), leaf.path
