"""Would the tests notice? Small faults put into the modules that decide, one at a time, and the tests run on each.

    python -m tests.long.mutants [judging/judge ir/kleene …] [--only 12,40-60] [--every 3] [--wide] [--list]

Needs `mutmut` (3.8 was used) beside what the tests need. Everything happens in a copy of the tree in a folder of its own.
Prints each survivor, a fault that no test noticed, with what was changed; exit code 1 where there is one. A module takes
some minutes on one core.

The faults are those of mutmut's own operators, one place each: an operator, number, name, argument or assignment
changed or left out. Three are added: half of an `and` or `or` left out, the condition of an `if` taken as true and as false,
a filter of a comprehension left out. Left out are texts for people (a string with a space in it), upper and lower case of a
string, and whatever changes a type annotation only, of which Python sees nothing at run time.

`QUICK` has the tests that tell most in least time, first to last. With `--wide` those of `WIDE` come after; a survivor is
one when they too see nothing. A fault that makes a run take longer than `LONGEST` is counted as noticed.
"""

from __future__ import annotations

import argparse
import ast
import difflib
import os
import shutil
import signal
import sys
import tempfile
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

import hypothesis.strategies  # noqa: F401 – the large libraries are read once, not once a fault
import libcst as cst
import pint  # noqa: F401
import pydantic  # noqa: F401
import pytest
from libcst.metadata import MetadataWrapper
from mutmut.mutation.file_mutation import MutationVisitor
from mutmut.mutation.mutators import mutation_operators
from mutmut.mutation.pragma_handling import IgnoredCode

TREE = Path(__file__).parent.parent.parent
LEFT_BEHIND = shutil.ignore_patterns(".git", "__pycache__", ".*_cache", ".hypothesis", "*.egg-info")
LONGEST = 60  # seconds, for the tests on one fault
JUDGED = (
    "mutants_place", "mutants_judging", "mutants_values", "mutants_uncertainty", "logic", "uncertainty", "invented_trade",
)  # fmt: skip
GENERATED = ("generated_code", "generated", "remembered", "bound_once", "invented_trade")
LAYERED = ("mutants_layers", "layers", "groups", "invented_trade", "answers", "library")
READ = ("second_look", "doubted_readings", "photograph")
QUICK = {
    "judging/judge": JUDGED,
    "judging/uncertainty": ("mutants_uncertainty", "mutants_judging", "uncertainty", "invented_trade"),
    "ir/kleene": JUDGED,
    "judging/conditions": JUDGED,
    "judging/values": JUDGED,
    "judging/lists": JUDGED,
    "judging/instruments": (*JUDGED, "doubted_readings"),
    "judging/trial": ("order_of_knowledge", *GENERATED),
    "judging/generated_code": GENERATED,
    "judging/code_conditions": GENERATED,
    "judging/code_values": GENERATED,
    "judging/code_open": GENERATED,
    "judging/exactness": GENERATED,
    "engine/plan": GENERATED,
    "engine/functions": GENERATED,
    "engine/remembered": GENERATED,
    "engine/compiler": ("mutants_place", *GENERATED, *LAYERED),
    "reading/units": ("mutants_units", "units", "invented_trade", "compute_figures"),
    "reading/fact_reader": (*READ, "typed", "job_schema", "gone_or_broken"),
    "reading/second_look": READ,
    "reading/added_up": READ,
    "rulesets/layering": LAYERED,
    "rulesets/chain": LAYERED,
    "rulesets/layer_permissions": LAYERED,
    "rulesets/applicability": ("mutants_place", "published_states", *LAYERED),
}
WIDE = (
    "order_of_knowledge", "whole_jobs", "compute_figures", "layers", "examples", "remedies", "invariance", "profile",
    "acceptances", "answers", "inherited", "jurisdictions", "mistakes", "lessons", "less_known",
)  # fmt: skip


# Random tests try the same examples every time, and stop at the first that fails.
RANDOM = """
from hypothesis import Phase
settings.register_profile(
    "faults", deadline=None, derandomize=True, database=None, phases=(Phase.explicit, Phase.generate)
)
settings.load_profile("faults")
"""


class Mutant(NamedTuple):
    """One fault: the text of the module with it, and what is different."""

    number: int
    text: str
    difference: str


# --- what is changed -------------------------------------------------------------------------------------------------


def mutants(source: str) -> Iterator[Mutant]:
    """The faults of one module, numbered from 1; what changes nothing at run time has no number."""
    visitor = MutationVisitor([*mutation_operators, *ADDED], IgnoredCode(set(), set(), set()))
    module = MetadataWrapper(cst.parse_module(source)).visit(visitor)
    plain, number, seen = _at_run_time(source), 0, set[str]()
    for one in visitor.mutations:
        if _text_for_people(one.original_node, one.mutated_node):
            continue
        text = module.deep_replace(one.original_node, one.mutated_node).code  # type: ignore[arg-type]
        changed = _at_run_time(text)
        if changed is None or changed == plain or changed in seen:
            continue
        seen.add(changed)
        number += 1
        lines = difflib.unified_diff(source.splitlines(), text.splitlines(), lineterm="", n=0)
        yield Mutant(number, text, "\n".join(line for line in lines if not line.startswith(("---", "+++"))))


