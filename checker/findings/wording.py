"""A verdict in words: messages and remedies with their values filled in."""

from __future__ import annotations

import math

from checker.ir import tree
from checker.ir.kleene import NONE, Evaluated, Nothing, Range, Scope, Unknown
from checker.judging.conditions import combinations, open_choices, truth
from checker.judging.values import evaluate
from checker.problems.sanitize import in_case
from checker.reading.job import Job
from checker.rulesets import limits as limit_values


def filled(sentences: tuple[tree.Sentence, ...], scope: Scope, job: Job, blank: str = "") -> str:
    """A message on one job.

    A sentence with a value in it that is not known, or is known to be none, is left out; if nothing else is left, those
    with a none are said after all. With a `blank`, what is not known is left blank and the sentence stays.
    """
    full = [sentence for sentence in sentences if not _with_none(sentence, scope)]
    said = []
    for sentence in full or sentences:
        parts = [
            part if isinstance(part, str) else shown(part.value, part.unit, part.digits, scope, job) or blank or None
            for part in sentence
        ]
        if None not in parts:
            said.append("".join(str(part) for part in parts))
    return " ".join(said)


def chosen(ways: tuple[tree.Way, ...], scope: Scope, told: Scope, job: Job, blank: str = "") -> str:
    """What the facts leave of a remedy's alternatives: the first that holds, each before it that is open with its condition.

    Args:
        scope: What is recorded; by it the alternatives are chosen.
        told: The same, or a filling-in of what is not recorded; by it the sentences are filled in.
    """
    said: list[str] = []
    for way in ways:
        held = truth(way.condition, scope)
        words = filled(way.say, told, job, blank) if held is not False else ""
        if words:
            said.append(in_case("" if held is True else way.words, bool(said), words))
        if held is True:
            break
    return " ".join(said)


def headline(rule: tree.BoundRule, told: Scope, job: Job) -> str:
    """What is wrong, in a few words: the first alternative that holds, without what stands behind its colon where a value
    there is not known; the title of a rule that has none."""
    for way in rule.failed:
        if truth(way.condition, told) is True:
            said = ["" if _with_none(end, told) else filled((end,), told, job) for end in way.say]
            if said[0]:
                return ": ".join(filter(None, said))
    return rule.title


def sayable(sentences: tuple[tree.Sentence, ...], scope: Scope) -> int:
    """How many sentences have a value for every place in them, one that is recorded or worked out."""
    values = [
        [_sayable(part.value, scope) for part in sentence if isinstance(part, tree.Hole)] for sentence in sentences
    ]
    return sum(not any(isinstance(value, Nothing | Unknown) for value in sentence) for sentence in values)


def _sayable(value: tree.Value, scope: Scope) -> Evaluated:
    """What a value comes to, but nothing for a fact that is only assumed."""
    assumed = isinstance(value, tree.Fact) and scope.path(value) in scope.assumed
    return NONE if assumed else evaluate(value, scope)


def _with_none(sentence: tree.Sentence, scope: Scope) -> bool:
    return any(isinstance(part, tree.Hole) and isinstance(evaluate(part.value, scope), Nothing) for part in sentence)


def shown(value: tree.Value, unit: str, digits: int | None, scope: Scope, job: Job) -> str | None:
    """A value as a person reads it: a recorded fact as it was written; None where it is not known, or only assumed."""
    found = evaluate(value, scope)
    if isinstance(value, tree.Fact):
        if scope.path(value) in scope.assumed:
            return None
        reading = job.readings.get(scope.path(value))
        if reading and not scope.moved:
            return reading.written
    return written(found, value.kind, unit, digits)


def written(found: Evaluated, kind: str, unit: str, digits: int | None) -> str | None:
    if isinstance(found, Nothing):
        return "none"
    if isinstance(found, Unknown):
        return None
    if isinstance(found, Range):
        ends = [written(end, kind, unit, digits) if math.isfinite(end) else "" for end in (found.low, found.high)]
        return f"{ends[0]} or more" if not ends[1] else f"{ends[0]} to {ends[1]}"
    return limit_values.shown(found, kind, unit, digits)


def what_failed(rule: tree.BoundRule, scope: Scope, job: Job) -> tuple[str, str, str]:
    """The headline, what is wrong and what to do, with what the branches of an `any_of` say of themselves.

    A failure that holds however something unrecorded is filled in is told as the filling-in that says most.
    """
    choices = open_choices([rule.applies, rule.require], scope)
    scopes = [scope.assuming(world) for world in combinations(choices)] if choices else [scope]
    told = max(scopes, key=lambda one: sayable(rule.on_fail, one)) if len(scopes) > 1 else scope
    failed, remedies = branch_words(rule, scope, told, job)
    message = " ".join(filter(None, (filled(rule.on_fail, told, job), failed)))
    remedy = chosen(rule.remedy, scope, told, job)
    return headline(rule, told, job), message, " ".join(filter(None, (remedy, remedies)))


def branch_words(rule: tree.BoundRule, scope: Scope, told: Scope, job: Job) -> tuple[str, str]:
    """The messages and remedies that the branches of a failing `any_of` carry; `scope` and `told` as in `chosen`."""
    failed, remedies = [], []
    for node in rule.require.conditions:
        if not isinstance(node, tree.AnyOf) or truth(node, told) is not False:
            continue
        for branch in node.branches:
            failed.append(_prefixed(branch.option, filled(branch.on_fail, told, job)))
            remedies.append(_prefixed(branch.option, chosen(branch.remedy, scope, told, job)))
    return " ".join(filter(None, failed)), " ".join(filter(None, remedies))


def _prefixed(option: str, words: str) -> str:
    return f"{option}: {words}" if option and words else words
