"""Another rule's outcome as a condition, `met: rule-id`: which rules can be asked for, and what is taken from them.

What the other rule asks is put in the place of the condition, so every reader judges it as it judges any condition. It is
true where that rule applies and is passed. A rule that does not apply, or is not in force under the edition, is not met:
a way that was not gone settles nothing.
"""

from __future__ import annotations

from typing import Any

from checker.binding.names import Context
from checker.binding.parser import ExpressionError
from checker.ir import tree
from checker.ir.node import Node, replace
from checker.ir.visitor import rewritten
from checker.problems.problem import did_you_mean
from checker.rulesets.chain import Chain
from checker.rulesets.layering import Effective, effective
from checker.rulesets.models import Rule

FIELDS = ("applies_when", "require")
MOST_RULES = 30  # asked for by one line, those included that these ask for


def found(name: Any, asking: Effective, rule: Rule, field: str, context: Context) -> Effective:
    """The rule that a rule asks for, as it stands in the chain.

    Raises:
        ExpressionError: There is no such rule, it asks for the asking rule itself, or the two cannot be judged together.
    """
    chain = context.chain
    if not isinstance(name, str) or ("rules", name) not in chain.homes:
        hint = did_you_mean(str(name), chain.rule_ids) or "Name a rule of this ruleset, or of one under 'uses'."
        raise ExpressionError(f"'{name}' is not a rule here.", 1, hint)
    if field not in FIELDS:
        raise ExpressionError(
            "'met' asks for a rule where a condition decides.", 1, f"Write it under {' or '.join(FIELDS)}."
        )
    if circle := _circle(chain, asking.id, name):
        raise ExpressionError(
            f"These rules ask for each other: {' → '.join(circle)}.",
            1,
            "Write what one of them needs as conditions of its own.",
        )
    _refuse_too_many(chain, name)
    other = effective(chain, "rules", name, context.editions, context.day)
    assert isinstance(other.data, Rule)
    if other.withdrawn:
        hint = "Ask for a rule that is in force, or amend this one there."
        raise ExpressionError(f"'{name}' is withdrawn here: it is never met.", 1, hint)
    _refuse_another_way(name, other.data, rule)
    return other


def _refuse_too_many(chain: Chain, name: str) -> None:
    """Raise where too many rules stand behind one: all that they ask is put in the place of one line."""
    waiting, count = [name], 0
    while waiting:
        count += 1
        if count > MOST_RULES:
            raise ExpressionError(
                f"More than {MOST_RULES} rules stand behind '{name}'.",
                1,
                "Write what it needs as conditions of its own.",
            )
        waiting += chain.rules_met(waiting.pop())


def _refuse_another_way(name: str, other: Rule, rule: Rule) -> None:
    """Raise where two rules go through lists, judge readings or take dates each in its own way."""
    if other.for_each and other.for_each != rule.for_each:
        what = f"'{name}' goes through '{other.for_each}', and this rule does not."
        raise ExpressionError(
            what, 1, f"Give this rule 'for_each: {other.for_each}', or ask for a rule without a list."
        )
    for field in ("judged", "date"):
        if getattr(other, field) != getattr(rule, field):
            said = f"{field}: {getattr(other, field)}" if getattr(other, field) else f"no '{field}'"
            what = f"'{name}' has {said}, and this rule does not."
            raise ExpressionError(what, 1, f"Give both rules the same '{field}:'.")


def _circle(chain: Chain, asking: str, name: str) -> tuple[str, ...]:
    """The way from a rule back to itself by `met:`, begun with one that it asks for; nothing where there is none."""
    ways: list[tuple[str, ...]] = [(asking, name)]
    seen = {name}
    while ways:
        way = ways.pop(0)
        if way[-1] == asking:
            return way
        for one in chain.rules_met(way[-1]):
            if one not in seen:
                seen.add(one)
                ways.append((*way, one))
    return ()


def under_its_name(rule: tree.BoundRule) -> tree.BoundRule:
    """A bound rule whose names under `where` begin with its id, so that they are no other rule's."""

    def renamed(node: Node) -> Node:
        return replace(node, name=f"{rule.id}.{node.name}") if isinstance(node, tree.Named) else node

    where = {f"{rule.id}.{name}": rewritten(value, renamed) for name, value in rule.where.items()}
    parts = {name: rewritten(getattr(rule, name), renamed) for name in ("applies", "verify", "require")}
    return replace(rule, where=where, **parts)
