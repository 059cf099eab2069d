"""What the tests owe each other: each file stands alone, and what it shares lies in `tests/support`."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

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
