"""How a verdict was worked out: each comparison with its values and how sure it is, and what functions say of their results."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from checker.findings import limits_used
from checker.findings.finding import NOT_RECORDED, UNSTATED, Working
from checker.findings.wording import shown
from checker.ir import tree
from checker.ir.kleene import Nothing, Range, Scope, Unknown
from checker.ir.node import kept
from checker.ir.visitor import single_conditions, walk
from checker.judging.conditions import truth
from checker.judging.uncertainty import AccuracyOf, Margin, margin
from checker.judging.values import evaluate
from checker.problems.sanitize import low
from checker.reading import units
from checker.reading.job import Job
from checker.trade import functions
from checker.trade.function import Function, OutOfRange

BEYOND = "how sure the reading is cannot be told: its accuracy reaches beyond what the rule can work out"


def measurement_notes(workings: tuple[Working, ...]) -> Iterator[str]:
    """What the comparisons say of their own readings, the unstated accuracies in one line."""
    notes = [working.note for working in workings if working.note]
    yield from (note for note in notes if not note.startswith(UNSTATED))
    unstated = [note.removeprefix(UNSTATED) for note in notes if note.startswith(UNSTATED)]
    names = dict.fromkeys(name for note in unstated for name in note.split(", "))
    if names:
        yield UNSTATED + ", ".join(names)


def too_close_notes(workings: tuple[Working, ...]) -> Iterator[str]:
    """Why a reading has to be taken again: how near its limit it is, and how far off the instrument may be."""
    for one in workings:
        if one.near:
            yield (
                f"{' against '.join(one.values)} is too close to tell: the reading may be off by {one.uncertainty}. "
                "Get farther inside the limit, or measure with a better instrument."
            )


def workings(rule: tree.BoundRule, scope: Scope, job: Job, accuracy: AccuracyOf) -> tuple[Working, ...]:
    """Each comparison a rule requires, with its values, margin and uncertainty."""
    return tuple(working(node, rule, scope, job, accuracy) for node in single_conditions(rule.require))


def working(node: Any, rule: tree.BoundRule, scope: Scope, job: Job, accuracy: AccuracyOf) -> Working:
    """One comparison or other condition as it was made."""
    held = truth(node, scope)
    holds = "not known" if isinstance(held, Unknown) else "holds" if held else "does not hold"
    limits = limits_used.compared(node, rule, scope)
    if not isinstance(node, tree.Compare):
        fact = getattr(node, "fact", None) or (node.value if isinstance(node, tree.Truth | tree.Member) else None)
        if fact is None:
            return Working(node.text, (), (), holds, limits=limits)
        said = shown(fact, *_unit(fact, rule, job, scope), scope, job) or NOT_RECORDED
        return Working(node.text, (said,), (), holds, limits=limits)
    unit, digits = _unit_of_all(node, rule, job, scope)
    values = tuple(amount_shown(part, node, rule, scope, job) or NOT_RECORDED for part in node.operands)
    made = Working(node.text, values, node.operators, holds, limits=limits)
    if node.kind not in units.kinds():
        return made
    made = made._replace(amounts=_amounts(node, unit, scope), unit=unit)
    found = margin(node, scope, accuracy)
    return _with_margin(made, node, found, unit, digits, job) if found else made


def amount_shown(part: tree.Value, node: tree.Compare, rule: tree.BoundRule, scope: Scope, job: Job) -> str | None:
    """One side of a comparison as a person reads it, in its own unit or that of the other side; None if not known."""
    unit, digits = _unit(part, rule, job, scope)
    if not unit:
        unit, digits = _unit_of_all(node, rule, job, scope)
    return shown(part, unit, digits, scope, job)


def _amounts(node: tree.Compare, unit: str, scope: Scope) -> tuple[float | None, ...]:
    """What is compared, as numbers in a unit; None where a value is not known."""
    of = units.find_unit(node.kind, unit) or units.base_unit(node.kind)
    found = [evaluate(part, scope) for part in node.operands]
    return tuple(
        units.from_base(value, of) if isinstance(value, float | int) and not isinstance(value, bool) else None
        for value in found
    )


def _with_margin(
    working: Working, node: tree.Compare, found: Margin, unit: str, digits: int | None, job: Job
) -> Working:
    kind = units.DIFFERENCE_OF.get(node.kind, node.kind)
    if kind != node.kind:
        unit = _difference_unit(node.kind, unit)
    said = units.write_amount(found.amount, kind, unit, digits)
    if found.standard == 0.0:
        return working._replace(margin=said)
    if found.expanded is None and not found.unstated:
        return working._replace(margin=said, note=BEYOND)
    if found.expanded is None:
        names = ", ".join(low(job.vocabulary.title(path)) for path in found.unstated)
        return working._replace(margin=said, note=f"{UNSTATED}{names}")
    near = abs(found.amount) < found.expanded
    note = f"margin {said} is closer to the limit than the instruments can tell" if near else ""
    probability = f"{found.probability:.3f}" if found.probability is not None else ""
    return working._replace(
        margin=said,
        uncertainty=f"±{units.write_amount(found.expanded, kind, unit, _two_figures(found.expanded, kind, unit))} (k = 2)",
        probability=probability,
        note=note,
        spread=units.from_base(found.expanded, units.find_unit(kind, unit) or units.base_unit(kind)),
    )


def _two_figures(amount: float, kind: str, unit: str) -> int:
    """Digits after the point that show an uncertainty with two figures."""
    size = abs(units.from_base(amount, units.find_unit(kind, unit) or units.base_unit(kind)))
    return max(0, 1 - math.floor(math.log10(size))) if size > 0 else 0


def _difference_unit(kind: str, unit: str) -> str:
    same = {
        "degF": "delta_degF",
        "degC": "delta_degC",
        "K": "delta_degC",
        "psig": "psi",
        "kPag": "kPa",
        "micron": "micron_rise",
    }
    return same.get(
        unit, units.base_unit(units.DIFFERENCE_OF[kind]).name if units.DIFFERENCE_OF[kind] in units.kinds() else "day"
    )


def _unit(value: tree.Value, rule: tree.BoundRule, job: Job, scope: Scope) -> tuple[str, int | None]:
    if isinstance(value, tree.Named):
        return rule.units.get(value.name, ("", None))
    if isinstance(value, tree.Constant):
        return value.unit, None
    leaf = job.vocabulary.leaf(scope.path(value)) if isinstance(value, tree.Fact) else None
    return (leaf.unit, leaf.digits if leaf.measured else None) if leaf else ("", None)


def _unit_of_all(node: tree.Compare, rule: tree.BoundRule, job: Job, scope: Scope) -> tuple[str, int | None]:
    found = [_unit(part, rule, job, scope) for part in node.operands]
    unit = next((unit for unit, _ in found if unit), "")
    digits = [d for _, d in found if d is not None]
    return unit, max(digits) if digits else None


def remarks(rule: tree.BoundRule, scope: Scope) -> Iterator[str]:
    """What functions say of their own results, such as that a value was interpolated."""
    for call in _calls_with_remarks(rule):
        function = functions()[call.function]
        values = [evaluate(argument, scope) for argument in call.arguments]
        if not any(isinstance(value, Unknown | Range | Nothing) for value in values):
            yield from _remark(function, values)


def _remark(function: Function, values: list[Any]) -> Iterator[str]:
    try:
        said = function.remark(*values) if function.remark else None
    except OutOfRange:  # the value itself is unknown then, and says why
        return
    if said:
        yield said


@kept
def _calls_with_remarks(rule: tree.BoundRule) -> tuple[tree.Call, ...]:
    """The calls in a rule, of functions that have something to say."""
    parts = (rule.applies, rule.require, *rule.where.values())
    calls = (one for node in parts for one in walk(node) if isinstance(one, tree.Call))
    return tuple(one for one in calls if functions()[one.function].remark)
