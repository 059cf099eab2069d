"""What is read off one thing is typed on one line, as a contractor types it: sloppy, glued, in any order.

Every line and what it says was written before the reader saw it. What the words mean is common practice of the trade,
no source.
"""

from __future__ import annotations

import itertools
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checker.reading import units
from checker.reading.fact_reader import read_leaf
from checker.reading.line import Line, line_of
from checker.reading.typed_line import LineRead, read_line
from tests.support.import_sheets import VOCABULARY

LINES = VOCABULARY.commands["lines"]


def line(path: str) -> Line:
    found = line_of(VOCABULARY, [path])
    assert found is not None, path
    return found


RLA = "outdoor_unit.nameplate.rated_load_current"
PLATE = line(RLA)
BREAKER = line("circuits.devices.rating")
WIRE = line("circuits.segments.size")
VACUUM = line("evacuation.level")
CLEAR = line("outdoor_unit.clearance_service")
TEST = line("pressure_test.pressure")
GAUGES = line("charge.liquid_pressure")
AIR = line("airflow.external_static")
TUBES = line("line_set.liquid_size")
DISCONNECT = line("circuits.disconnect.rating")
CAPACITOR = line("outdoor_unit.run_capacitor.rated")
MANUAL = line("instructions.subcooling_target")


def title(path: str) -> str:
    return VOCABULARY.title(path)


def evaluate(path: str, value: Any) -> Any:
    """What a fact says in its own unit; what is no single amount as it stands."""
    leaf = VOCABULARY.leaves.get(path)
    if leaf is None:
        rows = [list(one.values()) for one in value]
        names = [list(one) for one in value]
        return [
            tuple(evaluate(f"{path}.{name}", one) for name, one in zip(keys, row, strict=True))
            for keys, row in zip(names, rows, strict=True)
        ]
    if isinstance(value, dict):
        return next(iter(value))
    reading = read_leaf(leaf, value)
    if leaf.form != "quantity":
        return reading.value
    unit = units.find_unit(leaf.kind, leaf.unit)
    assert unit is not None
    assert isinstance(reading.value, int | float)
    return pytest.approx(units.from_base(float(reading.value), unit))


def said(read: LineRead) -> dict[str, Any]:
    """The facts by their last names."""
    return {path.rpartition(".")[2]: evaluate(path, value) for path, value in read.facts.items()}


PLATE_SAYS = {
    "minimum_circuit_ampacity": 19.6, "maximum_breaker": 30, "maximum_fuse": 30, "rated_load_current": 14.1,
    "fan_current": 1.2, "refrigerant": "R-454B", "factory_charge": 6.125,
}  # fmt: skip

# As the work's own task writes them.
FIRST = [
    (PLATE, "MCA 19.6 max 30 RLA 14.1 FLA 1.2 208/230 R-454B 6 lb 2 oz", PLATE_SAYS),
    (BREAKER, "2-pole 40, panel, old", {"poles": 2, "rating": 40, "place": "panel"}),
    (WIRE, "8-2 NM-B 52 ft attic", {"size": "8", "wiring_method": "nm_cable", "length": 52, "place": "attic"}),
    (VACUUM, "330, after 10 min 520", {"level": 330, "decay_readings": [(10, 520)]}),
    (
        CLEAR,
        "24 front, 14 sides, open above",
        {"clearance_service": 24, "clearance_coil": 14, "clearance_above": "none"},
    ),
]

