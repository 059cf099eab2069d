"""Single quantities against published figures and values computed apart. Each source stands beside its figures."""

from __future__ import annotations

import re

import pytest

from checker import calculators
from checker.reading import units

Texts = dict[str, str | tuple[str, ...] | None]


def value(quantity: str, line: str = "", **texts: str | tuple[str, ...]) -> float | str:
    """What a line of a working says (the last one where none is named), in base units."""
    lines = calculators.worked(calculators.QUANTITIES[quantity], texts)[1].lines
    return next(found.value for found in reversed(lines) if line in ("", found.name))


# --- refrigerant -----------------------------------------------------------------------------------------------------

# CoolProp 8.0.0 through PropsSI at sea level, computed apart: refrigerant, pressure, line temperature, difference in °F.
DIFFERENCES = [
    ("superheat", "R-410A", "118 psig", "50 °F", 10.157), ("subcooling", "R-410A", "340 psig", "95 °F", 9.607),
    ("superheat", "R-454B", "107.5 psig", "50 °F", 9.993), ("subcooling", "R-32", "325.7 psig", "90 °F", 10.006),
    ("superheat", "R-22", "68.5 psig", "50 °F", 10.041), ("subcooling", "R-22", "196 psig", "90 °F", 10.03),
    ("superheat", "R-407C", "63.2 psig", "50 °F", 9.97),
]  # fmt: skip


@pytest.mark.parametrize(("quantity", "name", "pressure", "line", "expected"), DIFFERENCES)
def test_subcooling_and_superheat(quantity: str, name: str, pressure: str, line: str, expected: float) -> None:
    found = value(quantity, refrigerant=name, pressure=pressure, temperature=line, elevation="0 ft")
    assert expected == pytest.approx(found, abs=0.02)


def test_elevation_and_barometer_are_two_ways_to_one_answer() -> None:
    """Standard atmosphere at 5,000 ft: 12.2278 psia, 24.896 inHg (ASHRAE Fundamentals 2017, chapter 1, table 1)."""
    texts = {"refrigerant": "R-410A", "pressure": "340 psig", "temperature": "95 °F"}
    high, read = (
        value("subcooling", **texts, **place) for place in ({"elevation": "5000 ft"}, {"barometer": "24.896 inHga"})
    )
    assert high == pytest.approx(read, abs=0.002)
    sea = value("subcooling", **texts)
    assert 0.52 == pytest.approx(float(sea) - float(high), abs=0.02)  # CoolProp 8.0.0, computed apart


def test_sea_level_is_said_where_it_was_only_taken() -> None:
    texts: Texts = {"refrigerant": "R-410A", "pressure": "340 psig", "temperature": "95 °F"}
    assert "Sea level assumed" in calculators.compute("subcooling", texts)
    assert "Sea level assumed" not in calculators.compute("subcooling", {**texts, "elevation": "0 ft"})


def test_saturation_both_ways() -> None:
    """Source: a maker's sample calculation, R-407C at 300 psig: 120.3 °F bubble (Liebert Challenger 3000)."""
    assert 120.3 == pytest.approx(
        value("saturation", "bubble point", refrigerant="R-407C", pressure="300 psig"), abs=0.2
    )
    # R-407C at 20 °C: bubble 10.38, dew 8.80 bar absolute (REFPROP, as printed in the tests of a public library).
    texts = {"refrigerant": "R-407C", "temperature": "20 °C"}
    for line, bars in (("bubble point, absolute", 10.38), ("dew point, absolute", 8.80)):
        assert bars == pytest.approx(float(value("saturation", line, **texts)) * 0.0689476, abs=0.01)


def test_a_bridged_gap_of_the_model_is_said() -> None:
    assert "Interpolated" in calculators.compute("saturation", {"refrigerant": "R-454B", "temperature": "135 °F"})


