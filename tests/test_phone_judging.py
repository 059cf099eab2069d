"""The reader in JavaScript says what the reader in Python says, of the same programs and the same facts.

What a worked case states is not out of either reader: its keeper wrote it.
"""

from __future__ import annotations

import datetime
import hashlib
import json
import math
import random
import re
import shutil
import subprocess
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import orjson
import pytest

from checker import trade
from checker.authoring.vectors import vectors
from checker.engine.checker import Checker
from checker.ir.codec import KINDS
from checker.ir.node import fields_holding, usual_values
from checker.ir.program import Program, loaded
from checker.judging import lists, values
from checker.judging.generated_code import DOES_NOT_APPLY
from checker.judging.javascript import reader
from checker.judging.judge import Place, Verdict
from checker.trade.function import Function, OutOfRange
from tests.support.javascript import InJavaScript
from tests.support.program_reader import verdicts

FOLDER = Path(__file__).parents[1] / "checker" / "judging" / "javascript"
TOO_MANY_HERE = {"nec", "umc-mechanical"}  # of these the long part holds all, with everything that is said of a case


@pytest.fixture(scope="module")
def javascript() -> InJavaScript:
    return InJavaScript()


def exported(checker: Checker, names: Iterable[str]) -> Any:
    """The cases of some rulesets as another reader gets them."""
    return orjson.loads(orjson.dumps(vectors(checker, [checker.library.rulesets[name] for name in names])))


def differing(cases: Iterable[dict[str, Any]], told: Iterable[Any]) -> Iterator[Any]:
    """The cases that come to something else than they state."""
    for one, said in zip(cases, told, strict=True):
        each = [verdict for place in said["verdicts"] for verdict in place if verdict]
        alone = len(one["versions"]) == 1
        needed = {path for verdict in each for path in verdict["needs"]}
        if (
            said["outcomes"] != [one["expect"]]
            or (alone and one.get("needs") is not None and set(one["needs"]) != needed)
            or (alone and one.get("reason") and {verdict["reason"] for verdict in each} != {one["reason"]})
        ):
            yield one["rule"], one["name"], one["expect"], said


def test_two_thousand_worked_cases_come_to_what_they_state(shipped: Checker, javascript: InJavaScript) -> None:
    data = exported(shipped, sorted(set(shipped.library.rulesets) - TOO_MANY_HERE))
    assert [*map(reader.not_known, data["programs"])] == [[]] * len(data["programs"])
    programs = [javascript.load(one) for one in data["programs"]]
    told = javascript.told(programs, data["cases"])
    assert [*differing(data["cases"], told)] == []
    assert len(told) > 2000
    assert len({one["rule"] for one in data["cases"]}) > 200


def test_a_case_with_nothing_recorded_comes_to_something_else(shipped: Checker, javascript: InJavaScript) -> None:
    """The outcome comes out of the facts that are handed over."""
    data = exported(shipped, ["sorrel-county"])
    emptied = [{**one, "values": {}, "lists": {}} for one in data["cases"]]
    told = javascript.told([javascript.load(one) for one in data["programs"]], emptied)
    assert [*differing(data["cases"], told)]


def test_a_second_trade_is_read_as_well(tiny: Checker, javascript: InJavaScript) -> None:
    """Of lanterns at a festival."""
    data = exported(tiny, sorted(tiny.library.rulesets))
    told = javascript.told([javascript.load(one) for one in data["programs"]], data["cases"])
    assert [*differing(data["cases"], told)] == []
    assert {one["expect"] for one in data["cases"]} >= {"pass", "fail", "verify_locally"}


@pytest.mark.long
@pytest.mark.parametrize("name", ["alder-county", "commissioning", "epa-refrigerant", "federal-efficiency", "irc-mechanical",
                                  "larch-state", "manufacturer-instructions", "millrace-group", "nec", "sorrel-county",
                                  "umc-mechanical"])  # fmt: skip
def test_all_that_is_said_of_every_case_is_equal(shipped: Checker, javascript: InJavaScript, name: str) -> None:
    """Outcome, reason, needs and whether they are exact, causes and question, at every place under every version."""
    data = exported(shipped, [name])
    programs = [loaded(one) for one in data["programs"]]
    told = javascript.told([javascript.load(one) for one in data["programs"]], data["cases"])
    wanted = [said(programs[one["program"]], one) for one in data["cases"]]
    assert [
        pair
        for pair in zip(wanted, (without_silence(one["verdicts"]) for one in told), strict=True)
        if pair[0] != pair[1]
    ] == []


def said(program: Program, vector: dict[str, Any]) -> Any:
    return without_silence([[_plain(place, one) for one in each] for place, each in verdicts(program, vector).items()])


def without_silence(places: Any) -> Any:
    """Without what is said of a version that does not apply: nobody is told more of it."""
    return [[one if one and one["outcome"] != DOES_NOT_APPLY else None for one in each] for each in places]


