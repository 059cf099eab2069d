"""The rooms of the program: what the contracts in pyproject.toml say, DEVELOPERS.md says too.

That each room imports only what stands below it, that there is no circle, and that each heavy library has one door is held by
`lint-imports`, which reads the contracts; CI runs it.
"""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from importlib import metadata
from pathlib import Path

from tests.support.commands import ROOT

PACKAGE = ROOT / "checker"
EXTRAS = ("columns", "pdf", "proofs", "watch")  # of those who use the program; the others are for its developers
FLAT = {"__init__.py", "__main__.py", "cli.py"}


def layers() -> list[str]:
    """The rooms from the top down, those that stand side by side in the order they are written."""
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["importlinter"]["contracts"]
    (rooms,) = (one["layers"] for one in contracts if one["name"].startswith("Rooms"))
    return [room for line in rooms for room in line.split(" | ")]


def test_the_map_for_developers_is_that_of_the_contracts() -> None:
    told = re.findall(r"^\| `(\w+)/?`(?: |,)", (ROOT / "DEVELOPERS.md").read_text(), re.MULTILINE)
    rooms = [room for room in layers() if (PACKAGE / room).is_dir()]
    assert list(reversed(rooms)) == told


def test_nothing_but_the_doors_lies_flat() -> None:
    assert {path.name for path in PACKAGE.glob("*.py")} == FLAT


def test_every_room_says_what_it_holds() -> None:
    packages = sorted(PACKAGE.rglob("__init__.py"))
    silent = [str(path.parent.relative_to(ROOT)) for path in packages if not _docstring(path)]
    assert [] == silent


def _docstring(path: Path) -> str | None:
    return ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))


def test_what_the_program_imports_is_what_is_installed_with_it() -> None:
    """Each library is named, extras too, or needed by one that is; and none is named that only the tests use."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    extras = [need for name in EXTRAS for need in project["optional-dependencies"][name]]
    named = {_name_in(need) for need in (*project["dependencies"], *extras)}
    of_module = metadata.packages_distributions()
    modules = (
        {name for path in PACKAGE.rglob("*.py") for name in _imported(path)} - sys.stdlib_module_names - {"checker"}
    )
    imported = {_name_in(of_module[name][0]) for name in modules}
    come_along = {_name_in(need) for name in named for need in metadata.requires(name) or () if "extra ==" not in need}
    assert [] == sorted(named - imported)
    assert [] == sorted(imported - named - come_along)


def _name_in(need: str) -> str:
    """The name of a package in a line such as `pydantic>=2.7`."""
    return re.split(r"[^\w.-]", need)[0].lower().replace("_", "-")


def _imported(path: Path) -> set[str]:
    """The top modules that a file imports, inside functions as well."""
    nodes = list(ast.walk(ast.parse(path.read_text(encoding="utf-8"))))
    plain = {alias.name for node in nodes if isinstance(node, ast.Import) for alias in node.names}
    from_ = {node.module for node in nodes if isinstance(node, ast.ImportFrom) and node.module and not node.level}
    return {name.split(".")[0] for name in plain | from_}