def test_below_zero_is_said_to_be_no_subcooling() -> None:
    said = calculators.compute("subcooling", {"refrigerant": "R-410A", "pressure": "300 psig", "temperature": "110 °F"})
    assert "there is no subcooling" in said


def test_target_superheat() -> None:
    """Source: a maker's charging table, outdoors 95 °F, wet bulb 68 °F (Lennox 14ACX manual, page 26)."""
    assert 14 == value("target-superheat", indoor_wet_bulb="68 °F", outdoor_dry_bulb="35 °C")


def test_line_set_charge() -> None:
    """Source: Unico IS18G050 manual, 60 ft of which 40 are charged, 0.16 oz/ft: 3.2 oz."""
    found = value("line-set-charge", length="60 ft", included_length="40 ft", mass_per_length="0.16 oz/ft")
    assert 3.2 / 16 == pytest.approx(found)


@pytest.mark.parametrize(
    ("name", "charge", "made", "inches"),
    [
        ("R-410A", "8 lb", "2020-01-01", "0 inHg vacuum"),
        ("R-22", "200 lb", "1993-11-14", "4 inHg vacuum"),
        ("R-134a", "8 lb", "1993-11-14", "4 inHg vacuum"),
        ("R-134a", "8 lb", "1993-11-15", "10 inHg vacuum"),
        ("R-134a", "100 kg", "2020-01-01", "15 inHg vacuum"),
    ],
)
def test_recovery_levels(name: str, charge: str, made: str, inches: str) -> None:
    """Source: 40 CFR 82.156(a), Table 1; classes 40 CFR 82.152 (read second hand)."""
    said = calculators.compute("recovery-level", {"refrigerant": name, "charge": charge, "machine_made": made})
    assert re.search(rf"recovery level = {inches} ", said)


# --- tightness and air -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("start", "first", "last", "expected"),
    [
        (150, 60, 90, 159.777),
        (300, 60, 90, 319.150),
        (500, 60, 90, 532.335),
        (150, 90, 60, 140.784),
        (500, 90, 60, 469.712),
    ],
)
def test_nitrogen(start: float, first: float, last: float, expected: float) -> None:
    """Source: CoolProp 8.0.0, constant density, computed apart. Ratios of gauge pressures are off by 1 psi and more."""
    texts = {"start_pressure": f"{start} psig", "start_temperature": f"{first} °F", "end_temperature": f"{last} °F"}
    assert expected == pytest.approx(value("pressure-test", **texts), abs=0.02)
    assert expected - 400 == pytest.approx(value("pressure-test", **texts, end_pressure="400 psig"), abs=0.02)


def test_a_straight_rise_has_its_slope() -> None:
    """By hand: 300 micron and 40 more each minute, for 20 minutes."""
    readings = tuple(f"{minute}:{300 + 40 * minute}" for minute in range(0, 21, 5))
    micron = units.to_base(1, units.all_units()["pressure_difference", "micron_rise"])
    assert 40 * micron == pytest.approx(value("decay", "rise in a minute", readings=readings, coldest="70 °F"))
    assert 800 * micron == pytest.approx(value("decay", "rise", readings=readings, coldest="70 °F"))
    assert "leak" == value("decay", readings=readings, coldest="70 °F")


def test_water_can_hold_so_much() -> None:
    """Source: CoolProp water at 70 °F: 18,791 micron."""
    micron = units.to_base(1, units.all_units()["absolute_pressure", "micron"])
    found = value("decay", "most that water can hold", readings=("0:300", "5:300"), coldest="70 °F")
    assert 18_791 == pytest.approx(float(found) / micron, abs=10)


@pytest.mark.parametrize(
    ("readings", "said"),
    [
        (("0:300", "5:302", "10:304", "15:305", "20:305"), "no sign of a leak"),
        (("0:300", "5:900", "10:1150", "15:1200", "20:1210"), "looks like moisture"),
        (("0:300", "5:500", "10:700", "15:900", "20:1100"), "looks like a leak"),
        (("0:300", "1:310"), "don't tell"),
    ],
)
def test_a_shape_is_a_hint_and_said_to_be(readings: tuple[str, ...], said: str) -> None:
    text = " ".join(calculators.compute("decay", {"readings": readings, "coldest": "70 °F"}).split())
    assert said in text
    assert "a hint and never a proof" in text