def _plain(place: Place, verdict: Verdict) -> dict[str, Any]:
    return {
        "place": list(place), "outcome": verdict.outcome, "reason": verdict.reason, "needs": list(verdict.needs),
        "exact": verdict.exact, "question": verdict.question, "causes": sorted("\0".join(cause) for cause in verdict.causes),
    }  # fmt: skip


# --- what the reader knows, and what is refused ---------------------------------------------------------------------


def test_the_reader_knows_every_kind_of_node_and_every_fold() -> None:
    """As JSON has them: a list is a list there, whatever it is here."""
    kinds = {
        tag: {"holds": list(fields_holding(kind)), "usual": json.loads(json.dumps(usual_values(kind)))}
        for tag, kind in KINDS.items()
    }
    assert reader.knows()["kinds"] == kinds
    assert sorted(reader.knows()["folds"]) == sorted(lists.FOLDS)
    assert sorted(reader.knows()["operators"]) == sorted({**values.ARITHMETIC, **values.EXTREMES})


@pytest.mark.parametrize("name", trade.functions())
def test_a_function_is_known_where_its_definition_is_data(javascript: InJavaScript, name: str) -> None:
    others = [
        one for one in ("standard_at_most", "standard_at_least") if one in trade.functions()[name].definition.says
    ]
    form = trade.functions()[name].definition.kind
    unknown = [f"the function '{name}'"] if form == "none" else []
    assert (
        javascript.call("notKnown", program_of(name, *others)) == unknown == reader.not_known(program_of(name, *others))
    )


def program_of(*functions: str, nodes: Iterable[dict[str, Any]] = ()) -> dict[str, Any]:
    """A program of nothing but these functions and nodes."""
    known = trade.functions()
    used = {
        name: {
            "arguments": [list(one) for one in known[name].arguments], "result": known[name].result,
            "tables": list(known[name].tables), "version": 1, "form": known[name].definition.kind,
            "says": known[name].definition.says, "data": known[name].definition.data,
            "serves": [list(one) for one in known[name].definition.serves],
        }
        for name in functions
    }  # fmt: skip
    data = Path(trade.__file__).parent / "data"
    curves = {path.name: json.loads(path.read_text(encoding="utf-8")) for path in data.glob("*.json")}
    return {
        "program": 1,
        "functions": used,
        "curves": curves,
        "nodes": list(nodes),
        "rules": {},
        "facts": {},
        "written_for": {},
    }


def test_a_program_that_needs_more_than_the_reader_knows_is_refused_by_name(javascript: InJavaScript) -> None:
    fold = {"is": "fold", "name": "median", "items": 0, "field": "", "kind": "number"}
    more = program_of("total_capacity", "days_between", nodes=[{"is": "sometimes"}, fold])
    names = ["the fold 'median'", "the function 'total_capacity'", "the node 'sometimes'"]
    assert reader.not_known(more) == names
    assert javascript.call("notKnown", more) == names
    with pytest.raises(
        Exception, match=r"does not know the fold 'median', the function 'total_capacity', the node 'sometimes'"
    ):
        javascript.load(more)


@pytest.mark.parametrize(
    "says", ["first; last", "last - ", "last.first", "(last", "last)", "open(last)", "later", "`last`"]
)
def test_a_formula_that_the_reader_cannot_read_is_refused(javascript: InJavaScript, says: str) -> None:
    program = program_of("days_between")
    program["functions"]["days_between"]["says"] = says
    assert javascript.call("notKnown", program) == ["the function 'days_between'"]


def test_a_document_of_another_format_is_refused(javascript: InJavaScript) -> None:
    with pytest.raises(Exception, match="not a program of format 1"):
        javascript.load({**program_of(), "program": 2})


# --- the built file -------------------------------------------------------------------------------------------------


def test_the_built_file_is_of_the_modules_as_they_stand() -> None:
    """Its first line tells, wherever there is no node to build it again."""
    modules = sorted((FOLDER / "source").iterdir(), key=lambda path: path.name)
    digest = hashlib.sha256(b"".join(path.read_bytes() for path in modules)).hexdigest()
    assert reader.script().startswith(f"/* built from source, {digest} */\n"), (
        "npm run build in checker/judging/javascript"
    )


def test_the_built_file_reaches_for_nothing() -> None:
    """No network, no file, no clock, and nothing that makes code of a text."""
    script = re.sub(r"/\*.*?\*/", "", reader.script(), flags=re.DOTALL)
    reaching = (
        "fetch(",
        "XMLHttpRequest",
        "import(",
        "require(",
        "eval(",
        "Function(",
        "Date.now",
        "new Date()",
        "random(",
    )
    assert [word for word in reaching if word in script] == []


NODE = shutil.which("node") and (FOLDER / "node_modules" / ".bin" / "esbuild").exists()