# Thirty more, written in one go as they would be thumbed in.
MORE = [
    (PLATE, "r454b mca 19.6 mocp 30 rla14.1 fla1.2 6#2oz", PLATE_SAYS),
    (PLATE, "MCA: 19.6A, MAX FUSE/HACR: 30A, COMP 14.1A RLA, FAN 1.2 FLA",
     {"minimum_circuit_ampacity": 19.6, "maximum_breaker": 30, "maximum_fuse": 30, "device_words": "fuse_or_hacr_breaker",
      "rated_load_current": 14.1, "fan_current": 1.2}),
    (PLATE, "19.6 mca/30 max fuse or breaker",
     {"minimum_circuit_ampacity": 19.6, "maximum_breaker": 30, "maximum_fuse": 30, "device_words": "fuse_or_breaker"}),
    (PLATE, "454B, 6 lb 2 oz, high 550 low 325", {"refrigerant": "R-454B", "factory_charge": 6.125,
     "design_pressure_high": 550, "design_pressure_low": 325}),
    (PLATE, "mca=21 max breaker 35 no bcsc 240v 60hz 1ph", {"minimum_circuit_ampacity": 21, "maximum_breaker": 35,
     "branch_selection_current": "none"}),
    (BREAKER, "40a dp brkr", {"rating": 40, "poles": 2, "kind": "breaker"}),
    (BREAKER, "2P 30 amp, HACR, main panel", {"poles": 2, "rating": 30, "hacr_marked": True, "place": "panel"}),
    (BREAKER, "breaker 35", {"kind": "breaker", "rating": 35}),
    (BREAKER, "30A fuses in the disconnect", {"rating": 30, "kind": "fuse", "place": "disconnect"}),
    (BREAKER, "single pole 20 panel 62 in high", {"poles": 1, "rating": 20, "place": "panel", "handle_height": 62}),
    (WIRE, "10/2 w/g romex 45' attic", {"size": "10", "wiring_method": "nm_cable", "length": 45, "place": "attic"}),
    (WIRE, "#10 thhn in lfnc, 6ft, outside", {"size": "10", "wiring_method": "flexible_raceway",
     "flexible_kind": "liquidtight_nonmetallic", "length": 6, "place": "outdoors"}),
    (WIRE, "6 AWG cu SER 60 ft basement", {"size": "6", "material": "copper", "wiring_method": "se_cable", "length": 60,
     "place": "indoors"}),
    (WIRE, "8ga, alum, emt, 20ft", {"size": "8", "material": "aluminum", "wiring_method": "raceway",
     "raceway_kind": "thin_metal", "length": 20}),
    (WIRE, "uf 12-2 80 ft buried 24 in", {"wiring_method": "uf_cable", "size": "12", "length": 80, "burial_depth": 24}),
    (VACUUM, "pulled to 280 microns, 10min 350, 20 min 390", {"level": 280, "decay_readings": [(10, 350), (20, 390)]}),
    (VACUUM, "410 after 15 min, start 250", {"decay_readings": [(15, 410)], "level": 250}),
    (CLEAR, "front 36 sides 12 top open above", {"clearance_service": 36, "clearance_coil": 12, "clearance_above": "none"}),
    (CLEAR, "30in service,18in back,5ft overhead", {"clearance_service": 30, "clearance_coil": 18, "clearance_above": 60}),
    (CLEAR, "24\",14\",60\"", {"clearance_service": 24, "clearance_coil": 14, "clearance_above": 60}),
    (TEST, "n2 300# 1hr, ended at 299", {"gas": "nitrogen", "pressure": 300, "hold": 60, "end_pressure": 299}),
    (TEST, "500psi nitrogen held 30 min left 500", {"pressure": 500, "gas": "nitrogen", "hold": 30, "end_pressure": 500}),
    (GAUGES, "suct 128psi 54f liq 318psi 97f od 88f", {"suction_pressure": 128, "suction_temperature": 54,
     "liquid_pressure": 318, "liquid_temperature": 97, "outdoor_dry_bulb": 88}),
    (GAUGES, "liquid 320/98, suction 130/52, outdoor 85, return 75/63", {"liquid_pressure": 320, "liquid_temperature": 98,
     "suction_pressure": 130, "suction_temperature": 52, "outdoor_dry_bulb": 85, "indoor_dry_bulb": 75, "indoor_wet_bulb": 63}),
    (AIR, "tesp .52 1150cfm ra 75/63 sa 55/53.5", {"external_static": 0.52, "total": 1150, "return_dry_bulb": 75,
     "return_wet_bulb": 63, "supply_dry_bulb": 55, "supply_wet_bulb": 53.5}),
    (AIR, "static 0.6 in wc, filter .12", {"external_static": 0.6, "filter_drop": 0.12}),
    (TUBES, "3/8 liq, 7/8 OD suction, 40ft long, 12 ft lift", {"liquid_size": 0.375, "vapor_size": 0.875, "length": 40,
     "lift": 12}),
    (DISCONNECT, "60a non-fused pullout 4 ft away", {"rating": 60, "kind": "pullout_unfused", "distance": 4}),
    (CAPACITOR, "45/5 mfd ±6%, measured 43.1/4.8", {"rated": 45, "fan_rated": 5, "tolerance": 6, "measured": 43.1,
     "fan_measured": 4.8}),
    (MANUAL, "sc 10 +/- 3, covers 15 ft, .6 oz per foot", {"subcooling_target": 10, "subcooling_tolerance": 3,
     "charge_included_length": 15, "charge_per_length": 0.6}),
]  # fmt: skip


@pytest.mark.parametrize(("of", "text", "says"), [*FIRST, *MORE], ids=[text for _, text, _ in (*FIRST, *MORE)])
def test_a_line_as_it_is_typed_is_read(of: Line, text: str, says: dict[str, Any]) -> None:
    read = read_line(of, text, VOCABULARY)
    assert (read.not_understood, read.unclear) == ((), ())
    assert said(read) == says


