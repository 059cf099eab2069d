"""What stands beside rules and does not go with them: changes without cases, facts given twice, figures in titles."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from checker.authoring.cases import job_path, stated
from checker.authoring.proofs.found import Findings
from checker.authoring.proofs.scopes import SAYS_ONLY
from checker.authoring.proofs.standing import Form
from checker.ir import tree
from checker.ir.visitor import outermost
from checker.reading import units
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.models import Amendment
from checker.rulesets.ruleset import Part, Ruleset

NUMBER = r"(?:\d+-)?\d+(?:[./]\d+)?"
AMOUNT = re.compile(rf"(?<![\w./-])({NUMBER} [A-Za-z°]+(?: {NUMBER} in\b)?)\b(?! per)")
TOLERANCE = 1e-6


def untried_changes(found: Findings, ruleset: Ruleset) -> None:
    """Tell of amendments and withdrawals that come with no case."""
    for operation in ("amend", "withdraw", "restore"):
        for name, change in getattr(ruleset, operation).items():
            says_only = isinstance(change, Amendment) and set(change.fields_changed) <= SAYS_ONLY
            if not change.cases and not says_only:
                what = f"No case tries what this does to '{name}'."
                hint = "Add one under 'cases' that comes out otherwise without it."
                problem = ruleset.parts[operation, name].problem(("=",), what, hint)
                found.tell("untried-change", f"{ruleset.id}: {name}", problem)


def given_twice(found: Findings, ruleset: Ruleset, for_each: Mapping[str, str], vocabulary: Vocabulary) -> None:
    """Tell of a fact that a case gives in two ways of writing its path."""
    for one in stated(ruleset):
        paths = Counter(_paths(one.case.given, for_each.get(one.rule, ""), vocabulary))
        for path in (path for path, times in paths.items() if times > 1):
            what = f"The case '{one.case.name}' gives '{path}' twice."
            found.tell(
                "given-twice", f"{one.rule}: {one.case.name}", one.part.problem(("given",), what, "Write it once.")
            )


def _paths(given: Mapping[str, Any], for_each: str, vocabulary: Vocabulary) -> Iterator[str]:
    for path, value in given.items():
        yield from _inside(job_path(path, for_each, vocabulary), value, vocabulary)


def _inside(path: str, value: Any, vocabulary: Vocabulary) -> Iterator[str]:
    if vocabulary.leaf(path) is None and isinstance(value, dict | list):
        steps: Iterable[tuple[Any, Any]] = value.items() if isinstance(value, dict) else enumerate(value)
        for step, inside in steps:
            yield from _inside(f"{path}.{step}", inside, vocabulary)
    else:
        yield path


def title_figures(found: Findings, rule_id: str, title: str, part: Part, forms: list[Form]) -> None:
    """Tell of an amount in a title that no limit of this kind has in any form of the rule, though it has such limits.

    Only limits that the requirement compares something with count: a title may name the jobs that a rule is about too.
    """
    limits: dict[str, set[float]] = {}
    for form in forms:
        for compared in outermost(form.rule.require, tree.Compare):
            for one in compared.operands:
                if isinstance(one, tree.Constant) and isinstance(one.value, int | float):
                    limits.setdefault(one.kind, set()).add(float(one.value))
    for figure in AMOUNT.finditer(title):
        for kind in limits:
            try:
                amount = units.read_amount(figure[1], kind, "")[0]
            except units.UnitError:
                continue
            if not any(abs(amount - limit) <= TOLERANCE * max(1.0, abs(limit)) for limit in limits[kind]):
                what = f"The title says {figure[1]}, and no limit of '{rule_id}' is that."
                problem = part.problem(("title",), what, "Correct the title, or the limit.", figure.start() + 1)
                found.tell("title-figure", rule_id, problem)
