"""No file of the engine names a fact, a rule, a limit or a thing of air conditioners: those stand in schemas and rulesets.

Comments, docstrings, templates and layouts are read too.
"""

from __future__ import annotations

import ast
import io
import re
import tokenize
from collections.abc import Iterator
from pathlib import Path

import pytest

from checker.engine.checker import Checker

PACKAGE = Path(__file__).parent.parent / "checker"

# What is of the trade by purpose, or shows it to people, and why.
EXEMPT = {
    "trade": "what is computed of the trade",
    "calculators": "what one quantity comes to",
    "judging/javascript/source/curves.js": "the curves that a program carries, for the functions in trade",
    "judging/javascript/source/functions.js": "what is computed of the trade, in JavaScript",
    "judging/javascript/built": "the modules of judging/javascript/source in one file",
    "reporting/figures": "pictures of the trade's readings, drawn where a rule asks for one by the name of its form",
    "__init__.py": "shows a job of the shipped rulebook to those who read help(checker)",
}
# Things of the trade that nobody says of another. Words that are plain English as well (unit, line, charge) are left out.
THINGS = (
    "ampacity", "breaker", "btu", "compressor", "condensate", "condenser", "conductor", "evaporator", "furnace", "heat pump",
    "micron", "nameplate", "nitrogen", "psig", "refrigerant", "subcooling", "superheat", "thermostat", "vacuum",
)  # fmt: skip
# Where such a word stands all the same: module, word, and why.
KEPT = {
    ("reading/units.py", "micron"): "a unit of pressure; units are of no trade",
    ("reading/units.py", "vacuum"): "how people write a pressure below that of the air",
    ("reading/units.py", "btu"): "a unit of heat",
    ("reading/amount_text.py", "btu"): "a unit of heat",
    ("judging/javascript/source/amounttext.js", "btu"): "a unit of heat",
    ("judging/javascript/source/units.js", "psig"): "a unit of pressure",
    ("findings/workings.py", "micron"): "a unit of pressure; units are of no trade",
    ("findings/workings.py", "psig"): "a unit of pressure",
    ("reading/units.py", "psig"): "a unit of pressure",
    ("judging/javascript/source/workings.js", "micron"): "a unit of pressure; units are of no trade",
    ("judging/javascript/source/workings.js", "psig"): "a unit of pressure",
    ("commands/interview.py", "psig"): "a unit of pressure, in the help of a command",
    ("reading/units.txt", "psig"): "a unit of pressure",
    ("reading/units.txt", "vacuum"): "how people write a pressure below that of the air",
    ("reading/units.txt", "micron"): "a unit of pressure",
    ("reading/units.txt", "btu"): "a unit of heat",
}
# Modules whose docstrings are the help of a command of the shipped program: examples there are of what ships.
HELP = {"cli.py", *(f"commands/{one}" for one in ("compute.py", "jobs/import_.py", "rules/facts.py"))}


def modules() -> list[str]:
    return sorted(path for path in files() if path.endswith(".py"))


def data_files() -> list[str]:
    """Templates, layouts, the list of units: every file of the engine that is no module."""
    return sorted(path for path in files() if not path.endswith((".py", ".pyc")))


def files() -> list[str]:
    found = (
        path.relative_to(PACKAGE).as_posix()
        for path in PACKAGE.rglob("*")
        if path.is_file() and "node_modules" not in path.parts
    )
    return [path for path in found if not any(path == one or path.startswith(f"{one}/") for one in EXEMPT)]


def texts(module: str, source: str) -> Iterator[str]:
    """Every text of a module, its comments and docstrings too; of other files all that stands there."""
    if not module.endswith(".py"):
        yield source
        return
    kinds = (tokenize.STRING, tokenize.COMMENT, getattr(tokenize, "FSTRING_MIDDLE", -1))
    for token in tokenize.generate_tokens(io.StringIO(source).readline):
        docstring = token.string.lstrip("rbf").startswith('"""')
        if token.type in kinds and not (docstring and module in HELP):
            yield token.string


@pytest.fixture(scope="module")
def names(shipped: Checker) -> set[str]:
    """Paths of facts and sections, rules, limits and tables of what ships; of the program's own words none."""
    vocabulary, rulesets = shipped.library.vocabulary, shipped.library.rulesets
    paths = {path for path in vocabulary.places if "." in path}
    ids = {
        name
        for one in rulesets.values()
        for name in (*one.rules, *one.limits, *one.facts)
        if "_" in name or "-" in name
    }
    # Roles are the program's own words; some are spelled as the shipped schema spells the path.
    return (paths | ids | set(rulesets)) - {"practice", *vocabulary.roles}


def named(text: str, names: set[str]) -> set[str]:
    """The longest name that each run of letters, digits, dots and dashes begins with, up to a dot or its end."""
    found = set()
    for run in set(re.findall(r"[\w.-]+", text)):
        parts = run.split(".")
        beginnings = (".".join(parts[:length]) for length in range(len(parts), 0, -1))
        found |= {next((one for one in beginnings if one in names), "")} - {""}
    return found


def test_no_file_of_the_engine_names_anything_of_the_trade(names: set[str]) -> None:
    wrong, things = [], re.compile(rf"\b(?:{'|'.join(THINGS)})", re.IGNORECASE)
    for module in [*modules(), *data_files()]:
        whole = (PACKAGE / module).read_text(encoding="utf-8")
        for text in texts(module, whole) if named(whole, names) or things.search(whole) else ():
            of_the_trade = {match.lower() for match in things.findall(text)}
            wrong += [
                f"{module}: {one}"
                for one in {*named(text, names)} | {o for o in of_the_trade if (module, o) not in KEPT}
            ]
    assert [] == wrong


def test_a_name_is_found_by_its_longest_spelling_at_the_begin_of_a_run() -> None:
    names = {"site", "site.state", "nec-safety"}
    assert {"site.state", "nec-safety"} == named(
        "at site.state.x, of nec-safety. Not website, x.site or nec-safety-2", names
    )


# Modules that speak of classes by name, and why.
NAMES_CLASSES = {
    "engine/program_of.py": "an annotation in quotes",
    "ir/program_schema.py": "a schema made out of classes",
    "reporting/forms.py": "which class writes a form",
}


def test_no_words_for_people_name_a_class_of_the_program() -> None:
    """A class that is renamed everywhere must not rename what a page, a sheet or a message says."""
    sources = {module: (PACKAGE / module).read_text(encoding="utf-8") for module in modules()}
    classes = {
        name for text in sources.values() for name in re.findall(r"^ *class (\w*[a-z][A-Z]\w*)", text, re.MULTILINE)
    }
    assert "ProblemsFound" in classes
    wrong = [
        f"{module}:{line}: {text}"
        for module, source in sources.items()
        for line, text in said(ast.parse(source))
        if not classes.isdisjoint(re.findall(r"\w+", text))
    ]
    assert [] == [one for one in wrong if one.partition(":")[0] not in NAMES_CLASSES]
    assert {*NAMES_CLASSES} == {one.partition(":")[0] for one in wrong} & {*NAMES_CLASSES}


def said(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Texts of a module that are no docstrings, with their lines."""
    nodes = list(ast.walk(tree))
    docstrings = {id(one.value) for one in nodes if isinstance(one, ast.Expr)}
    for one in nodes:
        if isinstance(one, ast.Constant) and isinstance(one.value, str) and id(one) not in docstrings:
            yield one.lineno, one.value