STATES = {
    "entering_dry_bulb": "80 °F",
    "entering_wet_bulb": "67 °F",
    "leaving_dry_bulb": "58 °F",
    "leaving_wet_bulb": "57 °F",
}
BTU_PER_HOUR = 0.29307107


@pytest.mark.parametrize(("airflow_is", "expected"), [("standard", 38_029), ("leaving", 38_274)])
def test_total_capacity(airflow_is: str, expected: float) -> None:
    """1,200 cfm, computed apart: by the 4.5 rule in standard air, and by CoolProp with the density of the leaving air."""
    found = value("capacity", airflow="1200 cfm", airflow_is=airflow_is, **STATES)
    assert expected == pytest.approx(float(found) / BTU_PER_HOUR, rel=0.004)


def test_a_published_capacity() -> None:
    """Source: a coil maker's example, 1,200 cfm of 13.653 ft³/lb, 75/60 to 55/54 °F, 3.74 Btu/lb (its difference is right)."""
    texts = {"entering_dry_bulb": "75", "entering_wet_bulb": "60", "leaving_dry_bulb": "55", "leaving_wet_bulb": "54"}
    found = value("capacity", airflow="1200", airflow_is="entering", **texts)
    assert 60 * 1200 / 13.653 * 3.74 == pytest.approx(float(found) / BTU_PER_HOUR, rel=0.01)


# --- circuits --------------------------------------------------------------------------------------------------------

# NEC tables put together by hand; sources beside them. 90 °C insulation.
CONDUCTORS: list[tuple[dict[str, str], float]] = [
    ({"size": "8", "wiring_method": "raceway", "terminals": "rated_75c"}, 50),  # trade press question on the NEC
    ({"size": "10", "wiring_method": "nm_cable"}, 30),  # forum example, refused for 31.5 A
    ({"size": "12", "wiring_method": "mc_cable", "terminals": "rated_75c"}, 25),  # inspectors' forum
    ({"size": "6", "wiring_method": "nm_cable"}, 55),  # forum example, refused for 58 A
    ({"size": "6", "wiring_method": "raceway", "terminals": "rated_75c"}, 65),  # table 310.16
    ({"size": "12", "wiring_method": "raceway", "terminals": "rated_75c", "ambient": "52 °C"}, 22.8),  # 30 x 0.76
    ({"size": "10", "wiring_method": "raceway", "terminals": "rated_75c", "ambient": "38 °C", "together": "4"}, 29.12),
    ({"size": "12", "wiring_method": "nm_cable", "together": "8"}, 20),  # forum example: 30 x 0.70, held to 20
    ({"size": "12", "wiring_method": "nm_cable", "together": "10"}, 15),  # forum example: 30 x 0.50
]


@pytest.mark.parametrize(("texts", "expected"), CONDUCTORS)
@pytest.mark.parametrize("edition", ["2014", "2023"])
def test_conductors(texts: dict[str, str], expected: float, edition: str) -> None:
    assert expected == pytest.approx(value("conductor", **texts, insulation="rated_90c", edition=edition))


def test_unknown_terminals_give_both_answers() -> None:
    """Table 310.16, 10 AWG copper: 30 A in the 60 °C column, 35 A in the 75 °C one."""
    texts = {"size": "10", "wiring_method": "raceway", "insulation": "rated_90c", "edition": "2023"}
    lines = calculators.worked(calculators.QUANTITIES["conductor"], texts)[1].lines
    assert [30, 35] == [line.value for line in lines if line.name == "ampacity"]
    assert "there are two answers" in calculators.compute("conductor", texts)
    assert "two answers" not in calculators.compute("conductor", {**texts, "terminals": "rated_75c"})


