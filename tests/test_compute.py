"""Single quantities in any unit, with every mistake said, and the commands made of them. Figures: test_compute_figures."""

from __future__ import annotations

import re

import pytest
from click.testing import CliRunner, Result

from checker import calculators
from checker.calculators.quantity import SHOWS, Input, Values
from checker.calculators.recorded_as import FACTS
from checker.cli import main
from checker.problems.problem import ProblemsFound
from checker.reading import units
from checker.reading.job_schema import job_vocabulary
from checker.trade.function import OutOfRange

Texts = dict[str, str | tuple[str, ...] | None]


def changeout(*words: str) -> Result:
    return CliRunner().invoke(main, ["compute", *words])


# --- units -----------------------------------------------------------------------------------------------------------

STATES = {
    "entering_dry_bulb": "80 °F",
    "entering_wet_bulb": "67 °F",
    "leaving_dry_bulb": "58 °F",
    "leaving_wet_bulb": "57 °F",
}
# The same readings for each quantity, in US units, complete.
READINGS: dict[str, dict[str, str | tuple[str, ...]]] = {
    "saturation": {"refrigerant": "R-410A", "pressure": "118 psig", "elevation": "1000 ft"},
    "subcooling": {"refrigerant": "R-410A", "pressure": "340 psig", "temperature": "95 °F", "elevation": "1000 ft"},
    "superheat": {"refrigerant": "R-454B", "pressure": "107.5 psig", "temperature": "50 °F", "barometer": "29.5 inHga"},
    "target-superheat": {"indoor_wet_bulb": "67 °F", "outdoor_dry_bulb": "91 °F"},
    "line-set-charge": {"length": "60 ft", "included_length": "40 ft", "mass_per_length": "0.16 oz/ft"},
    "recovery-level": {"refrigerant": "R-134a", "charge": "8 lb", "machine_made": "2020-01-01"},
    "pressure-test": {"start_pressure": "500 psig", "start_temperature": "60 °F", "end_temperature": "90 °F",
                      "end_pressure": "530 psig"},
    "decay": {"readings": ("0:300 micron", "5:500 micron", "10:700 micron"), "coldest": "70 °F"},
    "capacity": {"airflow": "1200 cfm", "airflow_is": "entering", **STATES},
    "conductor": {"size": "10", "wiring_method": "raceway", "insulation": "rated_90c", "edition": "2023", "ambient": "100 °F"},
    "overcurrent": {"current": "38.7 A", "edition": "2023"},
    "circuit": {"rated_load_current": "24.1 A", "others": "1.4 A", "edition": "2023"},
    "heat-kit": {"rated_power": "9600 W", "rated_voltage": "240 V", "edition": "2023"},
}  # fmt: skip


def in_si(shows: str, text: str) -> str:
    """A reading in the other system, to all digits."""
    if shows not in SHOWS:
        return text
    kind, (us, _), (si, _) = SHOWS[shows]
    base = units.read_amount(text, kind, us)[0]
    return f"{units.from_base(base, units.all_units()[kind, si])!r} {units.shown(si)}"


@pytest.mark.parametrize("name", calculators.QUANTITIES)
@pytest.mark.long
def test_si_in_is_us_in(name: str) -> None:
    quantity = calculators.QUANTITIES[name]
    other: Texts = {}
    for wanted in quantity.inputs:
        if (text := READINGS[name].get(wanted.name)) is not None:
            other[wanted.name] = in_si(wanted.shows, text) if isinstance(text, str) else in_pascals(text)
    lines = (calculators.worked(quantity, texts)[1].lines for texts in (READINGS[name], other))
    for us, si in zip(*lines, strict=True):
        assert us.name == si.name
        assert us.value == (si.value if isinstance(si.value, str) else pytest.approx(si.value, rel=1e-6, abs=1e-6))


def in_pascals(readings: tuple[str, ...]) -> tuple[str, ...]:
    parts = (reading.partition(":") for reading in readings)
    return tuple(f"{float(minute) * 60} s:{in_si('vacuum', level)}" for minute, _, level in parts)


@pytest.mark.parametrize("name", calculators.QUANTITIES)
def test_a_plain_number_is_in_the_unit_that_help_names(name: str) -> None:
    quantity = calculators.QUANTITIES[name]
    plain: Texts = {}
    for wanted in quantity.inputs:
        text = READINGS[name].get(wanted.name)
        unit = units.shown(SHOWS[wanted.shows].us[0]) if wanted.shows in SHOWS else ""
        if isinstance(text, str) and unit and text.endswith(f" {unit}"):
            assert f"[{unit}]" in calculators.help_of(wanted)
            text = text.removesuffix(f" {unit}")
        plain[wanted.name] = text
    assert calculators.worked(quantity, READINGS[name])[1] == calculators.worked(quantity, plain)[1]


