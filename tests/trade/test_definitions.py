"""What a function of the trade says of itself as data leads a reader that has nothing else to the same result.

The reader here knows arithmetic, rows, axes and cubic pieces. It calls nothing of `checker.trade` but for the comparison.
"""

from __future__ import annotations

import ast
import datetime
import json
import math
import operator
from collections.abc import Callable
from importlib import resources
from itertools import pairwise, product
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from nec_tables import RATINGS

from checker import trade
from checker.trade.function import Argument, Definition, Function, OutOfRange

FUNCTIONS = trade.functions()
HOLIDAYS = tuple(
    datetime.date(year, month, day).toordinal() for year in range(1972, 2027) for month, day in ((1, 1), (7, 4))
)
TABLES = {"standard_overcurrent_ratings": RATINGS, "holidays": HOLIDAYS}
IN_WORDS = {  # solved by trying, or too many equations for a line: their working is told, and a reader has to build it
    "water_vapour_ceiling", "humidity_ratio", "enthalpy", "specific_volume", "total_capacity", "sensible_capacity",
}  # fmt: skip
AS_DATA = sorted(set(FUNCTIONS) - IN_WORDS)
RANGES = {
    "current": (0, 900), "voltage": (1, 700), "power": (0, 40_000), "capacitance": (1, 100), "number": (0, 0.99),
    "length": (-15_000, 200_000), "resistance": (0, 4), "mass": (0, 400), "date": (720_000, 740_000),
    "temperature": (-90, 200), "absolute_pressure": (5, 700), "gauge_pressure": (-14, 700), "mass_per_length": (0, 3),
    "airflow": (0, 3000),
}  # fmt: skip
OF_ARGUMENTS = {  # where the function serves little of what its kind can be
    "start_temperature": (-20, 150), "end_temperature": (-20, 150), "start": (0, 700), "atmosphere": (8, 16),
    "indoor_wet_bulb": (50, 76), "outdoor_dry_bulb": (40, 115), "elevation": (-12_000, 180_000), "pressure": (20, 500),
    "months": (0, 60),
}  # fmt: skip
OPERATORS = {ast.Add: operator.add, ast.Sub: operator.sub, ast.Mult: operator.mul, ast.Div: operator.truediv,
             ast.Mod: operator.mod, ast.Pow: operator.pow}  # fmt: skip
BUILT_IN = {"max": max, "min": min, "abs": abs}


def arithmetic(node: Any, names: dict[str, Any]) -> Any:
    """The value of an expression; anything beyond the arithmetic that a definition may use is an error."""
    if isinstance(node, ast.Constant):
        return node.value
    if isinstance(node, ast.Name):
        return names[node.id]
    if isinstance(node, ast.BinOp):
        return OPERATORS[type(node.op)](arithmetic(node.left, names), arithmetic(node.right, names))  # type: ignore[operator]
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        return -arithmetic(node.operand, names)
    if isinstance(node, ast.Subscript):
        return arithmetic(node.value, names)[arithmetic(node.slice, names)]
    assert isinstance(node, ast.Call)
    assert isinstance(node.func, ast.Name)
    values = [arithmetic(part, names) for part in node.args]
    return BUILT_IN[node.func.id](*values) if node.func.id in BUILT_IN else read(FUNCTIONS[node.func.id], values)


def by_formula(definition: Definition, names: dict[str, Any]) -> Any:
    return arithmetic(ast.parse(definition.says, mode="eval").body, {**names, **(definition.data or {})})


def by_table(definition: Definition, names: dict[str, Any]) -> Any:
    found = [row[-1] for row in definition.data if all(map(hit, row[:-1], names.values()))]
    return found[0] if found else None


def hit(cell: Any, value: Any) -> bool:
    if cell is None:
        return True
    if isinstance(cell, str):
        return bool(cell == value)
    low, high = cell
    return (low is None or low <= value) and (high is None or value < high)


def by_look_up(definition: Definition, names: dict[str, Any]) -> Any:
    (value,), within = names.values(), definition.data["within"]
    entries = sorted(TABLES[definition.data["table"]])
    stands: dict[str, Callable[[float], bool]] = {
        "<=": lambda entry: entry <= value + within,
        ">=": lambda entry: entry >= value - within,
        "==": lambda entry: abs(entry - value) <= within,
    }
    found = [entry for entry in entries if stands[definition.data["stands"]](entry)]
    if definition.data["take"] == "any":
        return bool(found)
    return found[0 if definition.data["take"] == "first" else -1] if found else None


def by_grid(definition: Definition, names: dict[str, Any]) -> Any:
    sides = [share(axis, value) for axis, value in zip(definition.data["axes"], names.values(), strict=True)]
    if None in sides:
        return None
    found = 0.0
    for (one, first), (other, second) in product(*sides):  # type: ignore[misc]
        if first and second:
            cell = definition.data["cells"][one][other]
            if cell is None:
                return None
            found += first * second * cell
    return found


def share(axis: Any, value: float) -> list[tuple[int, float]] | None:
    for place, (low, high) in enumerate(pairwise(axis)):
        if low <= value <= high:
            part = (value - low) / (high - low)
            return [(place, 1 - part), (place + 1, part)]
    return None


