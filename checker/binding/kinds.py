"""Which kinds of values go together, and what to say where they do not."""

from __future__ import annotations

from typing import Any, NoReturn

from checker.binding import parser as syntax
from checker.binding.parser import ExpressionError
from checker.ir import tree
from checker.reading import units

DIFFERENCES = set(units.DIFFERENCE_OF.values())


def inside(value: tree.Value) -> list[tree.Value]:
    if isinstance(value, tree.Arithmetic):
        return [value.left, value.right]
    if isinstance(value, tree.Choice):
        return [value.value, value.otherwise]
    if isinstance(value, tree.FirstGiven):
        return [value.first, value.second]
    if isinstance(value, tree.Call):
        return list(value.arguments)
    return (
        [tree.Fact(f"{value.items.path}.{value.field}", value.items.frame, value.kind)]
        if isinstance(value, tree.Fold) and value.field
        else []
    )


def kind_of_sum(operator: str, left: str, right: str) -> str:
    """The kind of a sum or product, or nothing where the two do not go together."""
    difference = units.DIFFERENCE_OF
    if operator in "*/":
        if right == "number":
            return left if left in units.kinds() else ""
        if operator == "*":
            return right if left == "number" and right in units.kinds() else ""
        return "number" if left == right and left in units.kinds() - set(difference) else ""
    if left in difference:
        if operator == "-" and left == right:
            return difference[left]
        return left if right == difference[left] else ""
    return left if left == right and (left in units.kinds() or left in DIFFERENCES) else ""


def literal(part: syntax.Syntax) -> bool:
    return isinstance(part, syntax.Amount | syntax.Day | syntax.Quoted)


def no_table(name: str, node: Any) -> NoReturn:
    wrong(
        f"'{node.name}' reads the table '{name}', which no ruleset here has.",
        node,
        "Add the ruleset that has it under 'uses'.",
    )


def mixed(one: tree.Value, other: tree.Value) -> str:
    return f"{shown(one)} is {a(one.kind)} and {shown(other)} is {a(other.kind)}: they are of different kinds."


def shown(value: tree.Value) -> str:
    name = getattr(value, "path", "") or getattr(value, "name", "") or getattr(value, "function", "")
    return f"'{name}'" if name else "This"


def a(kind: str) -> str:
    word = {"flag": "yes or no", "word": "word"}.get(kind, kind.replace("_", " "))
    return f"{'an' if word[0] in 'aeiou' else 'a'} {word}"


def wrong(what: str, node: Any, hint: str = "") -> NoReturn:
    raise ExpressionError(what, getattr(node, "column", 1), hint)