def _at_run_time(source: str) -> str | None:
    """A module without its annotations; None where it is not Python any more."""
    try:
        tree = ast.parse(source)
    except SyntaxError:
        return None
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef):
            node.returns = None
        elif isinstance(node, ast.arg):
            node.annotation = None
        elif isinstance(node, ast.AnnAssign):
            node.annotation = ast.Constant("")
    return ast.dump(tree)


def _text_for_people(before: Any, after: Any) -> bool:
    if not isinstance(before, cst.SimpleString):
        return False
    return " " in before.value or "XX" not in after.value


def _half_left_out(node: cst.BooleanOperation) -> Iterable[cst.CSTNode]:
    yield node.left.with_changes(lpar=[cst.LeftParen()], rpar=[cst.RightParen()])
    yield node.right.with_changes(lpar=[cst.LeftParen()], rpar=[cst.RightParen()])


def _taken_for_granted(node: cst.If | cst.CompIf) -> Iterable[cst.CSTNode]:
    yield node.with_changes(test=cst.Name("True"), whitespace_before_test=cst.SimpleWhitespace(" "))
    if isinstance(node, cst.If):
        yield node.with_changes(test=cst.Name("False"), whitespace_before_test=cst.SimpleWhitespace(" "))


ADDED = [(cst.BooleanOperation, _half_left_out), (cst.If, _taken_for_granted), (cst.CompIf, _taken_for_granted)]

# --- what notices it -------------------------------------------------------------------------------------------------


def noticed(place: Path, mutant: Mutant, tests: list[str], folder: Path) -> bool:
    """Whether a test fails on a fault. Each is tried in a process of its own that has the large libraries already."""
    original, moved = place.read_text(encoding="utf-8"), place.stat().st_mtime
    place.write_text(mutant.text, encoding="utf-8")
    os.utime(place, (0, moved + mutant.number + 1))  # never taken for what was compiled from another
    try:
        child = os.fork()
        if not child:
            _run(tests, folder)
        return os.waitpid(child, 0)[1] != 0
    finally:
        place.write_text(original, encoding="utf-8")
        os.utime(place, (0, moved))


def _run(tests: list[str], folder: Path) -> None:
    """The tests, in the copy; the process ends here."""
    signal.alarm(LONGEST)
    silent = os.open(os.devnull, os.O_WRONLY)
    os.dup2(silent, 1)
    os.dup2(silent, 2)
    os.chdir(folder)
    tempfile.tempdir = str(folder / "temporary")
    plugins = [arg for name in ("cacheprovider", "warnings") for arg in ("-p", f"no:{name}")]
    os._exit(int(pytest.main(["-x", "-q", *plugins, "--basetemp", str(folder / "temporary" / "pytest"), *tests])))


# --- the run ---------------------------------------------------------------------------------------------------------


def main() -> int:
    options = _options()
    with tempfile.TemporaryDirectory(prefix="mutants-") as temporary:
        folder = Path(temporary) / "tree"
        shutil.copytree(TREE, folder, ignore=LEFT_BEHIND)
        (folder / "temporary").mkdir()
        with (folder / "tests" / "conftest.py").open("a", encoding="utf-8") as file:
            file.write(RANDOM)
        sys.path[:] = [str(folder), *(path for path in sys.path if path and Path(path).resolve() != TREE)]
        for name in [name for name in sys.modules if name == "tests" or name.startswith(("tests.", "checker"))]:
            del sys.modules[name]
        return max([_module(name, folder, options) for name in options.modules], default=0)


def _module(name: str, folder: Path, options: argparse.Namespace) -> int:
    place = folder / "checker" / f"{name}.py"
    names = [*QUICK[name], *(one for one in WIDE if options.wide and one not in QUICK[name])]
    tests = [f"tests/test_{one}.py" for one in names]
    gone = [path for path in tests if not (folder / path).exists()]
    if gone:  # pytest would end with a mistake, and every fault would seem noticed
        raise FileNotFoundError(f"{', '.join(gone)}: QUICK and WIDE name tests that are gone.")
    chosen = [one for one in mutants(place.read_text(encoding="utf-8")) if _chosen(one, options)]
    survivors = 0
    for one in chosen:
        if not options.list and noticed(place, one, tests, folder):
            continue
        survivors += 1
        print(f"{name} {one.number}\n{one.difference}\n", flush=True)
    if not options.list:
        print(f"{name}: {len(chosen)} faults, {len(chosen) - survivors} noticed, {survivors} not", flush=True)
    return int(survivors > 0 and not options.list)


def _chosen(one: Mutant, options: argparse.Namespace) -> bool:
    spans = [span.partition("-") for span in options.only.split(",") if span]
    asked = not spans or any(int(low) <= one.number <= int(high or low) for low, _, high in spans)
    return asked and one.number % options.every == 0


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Would the tests notice? One small fault at a time.")
    parser.add_argument("modules", nargs="*", default=list(QUICK), choices=list(QUICK), metavar="MODULE")
    parser.add_argument("--only", default="", help="Numbers of faults: 12,40-60.")
    parser.add_argument("--every", type=int, default=1, metavar="N", help="Every Nth fault alone.")
    parser.add_argument("--wide", action="store_true", help="With the slower tests after the quick ones.")
    parser.add_argument("--list", action="store_true", help="Tell the faults and try none.")
    return parser.parse_args()


if __name__ == "__main__":
    sys.exit(main())