@pytest.mark.parametrize(
    ("current", "edition", "below", "above", "standard"),
    [
        ("38.7 A", "2020", 35, 40, "no"), ("44.7 A", "2020", 40, 45, "no"), ("53.75 A", "2020", 50, 60, "no"),
        ("20.1 A", "2020", 20, 25, "no"), ("50 A", "2020", 50, 50, "yes"), ("55 A", "2023", 50, 60, "no"),
        ("10 A", "2020", "none", 15, "no"), ("10 A", "2023", 10, 10, "yes"),
    ],
)  # fmt: skip
def test_standard_ratings(current: str, edition: str, below: float | str, above: float, standard: str) -> None:
    """Source: NEC 240.6(A); 10 A is new in 2023."""
    texts = {"current": current, "edition": edition}
    assert below == value("overcurrent", "largest not above", **texts)
    assert above == value("overcurrent", "smallest not below", **texts)
    assert standard == value("overcurrent", "itself a standard rating", **texts)


# Published plates, single phase 208/230 V: rated load current, other currents, printed ampacity, printed largest device
# (Carrier 48SS and 38YDA manuals). Plates that print less than the formulas give are left out: the plate governs.
PLATES = [
    (7.6, 2.5, 12.0, 15), (12.4, 2.7, 18.2, 30), (18.0, 4.2, 26.7, 40), (20.4, 5.4, 30.9, 50), (26.4, 7.1, 40.1, 60),
    (17.6, 1.5, 23.5, 40), (23.6, 1.5, 31.0, 50),
]  # fmt: skip


@pytest.mark.parametrize(("rated", "others", "ampacity", "device"), PLATES)
def test_published_plates(rated: float, others: float, ampacity: float, device: float) -> None:
    texts = {"rated_load_current": f"{rated} A", "others": f"{others} A", "edition": "2020"}
    assert ampacity == pytest.approx(value("circuit", "minimum circuit ampacity", **texts), abs=0.051)
    assert device == value("circuit", "largest device", **texts)


def test_a_switch_and_a_marked_selection_current() -> None:
    """NEC 440.12: 1.15 x (24.1 + 1.4) = 29.325. NEC 440.22 with 40 A of selection current: 70 A (trade press quiz)."""
    plate = {"rated_load_current": "24.1", "others": "1.4", "edition": "2023"}
    assert 29.325 == pytest.approx(value("circuit", "least switch rating", **plate))
    marked = {"rated_load_current": "36", "branch_selection_current": "40 A", "others": "0", "edition": "2023"}
    assert 70 == value("circuit", "device to try first", **marked)


@pytest.mark.parametrize(
    ("power", "rated", "supply", "blower", "current", "ampacity", "device"),
    [
        ("9.6 kW", "240 V", None, "3 A", 40, 53.75, 60),  # trade newsletter's worked example
        ("5 kW", "240 V", None, "0.7 A", 20.8, 26.9, 30),  # an air handler's published heat table, as the rest
        ("8 kW", "240 V", None, "0.7 A", 33.3, 42.5, 45),
        ("10 kW", "240 V", None, "0.65 A", 41.7, 52.9, 60),
        ("10 kW", "240 V", "208 V", "0.65 A", 36.1, 45.9, 50),
        ("5 kW", "240 V", "208 V", "0.7 A", 18.05, 23.4, 25),
    ],
)
def test_heat_kits(
    power: str, rated: str, supply: str | None, blower: str, current: float, ampacity: float, device: float
) -> None:
    texts = {"rated_power": power, "rated_voltage": rated, "blower": blower, "edition": "2020"}
    texts |= {"supply_voltage": supply} if supply else {}
    assert current == pytest.approx(value("heat-kit", "heater current", **texts), abs=0.06)
    assert ampacity == pytest.approx(value("heat-kit", "circuit ampacity", **texts), abs=0.06)
    assert device == value("heat-kit", **texts)
