"""What a report says of the authority's answers: who settled a question, and which answer no longer counts."""

from __future__ import annotations

from collections.abc import Iterator

from checker.binding.authority_answers import SETTLED
from checker.ir import tree
from checker.ir.kleene import Scope
from checker.ir.outcomes import PASS
from checker.judging.conditions import truth


def notes(rule: tree.BoundRule, scope: Scope, outcome: str) -> Iterator[str]:
    """Whose answer settled what was asked here, and which answer no longer counts where that leaves something open."""
    for settled in rule.settled:
        if truth(settled.condition, scope) is False:
            continue
        if settled.answer:
            yield f"{SETTLED}{settled.words}"
        elif outcome != PASS:
            yield settled.words


def not_asked(rule: tree.BoundRule) -> Iterator[str]:
    """That a rule is not asked here, and who said so."""
    for settled in rule.settled:
        if settled.answer == "not_asked" or settled.limits:
            yield f"Not asked here: {rule.title}. {SETTLED}{settled.words}".rstrip(".") + "."
