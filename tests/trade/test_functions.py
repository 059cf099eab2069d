"""What every function that a rule may call has to say of itself, and that its declared directions are true."""

from __future__ import annotations

import inspect
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from nec_tables import RATINGS

from checker import trade
from checker.reading import units
from checker.trade.function import Function, OutOfRange

FUNCTIONS = trade.functions()
OTHER_KINDS = {"word", "flag", "date"}

# What the arguments of a kind are drawn from when a declared direction is tried, and the words some functions need.
DOMAINS = {
    "current": (0, 500), "voltage": (100, 500), "power": (1, 30_000), "capacitance": (1, 100), "number": (0, 0.9),
    "length": (0, 6000), "resistance": (0, 4), "mass": (0, 400), "date": (720_000, 740_000), "temperature": (-90, 300),
    "absolute_pressure": (8, 700), "gauge_pressure": (-14, 700), "temperature_difference": (-40, 60),
    "mass_per_length": (0, 3), "airflow": (0, 3000), "airflow_per_capacity": (0, 900), "specific_enthalpy": (0, 60),
    "humidity_ratio": (0, 0.05), "specific_volume": (11, 20), "duration": (0, 10_000),
}  # fmt: skip
WORDS = {
    "pressure_class": ("high_pressure", "medium_pressure"),
    "refrigerant": ("R-410A", "R-454B", "R-407C", "R-22"),
}  # fmt: skip
TABLES = {"standard_overcurrent_ratings": RATINGS, "holidays": tuple(range(719_990, 740_100, 9))}
MOVING = sorted(
    name
    for name, function in FUNCTIONS.items()
    if any(argument.moves for argument in function.arguments)
    and all(argument.kind in DOMAINS or argument.name in WORDS for argument in function.arguments)
)


@pytest.mark.parametrize("name", FUNCTIONS)
def test_a_function_says_what_it_takes_and_gives(name: str) -> None:
    function = FUNCTIONS[name]
    taken = len(function.arguments) + len(function.tables)
    required = [p for p in inspect.signature(function.compute).parameters.values() if p.default is p.empty]
    assert name == function.name
    assert taken == len(required)
    assert units.kinds() | OTHER_KINDS >= {function.result, *(argument.kind for argument in function.arguments)}
    assert all(argument.moves in (-1, 0, 1) for argument in function.arguments)


@pytest.mark.parametrize("name", FUNCTIONS)
def test_a_function_says_its_source(name: str) -> None:
    assert FUNCTIONS[name].source


def test_every_function_that_is_declared_is_gathered() -> None:
    """Also one in a module that nothing else imports; two of one name are refused where the second is declared."""
    declared = [
        name
        for path in Path(trade.__file__).parent.glob("*.py")
        for name in re.findall(r"^@rule_function\((?:.|\n)*?^def (\w+)\(", path.read_text("utf-8"), re.MULTILINE)
    ]
    assert sorted(declared) == sorted(FUNCTIONS)


@pytest.mark.parametrize("name", MOVING)
@given(data=st.data())
def test_declared_directions_are_true(name: str, data: st.DataObject) -> None:
    """Two draws of one argument, all others alike: the result moves as declared or not at all."""
    function = FUNCTIONS[name]
    given_values = [drawn(data, argument.name, argument.kind) for argument in function.arguments]
    place = data.draw(st.sampled_from([i for i, argument in enumerate(function.arguments) if argument.moves]))
    argument = function.arguments[place]
    low, high = sorted([given_values[place], drawn(data, argument.name, argument.kind)])
    lower, higher = (result(function, [*given_values[:place], end, *given_values[place + 1 :]]) for end in (low, high))
    if lower is not None and higher is not None:
        assert argument.moves * (higher - lower) >= -1e-9 * abs(lower)


def drawn(data: st.DataObject, name: str, kind: str) -> Any:
    if name in WORDS:
        return data.draw(st.sampled_from(WORDS[name]))
    low, high = DOMAINS[kind]
    return data.draw(st.integers(int(low), int(high)) if kind == "date" else st.floats(low, high))


def result(function: Function, values: list[Any]) -> float | None:
    try:
        return float(function.compute(*values, *(TABLES[table] for table in function.tables)))
    except OutOfRange:
        return None


def test_gathering_the_functions_imports_nothing_heavy() -> None:
    heavy = "{'CoolProp', 'numpy', 'pint', 'yaml', 'pydantic'}"
    script = f"import sys; from checker.trade import functions; functions(); print(sorted({heavy} & set(sys.modules)))"
    answer = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert "[]" == answer.stdout.strip()