@pytest.mark.parametrize("told", LINES, ids=[told["example"] for told in LINES])
def test_the_example_of_a_line_is_read_whole(told: dict[str, Any]) -> None:
    of = line(next(iter(told["labels"])))
    of = of if of.example == told["example"] else _line_with(told)
    read = read_line(of, told["example"], VOCABULARY)
    assert (read.not_understood, read.unclear, read.aside) == ((), (), ())
    assert len(read.facts) > 1


def _line_with(told: dict[str, Any]) -> Line:
    found = line_of(VOCABULARY, list(told["labels"]))
    assert found is not None
    assert found.example == told["example"]
    return found


@pytest.mark.parametrize(
    ("of", "parts"),
    [
        (PLATE, ("MCA 19.6", "max 30", "RLA 14.1", "R-454B", "6 lb 2 oz")),
        (PLATE, ("19.6 MCA", "30 max", "14.1 RLA", "1.2 FLA")),
        (WIRE, ("8-2", "romex", "52 ft", "attic", "copper")),
        (TUBES, ("3/8 liquid", "3/4 suction", "35 ft long", "lift 10 ft")),
    ],
)
def test_the_order_and_the_commas_do_not_matter(of: Line, parts: tuple[str, ...]) -> None:
    wanted = said(read_line(of, ", ".join(parts), VOCABULARY))
    assert len(wanted) >= len(parts)
    for order in itertools.islice(itertools.permutations(parts), 0, None, 5):
        for between in (", ", ","):
            assert said(read_line(of, between.join(order), VOCABULARY)) == wanted, between.join(order)


@pytest.mark.parametrize(
    ("of", "text", "unclear"),
    [
        (PLATE, "14.1 A", (title("circuits.nameplate.minimum_circuit_ampacity"), title(RLA))),
        (VACUUM, "330 after 10 min 520", ("330 micron", "520 micron")),
        (BREAKER, "40 30", (title("circuits.devices.rating"),)),
        (WIRE, "conduit 52 ft", ("raceway", "flexible raceway")),
        (CLEAR, "24 front 30 front", ("24 in", "30 in")),
        (GAUGES, "liquid 98", (title("charge.liquid_pressure"), title("charge.liquid_temperature"))),
        (TUBES, "35 ft lift 10 ft", ("10 ft", "35 ft")),
    ],
)
def test_what_may_mean_two_things_is_told_and_not_taken(of: Line, text: str, unclear: tuple[str, ...]) -> None:
    read = read_line(of, text, VOCABULARY)
    told = " ".join(meaning for one in read.unclear for meaning in one.meanings)
    assert read.unclear
    assert all(word in told for word in unclear), told


@pytest.mark.parametrize(
    ("of", "text", "lost", "kept"),
    [
        (PLATE, "MCA 19.6 widget max 30", ("widget",), {"minimum_circuit_ampacity", "maximum_breaker", "maximum_fuse"}),
        (BREAKER, "40 breaker, blue handle 60 in", ("blue",), {"rating", "kind", "handle_height"}),
        (CLEAR, "24 front, plenty of room", ("plenty", "room"), {"clearance_service"}),
    ],
)
def test_a_word_not_understood_is_named_and_nothing_else_is_lost(
    of: Line, text: str, lost: tuple[str, ...], kept: set[str]
) -> None:
    read = read_line(of, text, VOCABULARY)
    assert read.not_understood == lost
    assert set(said(read)) == kept


@pytest.mark.parametrize("word", ["old", "existing"])
def test_what_no_fact_keeps_is_told(word: str) -> None:
    assert read_line(BREAKER, f"40 breaker {word}", VOCABULARY).aside == (word,)


PIECES = (
    "MCA max 19.6 30 RLA 14.1 A , 208/230 R-454B 6 lb oz # 8-2 NM-B ft attic 24 front -0.5 +/- ± after min 10 520 open above "
    "liquid psi F 75/63 / - 1-1/8 2p panel zzz @ ; .5 36k none"
)


@given(
    of=st.sampled_from([PLATE, BREAKER, WIRE, VACUUM, CLEAR, GAUGES]),
    pieces=st.lists(
        st.sampled_from(PIECES.split()),
        max_size=14,
    ),
    blank=st.booleans(),
)
def test_nothing_is_dropped_in_silence(of: Line, pieces: list[str], blank: bool) -> None:
    """Whatever is read can stand in a job, and a word that nobody knows is always told."""
    text = (" " if blank else "").join(pieces)
    read = read_line(of, text, VOCABULARY)
    for path, value in read.facts.items():
        evaluate(path, value)
    told = [*read.not_understood, *read.aside, *(one.text for one in read.unclear)]
    assert "zzz" not in text or any("zzz" in one for one in told), (text, read)
