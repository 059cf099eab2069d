"""A reader of programs and vectors that has nothing else: no ruleset, no job schema, no unit."""

from __future__ import annotations

import re
from types import SimpleNamespace
from typing import Any

from checker.ir.kleene import NONE, Cause, Evaluated, Known, Nothing, Range, Unknown
from checker.ir.outcomes import FAIL, VERIFY
from checker.ir.program import Program
from checker.judging.generated_code import DOES_NOT_APPLY
from checker.judging.judge import Place, Verdict, agreed, judge, judge_at
from checker.judging.uncertainty import Accuracy

POSITION = re.compile(r"\.\d+(?=\.|$)")


class Facts:
    """The facts of a vector, with what the program says that the others can be."""

    def __init__(self, program: Program, vector: dict[str, Any]) -> None:
        self.program, self.lists, self.doubts = program, vector["lists"], vector["doubts"]
        self.values = {path: _evaluated(path, value) for path, value in vector["values"].items()}

    def value(self, path: str) -> Evaluated | None:
        if path in self.doubts:
            return Unknown(frozenset([Cause("implausible", path, self.doubts[path])]), ("fact", path))
        return self.values.get(path)

    def recorded(self, path: str, otherwise: Any, /) -> Any:
        known = path in self.values and path not in self.doubts
        return SimpleNamespace(value=self.values[path]) if known else otherwise

    def items(self, path: str) -> tuple[str, ...] | None:
        return tuple(self.lists[path]) if path in self.lists else None

    def possible(self, path: str) -> tuple[Known | Nothing, ...] | Range | None:
        at = POSITION.sub("", path)
        domain = self.program.facts.get(at)
        if domain is None:
            return None
        ends = self.program.ranges.get(at) or domain.range
        if ends:
            return Range(*ends, frozenset([Cause("not_recorded", path)]))
        none = (NONE,) if domain.may_be_none else ()
        return (*domain.values, *none) if domain.values else None


def _evaluated(path: str, value: Any) -> Evaluated:
    if value is None:
        return NONE
    if isinstance(value, dict):
        return Range(value["low"], value["high"], frozenset([Cause("date_unknown", path)]))
    evaluated: Evaluated = value
    return evaluated


def verdicts(program: Program, vector: dict[str, Any]) -> dict[Place, list[Verdict]]:
    """At each place what the rule says under each edition and day that could hold."""

    def accuracy(path: str) -> Accuracy | bool | None:
        if path not in vector["accuracies"]:
            return False
        found = vector["accuracies"][path]
        return None if found is None else Accuracy(found["half_width"], found["instrument"])

    facts, as_recorded = Facts(program, vector), Facts(program, {**vector, "doubts": {}})
    found: dict[Place, list[Verdict]] = {}
    rules = [program.rule(vector["rule"], one["editions"], one["day"]) for one in vector["versions"]]
    for number, rule in enumerate(rules):
        for one in judge(rule, facts, accuracy) if rule else ():
            verdict = one.verdict
            if rule and any(cause.fact in facts.doubts for cause in verdict.causes):  # a failure as recorded stays one
                plainly = judge_at(rule, as_recorded, one.place, accuracy).verdict
                verdict = plainly if plainly.outcome == FAIL else verdict
            found.setdefault(one.place, [Verdict(DOES_NOT_APPLY)] * len(rules))[number] = verdict
    return found


def outcomes(program: Program, vector: dict[str, Any]) -> list[str]:
    """The outcome at each place where the rule applies; where editions differ, it is for others to say which holds."""
    found = []
    for each in verdicts(program, vector).values():
        said = {verdict.outcome for verdict in each}
        if said != {DOES_NOT_APPLY}:
            found.append(agreed(said) or VERIFY)
    return found or [DOES_NOT_APPLY]


def needed(program: Program, vector: dict[str, Any]) -> set[str]:
    """The facts that would settle a case of which only one version of the rule could hold."""
    return {path for each in verdicts(program, vector).values() for verdict in each for path in verdict.needs}