def by_curve(definition: Definition, names: dict[str, Any]) -> Any:
    """The pieces as the definition tells them; a temperature by halving the piece that its pressure lies in."""
    text = resources.files("checker.trade").joinpath("data", definition.data["file"]).read_text(encoding="utf-8")
    curve = json.loads(text)["curves"].get(names["refrigerant"], {}).get(definition.data["curve"])
    if curve is None:
        return None
    for left, right in pairwise(curve["points"]):
        if "temperature" in names and left[0] <= names["temperature"] <= right[0]:
            return math.exp(piece(left, right, names["temperature"]))
        if "pressure" in names and left[1] <= math.log(names["pressure"]) <= right[1]:
            low, high = left[0], right[0]
            for _ in range(80):
                middle = (low + high) / 2
                below = piece(left, right, middle) < math.log(names["pressure"])
                low, high = (middle, high) if below else (low, middle)
            return low
    return None


def piece(left: list[float], right: list[float], at: float) -> float:
    (t0, y0, s0), (t1, y1, s1) = left, right
    h = t1 - t0
    u = (at - t0) / h
    return (
        y0 * (1 + 2 * u) * (1 - u) ** 2 + h * s0 * u * (1 - u) ** 2 + y1 * u**2 * (3 - 2 * u) + h * s1 * u**2 * (u - 1)
    )


def by_working_day(definition: Definition, names: dict[str, Any]) -> Any:
    """1 January of the year 1 was a Monday."""
    closed = set(TABLES[definition.data["table"]])
    (day,) = names.values()
    return next(one for one in range(day + 1, day + 99) if (one - 1) % 7 < 5 and one not in closed)


def by_months_after(_: Definition, names: dict[str, Any]) -> Any:
    """Day by day: on from the first of the month, as many firsts as months, then to the day of the month that was."""
    day, months = names.values()
    wanted = datetime.date.fromordinal(day).day
    at = day - wanted + 1
    for _month in range(int(months)):
        at += 1
        while datetime.date.fromordinal(at).day != 1:
            at += 1
    while datetime.date.fromordinal(at).day != wanted and datetime.date.fromordinal(at + 1).day != 1:
        at += 1
    return at


def by_gas(definition: Definition, names: dict[str, Any]) -> Any:
    """The pressure by the coefficients; the density at the start by halving."""
    data = json.loads(resources.files("checker.trade").joinpath("data", definition.data["file"]).read_text())
    start, before, after, atmosphere = names.values()

    def pressure(moles: float, degrees: float) -> float:
        rankine = degrees + 459.67
        b, c, d = (sum(x * (500 / rankine) ** power for power, x in enumerate(data[name])) for name in "BCD")
        return float(rankine * moles * (1 + b * moles + c * moles**2 + d * moles**3))

    low, high = 0.0, 10.0
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if pressure(middle, before) < start + atmosphere else (low, middle)
    return pressure(low, after) - atmosphere


READERS = {
    "formula": by_formula, "table": by_table, "look_up": by_look_up, "grid": by_grid, "curve": by_curve,
    "working_day": by_working_day, "months_after": by_months_after, "gas": by_gas,
}  # fmt: skip


def read(function: Function, values: list[Any]) -> Any:
    names = dict(zip((argument.name for argument in function.arguments), values, strict=True))
    return READERS[function.definition.kind](function.definition, names)


def words_of(function: Function, name: str) -> list[str]:
    """The words that a definition knows for an argument."""
    place = [argument.name for argument in function.arguments].index(name)
    if function.definition.kind == "table":
        return sorted({row[place] for row in function.definition.data if row[place]})
    if function.definition.kind == "curve":
        return ["R-410A", "R-454B", "R-407C", "R-22"]
    return sorted(function.definition.data["factor"])


def range_of(argument: Argument) -> tuple[float, float]:
    return OF_ARGUMENTS.get(argument.name) or RANGES[argument.kind]


@pytest.mark.parametrize("name", FUNCTIONS)
def test_a_function_has_a_form_as_data_or_says_that_it_has_none(name: str) -> None:
    definition = FUNCTIONS[name].definition
    assert definition.says
    assert (definition.kind == "none") is (name in IN_WORDS)
    assert definition.kind in {*READERS, "none"}
    assert json.loads(json.dumps(definition.data, allow_nan=False)) is None or definition.kind != "none"


@pytest.mark.parametrize("name", AS_DATA)
@given(data=st.data())
def test_the_data_lead_to_the_same_result(name: str, data: st.DataObject) -> None:
    function = FUNCTIONS[name]
    values = [
        data.draw(st.sampled_from(words_of(function, one.name)))
        if one.kind == "word"
        else data.draw(st.integers(*RANGES["date"]) if one.kind == "date" else st.floats(*range_of(one)))
        for one in function.arguments
    ]
    try:
        wanted = function.compute(*values, *(TABLES[table] for table in function.tables))
    except OutOfRange:
        assume(False)
    found = read(function, values)
    if isinstance(wanted, float):
        assert found == pytest.approx(wanted, rel=1e-9, abs=1e-9)
    else:
        assert found == wanted
