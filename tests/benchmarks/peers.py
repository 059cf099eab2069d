"""The workload in the terms of general-purpose engines, each as its own users would write it for speed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from tests.benchmarks import by_hand
from tests.benchmarks.dual import CEL, OPPOSITE, ZEN
from tests.benchmarks.workload import (
    DOES_NOT_APPLY,
    FAIL,
    PASS,
    VERIFY,
    Against,
    Among,
    AnyOf,
    Condition,
    Fact,
    Flagged,
    Rule,
    Workload,
)

Evaluate = Callable[[dict[str, Any]], list[int]]


class Peer(NamedTuple):
    """`engine`: an engine that is handed rules, not code written for these rules."""

    name: str
    evaluate: Evaluate
    engine: bool
    slow: bool = False


def peers(work: Workload) -> list[Peer]:
    return [
        Peer("hand-written Python, a function a rule", by_hand.evaluator(work), engine=False),
        Peer("zen-engine (Rust), one compiled expression", zen(work), engine=True),
        Peer("CEL (Rust), one compiled expression", cel(work), engine=True),
        Peer("JsonLogic (Rust, datalogic-py), one compiled rule", datalogic(work), engine=True),
        Peer("JsonLogic (Python, json-logic-qubit)", json_logic(work), engine=True, slow=True),
    ]


def flat(found: list[Any]) -> list[int]:
    """The outcomes of the rules, and last a list for each item → one list."""
    *outcomes, items = found
    for item in items:
        outcomes += item
    return outcomes


def zen(work: Workload) -> Evaluate:
    import zen as engine

    own = ", ".join(map(ZEN.rule, work.of_job))
    each = ", ".join(map(ZEN.rule, work.of_item))
    compiled = engine.compile_expression(f"[{own}, map(items, [{each}])]")
    return lambda document: flat(compiled.evaluate(document))


def cel(work: Workload) -> Evaluate:
    import cel as engine

    own = ", ".join(map(CEL.rule, work.of_job))
    each = ", ".join(map(CEL.rule, work.of_item))
    compiled = engine.compile(f"[{own}, items.map(i, [{each}])]")
    return lambda document: flat(compiled.execute(document))


def datalogic(work: Workload) -> Evaluate:
    from datalogic_py import Engine

    own = [logic(rule) for rule in work.of_job]
    each = [logic(rule) for rule in work.of_item]
    engine = Engine()
    compiled, session = engine.compile([*own, {"map": [{"var": "items"}, each]}]), engine.session()
    return lambda document: flat(session.evaluate(compiled, document))


def json_logic(work: Workload) -> Evaluate:
    from json_logic import jsonLogic

    own, each = [logic(rule) for rule in work.of_job], [logic(rule) for rule in work.of_item]

    def evaluate(document: dict[str, Any]) -> list[int]:
        found = [jsonLogic(rule, document) for rule in own]
        return found + [jsonLogic(rule, item) for item in document["items"] for rule in each]

    return evaluate


# --- JsonLogic ---


def logic(rule: Rule) -> dict[str, Any]:
    surely_not = {"or": [_surely(condition, False) for condition in rule.applies]}
    surely = [_surely(condition, True) for condition in rule.applies]
    met = {"and": [_surely(condition, True) for condition in rule.require]}
    broken = {"or": [_surely(condition, False) for condition in rule.require]}
    return {"if": [surely_not, DOES_NOT_APPLY, met, PASS, {"and": [broken, *surely]}, FAIL, VERIFY]}


def _surely(condition: Condition, wanted: bool) -> dict[str, Any]:
    if isinstance(condition, AnyOf):
        return {"or" if wanted else "and": [_surely(part, wanted) for part in condition.parts]}
    value = _var(condition.fact)
    if isinstance(condition, Flagged):
        return {"===": [value, wanted]}
    given = {"!==": [value, None]}
    if isinstance(condition, Among):
        among: dict[str, Any] = {"in": [value, list(condition.words)]}
        return {"and": [given, among if wanted else {"!": among}]}
    operator = condition.operator if wanted else OPPOSITE[condition.operator]
    if isinstance(condition, Against):
        other = _var(condition.other)
        return {"and": [given, {"!==": [other, None]}, {operator: [value, other]}]}
    return {"and": [given, {operator: [value, condition.limit]}]}


def _var(fact: Fact) -> dict[str, str]:
    return {"var": fact.path if fact.group else fact.name}
