"""The parts that a rule wants brought on one job."""

from __future__ import annotations

from checker.findings.parts import PartWanted
from checker.findings.wording import filled
from checker.ir import tree
from checker.ir.kleene import Scope
from checker.judging.conditions import truth
from checker.judging.values import evaluate
from checker.reading.job import Job


def wanted(rule: tree.BoundRule, scope: Scope, job: Job) -> tuple[PartWanted, ...]:
    """The parts that a rule wants brought, as far as the facts allow them."""
    return tuple(filter(None, (_wanted(one, scope, job) for one in rule.parts)))


def _wanted(one: tree.Bring, scope: Scope, job: Job) -> PartWanted | None:
    held = truth(one.condition, scope)
    if held is False:
        return None
    ends = [None if end is None else evaluate(end.value, scope) for end in (one.least, one.most)]
    least, most = (end if isinstance(end, float | int) and not isinstance(end, bool) else None for end in ends)
    hole = one.least or one.most
    known = [end for end, amount in ((one.least, least), (one.most, most)) if end is not None and amount is None]
    return PartWanted(
        one.part,
        next((part.title for part in job.vocabulary.parts if part.name == one.part), one.part),
        filled(one.size, scope, job),
        least,
        most,
        hole.value.kind if hole else "",
        hole.unit if hole else "",
        hole.digits if hole else None,
        one.note,
        "" if held is True else one.words,
        bool(known),
    )