def test_si_out() -> None:
    """340 psig is 2344 kPa, 95 °F is 35 °C, and 9.6 °F of difference are 5.3 °C, by hand."""
    said = calculators.compute("subcooling", READINGS["subcooling"], si=True)
    assert re.search(r"pressure += 2344 kPa gauge ", said)
    assert re.search(r"temperature += 35 °C ", said)
    assert re.search(r"subcooling += 5\.\d °C ", said)
    assert "psi" not in said


@pytest.mark.parametrize("name", calculators.QUANTITIES)
@pytest.mark.parametrize("system", ["us", "si"])
def test_every_output_shows_its_working_and_who_decides(name: str, system: str) -> None:
    said = calculators.compute(name, READINGS[name], si=system == "si")
    *_, last = said.splitlines()
    assert last == calculators.DEFERRAL
    assert "authority having jurisdiction decides" in last
    assert "Caution: " in said
    assert len(re.findall(r"^  \S.* = \S+.*   \S", said, re.MULTILINE)) >= len(READINGS[name])
    assert not re.search(r"approved|complian|certified", said, re.IGNORECASE)


# --- mistakes --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "change", "where", "said"),
    [
        ("subcooling", {"pressure": "340 psia"}, "--pressure", "'psia' is a unit of absolute pressure"),
        ("subcooling", {"pressure": "340 bananas"}, "--pressure", "'bananas' is not a unit of gauge pressure"),
        ("subcooling", {"pressure": "high"}, "--pressure", "'high' is not a number"),
        ("subcooling", {"pressure": "1e300 psig"}, "--pressure", "too large to be an amount"),
        ("subcooling", {"pressure": None}, "--pressure", "This is missing"),
        ("subcooling", {"refrigerant": "R-410F"}, "--refrigerant", "Did you mean 'R-410A'?"),
        ("subcooling", {"refrigerant": "r454"}, "--refrigerant", "Did you mean 'R-454A' or 'R-454B' or 'R-454C'?"),
        ("subcooling", {"refrigerant": "R-513B"}, "--refrigerant", "Did you mean 'R-513A'?"),
        ("subcooling", {"refrigerant": "helium-3"}, "--refrigerant", "Write its number"),
        (
            "subcooling",
            {"pressure": "900 psig"},
            "subcooling",
            "no bubble point at 914.2 psia: its critical pressure is",
        ),
        ("subcooling", {"pressure": "-20 psig"}, "--pressure", "less than this can be: -14.7 psig"),
        ("subcooling", {"refrigerant": "R-401A"}, "subcooling", "knows the parts of R-401A and has no model of"),
        (
            "saturation",
            {"refrigerant": "R-744", "pressure": None, "temperature": "100 °F"},
            "saturation",
            "R-744 has no bubble point at 100 °F: its critical temperature is 87.76 °F",
        ),
        (
            "saturation",
            {"refrigerant": "R-114", "pressure": None, "temperature": "10 °F"},
            "saturation",
            "model of R-114 begins",
        ),
        ("recovery-level", {"refrigerant": "R-410B"}, "--refrigerant", "Did you mean 'R-410A'?"),
        ("saturation", {"temperature": "40 °F"}, "saturation", "Give --pressure or --temperature"),
        ("target-superheat", {"indoor_wet_bulb": "55 °F"}, "target-superheat", "Do not charge by superheat"),
        ("recovery-level", {"machine_made": "last year"}, "--machine-made", "not a date"),
        ("recovery-level", {"refrigerant": "R-466A"}, "--refrigerant", "'R-466A' is not one of them"),
        ("decay", {"readings": ("300",)}, "MIN:LEVEL", "not a time and a reading"),
        ("decay", {"readings": ("5:300", "0:310")}, "decay", "do not go forward"),
        ("capacity", {"leaving_wet_bulb": "60 °F"}, "capacity", "above the dry bulb"),
        ("conductor", {"edition": "2019"}, "conductor", "no edition '2019'"),
        ("conductor", {"size": "14", "material": "aluminum"}, "conductor", "no ampacity for 14 AWG aluminum"),
        ("conductor", {"ambient": "200 °F"}, "conductor", "too hot for the insulation"),
        ("heat-kit", {"rated_voltage": "0 V"}, "heat-kit", "not above zero"),
        ("circuit", {"others": "-1 A"}, "--others", "below zero"),
    ],
)
def test_what_is_wrong_is_said_in_trade_words(name: str, change: Texts, where: str, said: str) -> None:
    with pytest.raises(ProblemsFound) as raised:
        calculators.compute(name, {**READINGS[name], **change})
    (problem,) = raised.value.problems
    assert where == str(problem.where)
    assert said in f"{problem.what} {problem.hint}"
    assert problem.hint


