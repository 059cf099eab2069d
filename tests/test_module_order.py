"""The order of the modules: each imports only what stands above it. A door is the only importer of its library."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "checker"

# From the ground up. Modules on one line do not import each other.
ORDER = [
    ["problems", "sureness", "plain_words", "json_out", "ir.node", "shipped", "pictures"],
    ["document", "units", "cache"],
    ["yaml_text", "json_text"],
    ["source"],
    ["expression"],
    ["trade"],
    ["facts", "tree"],
    ["ir.visitor"],
    ["values"],
    ["reads"],
    ["readings", "worth"],
    ["job", "job_schema", "maker_sheet", "typed"],
    ["merging", "equipment"],
    ["profile"],
    ["inherit"],
    ["findings", "evaluate"],
    ["uncertainty", "generated", "acceptances"],
    ["judge"],
    ["rule"],
    ["local_facts"],
    ["ruleset"],
    ["release"],
    ["library", "limits", "meaning"],
    ["layers"],
    ["layer_limits", "provenance", "amounts_told"],
    ["kinds"],
    ["names"],
    ["resolve"],
    ["settling"],
    ["job_answers"],
    ["bind", "accuracies", "limits_used", "written_for"],
    ["describe"],
    ["report.model", "report.csv_safe"],
    ["periods"],
    ["remembered", "versions", "compose"],
    ["questions"],
    ["bench"],
    ["one_job"],
    ["outcomes"],
    ["check"],
    ["report.words", "sarif"],
    ["report.totals"],
    ["report.folded", "report.html", "figures", "report.form"],
    ["report.text", "report.json", "report.photographs"],
    ["report.jsonl", "report.csv", "report.junit", "report.sarif", "report.markdown", "report.forms"],
    ["report.page", "opened", "batch.sources", "batch.baseline"],
    ["batch.running", "batch.stop"],
    ["batch.progress", "library_use"],
    ["report.index_page"],
    ["compute"],
    ["archive", "table_import", "confirm", "rule_index", "cases", "explain", "visit"],
    ["ruleset_schema", "inherited_schema"],
    ["lint.case_gaps", "lint.claims", "lint.answers", "lint.hearsay"],
    ["lint.words", "lint.periods", "lint.identity", "lint.left_over"],
    ["lint.unused", "lint.unreachable", "lint.changes"],
    ["lint.direction"],
    ["lint.everything"],
    ["keeping"],
    ["commands"],
    ["cli"],
    ["__main__"],
]
RANK = {module: rank for rank, line in enumerate(ORDER) for module in line}
DOORS = {"yaml": "yaml_text", "json_source_map": "json_text", "CoolProp": "trade.make_curves", "pickle": "cache",
         "jsonschema_rs": "job job_schema", "pydantic": "ruleset rule ruleset_schema", "click": "commands cli",
         "packaging": "layers",
         "jinja2": "report.html", "matplotlib": "figures", "orjson": "report.jsonl",
         "openpyxl": "table_import.workbook"}  # fmt: skip


def modules() -> list[str]:
    return sorted(
        ".".join(p.relative_to(PACKAGE).with_suffix("").parts) for p in PACKAGE.rglob("*.py") if p.name != "__init__.py"
    )


def imports(module: str) -> set[str]:
    """Full names of what a module imports, wherever in it."""
    found = set()
    for node in ast.walk(ast.parse((PACKAGE / (module.replace(".", "/") + ".py")).read_text())):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    return found


def room(module: str) -> str:
    """A module's place in the order: packages of one purpose stand as one."""
    return module if module in RANK else module.split(".")[0]


@pytest.mark.parametrize("module", modules())
def test_a_module_imports_only_from_above(module: str) -> None:
    assert room(module) in RANK, f"{module} has no place in the order"
    for name in imports(module):
        if not name.startswith("checker."):
            continue
        other = room(name.removeprefix("checker."))
        if other in RANK and other != room(module):
            assert RANK[other] < RANK[room(module)], f"{module} imports {name}, which stands below it"


@pytest.mark.parametrize("module", modules())
def test_a_library_has_one_door(module: str) -> None:
    for name in imports(module):
        library = name.split(".")[0]
        if library in DOORS:
            assert {module, room(module)} & set(DOORS[library].split()), (
                f"{module} imports {library}; its door is {DOORS[library]}"
            )


def test_every_module_of_the_order_exists() -> None:
    existing = {room(module) for module in modules()}
    assert set(RANK) <= existing, set(RANK) - existing