@pytest.mark.skipif(not NODE, reason="npm ci was not run in checker/judging/javascript")
def test_the_built_file_is_that_of_the_modules() -> None:
    built = (FOLDER / "built" / "judging.js").read_bytes()
    subprocess.run(["npm", "run", "--silent", "build"], cwd=FOLDER, check=True, capture_output=True)
    assert (FOLDER / "built" / "judging.js").read_bytes() == built


# --- numbers --------------------------------------------------------------------------------------------------------

CHANCE = random.Random(26)
NUMBERS = [
    *(CHANCE.uniform(-1, 1) * 10 ** CHANCE.uniform(-30, 30) for _ in range(300)),
    *(CHANCE.randint(-(10**9), 10**9) / 8 for _ in range(300)),  # halves of the last digit among them
    *(float(CHANCE.randint(-(10**7), 10**7)) for _ in range(100)),
    *(10.0**power for power in range(-9, 24)), 0.0, -0.0, 2.675, 9.995, 99999.5, 0.5, 1.5, -0.5, 5e-324,
]  # fmt: skip


@pytest.mark.parametrize(("figures", "places"), [(1, 0), (3, 1), (4, 2), (6, 3), (12, 6)])
def test_numbers_are_written_as_python_writes_them(javascript: InJavaScript, figures: int, places: int) -> None:
    """Python's own formats are the other reader here."""
    said = javascript.call("written", NUMBERS, figures, places)
    assert said == [[format(one, f".{figures}g"), format(one, f".{places}f"), repr(one)] for one in NUMBERS]


def test_the_error_function_is_that_of_the_c_library(javascript: InJavaScript) -> None:
    numbers = [CHANCE.uniform(-6, 26) for _ in range(500)]
    for number, found in zip(numbers, javascript.call("errors", numbers), strict=True):
        assert found == pytest.approx(math.erfc(number), rel=1e-11, abs=1e-15)


# --- functions ------------------------------------------------------------------------------------------------------

AS_DATA = [name for name, one in trade.functions().items() if one.definition.kind != "none"]
RATINGS = [15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200]
HOLIDAYS = [
    datetime.date(year, month, day).toordinal() for year in (2024, 2025) for month, day in ((1, 1), (7, 4), (12, 25))
]
TABLES = {"standard_overcurrent_ratings": RATINGS, "holidays": HOLIDAYS}
WORDS = (
    "R-410A",
    "R-407C",
    "R-454B",
    "R-9",
    "high_pressure",
    "low_pressure",
    "14",
    "3/0",
    "nm_cable",
    "rated_75c",
    "rated_90c",
)
AROUND = {  # what each kind of amount can be, and more
    "current": (-5, 260), "voltage": (-20, 500), "power": (-500, 40_000), "capacitance": (-2, 90), "number": (-0.2, 1.2),
    "length": (-15_000, 200_000), "mass": (-2, 400), "temperature": (-60, 170), "absolute_pressure": (-2, 700),
    "gauge_pressure": (-20, 720), "mass_per_length": (-1, 3), "airflow": (-50, 3000),
}  # fmt: skip
OF_ARGUMENTS = {"indoor_wet_bulb": (46, 80), "outdoor_dry_bulb": (36, 119), "atmosphere": (4, 21), "rated": (-3, 60)}


def drawn(rng: random.Random, name: str, kind: str) -> Any:
    """A value of an argument, now and then one that its function does not serve."""
    if kind == "word":
        return rng.choice(WORDS)
    if kind == "date":
        return rng.randint(738_500, 739_400)
    low, high = OF_ARGUMENTS.get(name) or AROUND[kind]
    return rng.choice([rng.uniform(low, high), float(rng.randint(int(low), int(high)))])


@pytest.mark.parametrize("name", AS_DATA)
def test_a_function_comes_to_the_same_or_says_the_same(javascript: InJavaScript, name: str) -> None:
    """To 1e-9 of an amount; words, days and what is said of arguments that are not served to the letter."""
    function, rng = trade.functions()[name], random.Random(name)
    rows = [[drawn(rng, one.name, one.kind) for one in function.arguments] for _ in range(150)]
    number = javascript.load(program_of(name, *({"standard_at_most", "standard_at_least"} & {*AS_DATA} - {name})))
    told = javascript.by_program("workedOut", number, name, rows, TABLES)
    wanted = [here(function, row) for row in rows]
    assert [one if isinstance(one, str) else [nearly(one[0]), one[1]] for one in wanted] == told
    assert sum(not isinstance(one, str) for one in wanted) > 2


def here(function: Function, row: list[Any]) -> Any:
    """The result with what is said of it, or what is said where the function does not serve the row."""
    try:
        found = function.compute(*row, *(TABLES[table] for table in function.tables))
        return [found, (function.remark and function.remark(*row)) or ""]
    except OutOfRange as error:
        return str(error)


def nearly(value: Any) -> Any:
    return pytest.approx(value, rel=1e-9, abs=1e-9) if isinstance(value, float) else value