def test_all_mistakes_are_said_at_once() -> None:
    with pytest.raises(ProblemsFound) as raised:
        calculators.compute("subcooling", {"refrigerant": "R-410A", "pressure": "340 °F"})
    assert ["--pressure", "--temperature"] == [str(problem.where) for problem in raised.value.problems]


def test_a_table_that_an_edition_does_not_have_is_refused() -> None:
    work = calculators.QUANTITIES["overcurrent"].work
    values: Values = {"current": 10.0, "edition": "1899"}
    with pytest.raises(OutOfRange, match="1899"):
        work(values)


# --- the command -----------------------------------------------------------------------------------------------------


def test_help_lists_every_quantity_with_its_whole_meaning() -> None:
    said = changeout("--help").output
    for quantity in calculators.QUANTITIES.values():
        assert re.search(rf"{quantity.name} +{re.escape(quantity.meaning)}\n", said)


@pytest.mark.parametrize("name", calculators.QUANTITIES)
def test_help_of_a_quantity_names_every_input(name: str) -> None:
    run = changeout(name, "--help")
    assert 0 == run.exit_code
    for wanted in calculators.QUANTITIES[name].inputs:
        assert wanted.option in run.output


@pytest.mark.parametrize("name", calculators.QUANTITIES)
def test_the_command_says_what_the_function_says(name: str) -> None:
    words: list[str] = [name, "--units", "si"]
    for wanted in calculators.QUANTITIES[name].inputs:
        text = READINGS[name].get(wanted.name)
        words += [wanted.option, text] if isinstance(text, str) else list(text or ())
    run = changeout(*words)
    assert 0 == run.exit_code, run.output
    assert calculators.compute(name, READINGS[name], si=True) == run.output


def test_below_zero_can_be_typed() -> None:
    run = changeout("saturation", "--refrigerant", "r410a", "--temperature", "-12 °F")
    assert 0 == run.exit_code, run.output
    assert "-12 °F" in run.output


@pytest.mark.parametrize(
    "words", [("subcooling",), ("warmth",), ("subcooling", "--pressure", "340 kelvin"), ("decay", "--x")]
)
def test_wrong_usage_ends_with_2(words: tuple[str, ...]) -> None:
    run = changeout(*words)
    assert 2 == run.exit_code
    assert run.exception is None or isinstance(run.exception, SystemExit)


AMOUNTS = [
    (quantity.name, wanted) for quantity in calculators.QUANTITIES.values() for wanted in quantity.inputs
    if wanted.shows in SHOWS or wanted.shows == "readings"
]  # fmt: skip
OF_ANY_REFRIGERANT = {("saturation", "pressure"), ("saturation", "temperature")}
SIGNED = {"elevation", "temperature", "indoor_wet_bulb", "outdoor_dry_bulb", "start_temperature", "end_temperature", "coldest",
          "pressure", "ambient", "entering_dry_bulb", "entering_wet_bulb", "leaving_dry_bulb", "leaving_wet_bulb"}  # fmt: skip


@pytest.mark.parametrize(("name", "wanted"), AMOUNTS, ids=lambda one: one if isinstance(one, str) else one.name)
def test_an_amount_is_one_that_a_fact_of_a_job_can_be(name: str, wanted: Input) -> None:
    """Nothing but temperatures, heights and gauge pressures is below zero: the meaning of the words."""
    fact = FACTS[name].get(wanted.name, "")
    assert fact in job_vocabulary().leaves or (name, wanted.name) in OF_ANY_REFRIGERANT
    if wanted.name not in SIGNED:
        less = ("0:-300", "5:-200") if wanted.shows == "readings" else "-1"
        with pytest.raises(ProblemsFound, match=r"below zero|less than this can be"):
            calculators.compute(name, {**READINGS[name], wanted.name: less})


def test_what_is_far_from_usual_is_told() -> None:
    said = calculators.compute("capacity", {**READINGS["capacity"], "airflow": "4000 cfm"})
    assert "Look again: 4000 cfm. 0 cfm to 3000 cfm is usual." in said


def test_more_sensible_heat_than_heat_in_all_is_told() -> None:
    """Air that leaves with more water than it entered with: it was not cooled and dried (ASHRAE Fundamentals, psychrometrics)."""
    swapped = {"entering_wet_bulb": "55 °F", "leaving_wet_bulb": "54 °F"}
    assert "sensible capacity can't be more than total" in calculators.compute(
        "capacity", {**READINGS["capacity"], **swapped}
    )
    assert "does not take out more sensible" not in calculators.compute("capacity", READINGS["capacity"])


@pytest.mark.parametrize("text", ["-310 micron", "0,500 micron", "12,50 micron", "900000 micron"])
def test_a_vacuum_that_cannot_be_is_refused(text: str) -> None:
    with pytest.raises(ProblemsFound):
        calculators.compute("decay", {"readings": (f"0:{text}", "5:300"), "coldest": "70 °F"})
