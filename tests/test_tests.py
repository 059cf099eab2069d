"""What the tests owe: each file stands alone, what it shares lies in `tests/support`, and what is left out is told."""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.support import coolprop
from tests.support.browser import needs_chromium
from tests.support.left_out import lines, shared_by, shared_by_long_ones

TESTS = Path(__file__).parent


def imported(file: Path) -> Iterator[str]:
    """Every module that a file imports, at its top or inside a function; each name out of a package may be one too."""
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (one.name for one in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield node.module or ""
            yield from (f"{node.module}.{one.name}" for one in node.names)


def is_a_test_file(module: str) -> bool:
    package, *inside = module.split(".")
    return package == "tests" and any(part.startswith("test_") or part == "conftest" for part in inside)


@pytest.mark.long
def test_no_file_imports_a_test_file() -> None:
    files = list(TESTS.rglob("*.py"))
    assert len(files) > 100
    found = [f"{file.relative_to(TESTS)} imports {name}" for file in files for name in imported(file)]
    assert [] == [line for line in found if is_a_test_file(line.split()[-1])], "what tests share lies in tests/support"


def test_an_import_of_a_test_file_is_seen(tmp_path: Path) -> None:
    file = tmp_path / "test_one.py"
    file.write_text("from tests import test_two\n\ndef test_it():\n    from tests.trade.test_three import four\n")
    assert {"tests.test_two", "tests.trade.test_three"} == {name for name in imported(file) if is_a_test_file(name)} - {
        "tests.trade.test_three.four"
    }


def test_what_is_left_out_is_told_in_a_line() -> None:
    assert [] == lines(Counter(), Counter())
    assert ["Left out: 5 tests that take many seconds, 2 of them in a browser. Run them with -m long."] == lines(
        Counter(long=3, browser=2), Counter()
    )
    skipped = Counter({"there is no git here": 1, "there is no Chromium here": 4})
    assert ["Skipped: 4, because there is no Chromium here.", "Skipped: 1, because there is no git here."] == lines(
        Counter(), skipped
    )


def test_a_test_that_opens_a_browser_is_marked_so() -> None:
    def opens() -> None: ...

    assert {"long", "browser", "skipif"} == {mark.name for mark in needs_chromium(opens).pytestmark}  # type: ignore[attr-defined]


def test_what_opens_coolprop_goes_to_one_worker() -> None:
    """A file that asks it of `tests/support/coolprop.py`, or what `compute` asks it, is among those that the workers share so."""
    asking = {"tests.support.coolprop", "checker.calculators", "checker.calculators.equations_of_state"}
    others = [file for file in TESTS.rglob("test_*.py") if file != Path(__file__)]
    files = [file for file in others if asking & {*imported(file)}]
    assert len(files) > 10
    elsewhere = {name for file in files if shared_by(name := f"tests/{file.relative_to(TESTS)}") != "CoolProp"}
    assert {"tests/test_figures.py"} == elsewhere, "the tests of pictures are long and are spread"


@pytest.mark.long
def test_no_file_of_tests_opens_coolprop_before_a_test_asks_it() -> None:
    """It takes seconds, and every worker imports every file of tests."""
    opening = {"checker.trade.make_curves", "CoolProp", "CoolProp.CoolProp"}
    assert [] == [str(file.relative_to(TESTS)) for file in TESTS.rglob("*.py") if opening & {*imported(file)}]
    with pytest.raises(AttributeError):
        _ = coolprop.__wrapped__  # as pytest asks of each name in a file


def test_long_tests_are_spread_except_where_their_file_makes_something_once_for_all() -> None:
    assert "tests/test_docs.py" == shared_by_long_ones("tests/test_docs.py::test_one[a]")
    assert "tests/test_flips.py::test_one[a]" == shared_by_long_ones("tests/test_flips.py::test_one[a]")
