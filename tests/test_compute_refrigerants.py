"""What `changeout compute` asks CoolProp about refrigerants: held against judging's curves and against published points."""

from __future__ import annotations

import subprocess
import sys

import pytest
from click.testing import CliRunner

from checker.calculators import equations_of_state
from checker.calculators.equations_of_state import designation, saturation_pressure, saturation_temperature
from checker.cli import main
from checker.reading import units
from checker.trade import saturation
from checker.trade.function import OutOfRange
from tests.support import coolprop

ATMOSPHERE = 14.696  # psia
WITHIN = 0.01  # °F: what the curves that judging reads state of themselves
CURVES = ("bubble", "dew")


FEW = ("R-32", *(pytest.param(name, marks=pytest.mark.long) for name in saturation.refrigerants() if name != "R-32"))


@pytest.mark.parametrize("name", FEW)
@pytest.mark.parametrize("which", CURVES)
def test_compute_and_judging_agree_over_the_whole_range(name: str, which: str) -> None:
    """Between the nodes of the curve and at its ends, both ways."""
    curve = saturation.curve(name, which)
    highest = saturation.pressure_at(curve, 150)
    for temperature in (-60.0, *(start / 2 for start in range(-119, 300, 13)), 150.0):
        pressure = saturation.pressure_at(curve, temperature)
        assert temperature == pytest.approx(saturation_temperature(name, which, pressure).value, abs=WITHIN)
        asked = saturation_pressure(name, which, temperature).value
        assert temperature == pytest.approx(saturation.temperature_at(curve, min(asked, highest)), abs=WITHIN)


def test_both_ask_the_same_model() -> None:
    for name, fluid in coolprop.make_curves.FLUIDS.items():
        assert (name, fluid) == equations_of_state._known()[equations_of_state._plain(name)]


# Saturation of refrigerants that no rule judges: °C and bar absolute, to so many °C.
# Water: the steam tables (99.606 °C at 1 bar, 179.886 °C at 10 bar). Carbon dioxide: 0 °C at 34.85 bar, -20 °C at 19.70.
# The rest: normal boiling, bubble and dew points of ASHRAE 34. All from memory.
PUBLISHED = [
    ("R-718", "dew", 1.0, 99.606, 0.01), ("R-718", "dew", 10.0, 179.886, 0.01),
    ("R-744", "dew", 34.85, 0.0, 0.05), ("R-744", "bubble", 19.70, -20.0, 0.1),
    ("R-290", "dew", 1.01325, -42.1, 0.1), ("R-600a", "dew", 1.01325, -11.7, 0.2), ("R-717", "dew", 1.01325, -33.3, 0.1),
    ("R-1234yf", "dew", 1.01325, -29.5, 0.1), ("R-12", "dew", 1.01325, -29.8, 0.1), ("R-123", "dew", 1.01325, 27.8, 0.1),
    ("R-1234ze(E)", "dew", 1.01325, -19.0, 0.1), ("R-125", "dew", 1.01325, -48.1, 0.1), ("R-152a", "dew", 1.01325, -24.0, 0.1),
    ("R-507A", "bubble", 1.01325, -46.7, 0.5), ("R-448A", "bubble", 1.01325, -45.9, 0.7), ("R-448A", "dew", 1.01325, -39.8, 0.7),
    ("R-407F", "bubble", 1.01325, -46.1, 0.7), ("R-407F", "dew", 1.01325, -39.7, 0.7), ("R-513A", "bubble", 1.01325, -29.2, 0.7),
    ("R-502", "bubble", 1.01325, -45.2, 0.7), ("R-422D", "bubble", 1.01325, -43.2, 0.7), ("R-422D", "dew", 1.01325, -38.4, 0.7),
]  # fmt: skip


@pytest.mark.parametrize(("name", "which", "bar", "celsius", "within"), PUBLISHED)
def test_refrigerants_that_no_rule_judges(name: str, which: str, bar: float, celsius: float, within: float) -> None:
    found = saturation_temperature(designation(name), which, bar * 14.503773773)
    assert celsius == pytest.approx((found.value - 32) / 1.8, abs=within)
    back = saturation_pressure(name, which, celsius * 1.8 + 32)
    assert bar == pytest.approx(back.value / 14.503773773, rel=0.05 * within + 1e-3)


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("R-410A", "R-410A"), ("r410a", "R-410A"), ("R 410 A", "R-410A"), ("R134A", "R-134a"), ("r-600A", "R-600a"),
        ("propane", "R-290"), ("Ammonia", "R-717"), ("CO2", "R-744"), ("R1234yf", "R-1234yf"), ("R1234ZE", "R-1234ze(E)"),
        ("r454b", "R-454B"), ("R-507A", "R-507A"), ("r-c318", "R-C318"),
    ],
)  # fmt: skip
def test_a_refrigerant_is_known_however_it_is_written(written: str, expected: str) -> None:
    """Designations as ASHRAE 34 writes them."""
    assert expected == designation(written)


def test_every_refrigerant_gives_an_answer_or_says_why_not() -> None:
    answered, silent = set(), {}
    for name in sorted({name for name, _ in equations_of_state._known().values()}):
        assert name == designation(name)
        try:
            bubble, dew = (saturation_pressure(name, which, 40.0).value for which in CURVES)
        except OutOfRange as error:
            silent[name] = str(error)
        else:
            answered.add(name)
            assert 0 < dew <= bubble * (1 + 1e-6)
    assert [] == [name for name, why in silent.items() if name not in why]
    assert len(answered) > 150
    assert set(saturation.refrigerants()) <= answered


def test_an_answer_that_does_not_lead_back_is_not_given() -> None:
    """At 157.9 psia CoolProp 8.0.0 gives a dew point of R-504 from which it gives another pressure: 15 °F too high."""
    pressure = saturation_pressure("R-504", "dew", 40.0).value
    with pytest.raises(OutOfRange, match=r"finds no dew point of R-504 at 157\.9 psia"):
        saturation_temperature("R-504", "dew", pressure)


# --- loading CoolProp ------------------------------------------------------------------------------------------------


def test_without_coolprop_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    equations_of_state._known.cache_clear()
    monkeypatch.setitem(sys.modules, "CoolProp.CoolProp", None)
    run = CliRunner().invoke(main, ["compute", "saturation", "--refrigerant", "R-410A", "--pressure", "118 psig"])
    assert (2, "") == (run.exit_code, run.stdout)
    assert "--refrigerant\n  CoolProp, which knows the refrigerants, cannot be loaded" in run.stderr
    assert "pip install 'coolprop==8.0.*'" in run.stderr


@pytest.mark.parametrize(
    "words",
    [
        ("compute", "--help"),
        ("compute", "superheat", "--help"),
        ("compute", "overcurrent", "--current", "38", "--edition", "2023"),
    ],
)
def test_coolprop_is_loaded_only_to_be_asked(words: tuple[str, ...]) -> None:
    script = (
        "import sys, checker.cli\ntry: checker.cli.main(sys.argv[1:])\n"
        "finally: print('CoolProp' in sys.modules, file=sys.stderr)"
    )
    run = subprocess.run([sys.executable, "-c", script, *words], capture_output=True, text=True, timeout=120)
    assert "False" == run.stderr.strip()
    assert run.stdout


def test_a_unit_error_is_what_a_missing_library_is_told_by(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "CoolProp.CoolProp", None)
    with pytest.raises(units.UnitError):
        equations_of_state.made_by()
