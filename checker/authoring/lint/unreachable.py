"""Conditions that can never be true, and lines that stand twice.

Only what can be shown is said: a word that is two words at once, a range whose ends cross, a yes that is also a no, a
known none that is compared. A condition counts as impossible where it is so under every edition and in every period.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from itertools import product
from typing import Any

from checker.authoring.lint.claims import Claim, claims, clash
from checker.authoring.lint.words import written
from checker.ir import tree
from checker.problems.document import Path_
from checker.problems.problem import Problem
from checker.rulesets.layering import Effective
from checker.rulesets.ruleset import Ruleset

CONDITIONS = ("applies_when", "verify_when", "require")
PROSE = ("option", "on_fail", "remedy", "ask")
SO_IT_IS = {
    "applies_when": "The rule would apply to no job: take one of the lines out, or put both under 'any_of'.",
    "require": "No job could pass: take one of the lines out, or put both under 'any_of'.",
    "verify_when": "The authority would never be asked: correct the line or take it out.",
    "any_of": "No job could meet this branch: correct it or take it out.",
}

_Field = tuple[str, str, str, Path_]  # a field of a rule, and the text that it comes from


class Impossible:
    """Collects the conditions that are never true, over all editions and periods of a rule."""

    def __init__(self) -> None:
        self._looked: Counter[_Field] = Counter()
        self._found: Counter[tuple[_Field, Problem]] = Counter()
        self._clashes: dict[tuple[Any, ...], list[tuple[Path_, str]]] = {}

    def look(self, layered: Effective, rule: tree.BoundRule) -> None:
        """Look at a rule as it stands for one place, day and set of editions."""
        for field in CONDITIONS:
            part = layered.part(field)
            longer = tuple(step for text, _ in layered.grown for step in text.path)
            key = (layered.id, field, part.document.file, (*part.path, *longer))
            self._looked[key] += 1
            for at, beside in self._impossible(rule, field):
                together = f" together with '{beside}'" if beside else ""
                hint = SO_IT_IS["any_of" if "any_of" in at else field]
                its, inside = layered.source(at)
                self._found[key, its.problem(inside, f"This is never true{together}.", hint)] += 1

    def _impossible(self, rule: tree.BoundRule, field: str) -> list[tuple[Path_, str]]:
        """The same conditions are looked at once, whatever editions and days they stand under."""
        asked = (field, rule.applies, rule.verify, rule.require, *rule.where.items())
        if asked not in self._clashes:
            self._clashes[asked] = list(_impossible(rule, field))
        return self._clashes[asked]

    def problems(self) -> Iterator[Problem]:
        """The conditions that could not be true in any edition or period in which they stand."""
        for (key, problem), times in self._found.items():
            if times == self._looked[key]:
                yield problem


def repeated(ruleset: Ruleset) -> Iterator[Problem]:
    """Lines that stand twice in one list of conditions of a ruleset's rules and amendments."""
    for (section, _), part in ruleset.parts.items():
        if section in ("rules", "amend"):
            for field, inside in product(CONDITIONS, (("set",), ("add",)) if section == "amend" else ((),)):
                fields = written(part).get(inside[0], {}) if inside else written(part)
                for at in _twice(fields.get(field), (*inside, field)):
                    what = "This is in the same list already, further up."
                    yield part.problem(at, what, "Take one of the two out, or correct what it should be.")


def _twice(lines: Any, at: Path_) -> Iterator[Path_]:
    if isinstance(lines, dict):
        for key, inside in lines.items():
            yield from _twice(inside, (*at, key))
    if not isinstance(lines, list):
        return
    seen = set()
    for index, line in enumerate(lines):
        yield from _twice(line, (*at, index))
        asked = " ".join(str(_without_prose(line)).split())
        if asked in seen:
            yield (*at, index)
        seen.add(asked)


def _without_prose(line: Any) -> Any:
    if not isinstance(line, dict):
        return line
    kept = {key: value for key, value in line.items() if key not in PROSE}
    return kept["when"] if set(kept) == {"when"} else kept


# --- what cannot be true ---------------------------------------------------------------------------------------------


def _impossible(rule: tree.BoundRule, field: str) -> Iterator[tuple[Path_, str]]:
    """The conditions of a field that can never be true: the path of each, and the line that it clashes with ("": itself)."""
    if field == "verify_when":
        for index, ask in enumerate(rule.verify):
            beside = _clash(ask.condition, [], rule.where)
            if beside is not None:
                yield (field, index), beside
        return
    above: list[Claim] = []
    for index, condition in enumerate((rule.applies if field == "applies_when" else rule.require).conditions):
        beside = _clash(condition, above, rule.where)
        if beside is not None:
            yield (field, index), beside
            return
        if isinstance(condition, tree.AnyOf):
            for number, branch in enumerate(condition.branches):
                beside = _clash(branch.condition, above, rule.where)
                if beside is not None:
                    yield (field, index, "any_of", number), beside
        above += claims(condition, rule.where)


def _clash(node: tree.Condition, above: list[Claim], where: Mapping[str, tree.Value]) -> str | None:
    """Why a condition is never true: the text of the line it clashes with, "" if by itself; None if it can be true."""
    if isinstance(node, tree.Constantly):
        return None if node.value else ""
    if isinstance(node, tree.AnyOf):
        clashes = [_clash(branch.condition, above, where) for branch in node.branches]
        return None if None in clashes else clashes[0]
    if isinstance(node, tree.All):
        inside = (_clash(part, above, where) for part in node.conditions)
        if (beside := next((one for one in inside if one is not None), None)) is not None:
            return beside
    known = list(above)
    for claim in claims(node, where):
        other = next((other for other in known if clash(claim, other)), None)
        if other is not None:
            return other.line if other.line != claim.line else ""
        known.append(claim)
    return None
