"""What the rules of a place still look at on a job: each fact once, with who reads it and the limits it has to meet.

A plan, a field sheet and a question all begin here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from checker.fieldwork.open_readings import is_measured
from checker.findings import limits_used, named_facts, workings
from checker.ir import tree
from checker.ir.kleene import Range, Scope, Unknown
from checker.ir.node import replace
from checker.ir.references import facts_read
from checker.judging.conditions import truth
from checker.judging.judge import Judged
from checker.judging.values import evaluate
from checker.problems.sanitize import low
from checker.reading import units
from checker.reading.fact_shapes import Leaf, item_of
from checker.reading.job import Job
from checker.reporting.words import from_layers

Looked = Iterable[tuple[tree.BoundRule, Judged]]

MOST, LEAST = "at most", "at least"
SIDES = {"<=": MOST, "<": MOST, ">=": LEAST, ">": LEAST}
SIGNS = {"<=": "at most", "<": "under", ">=": "at least", ">": "over", "==": "", "!=": "not"}


class Wanted(NamedTuple):
    """A fact that rules look at: its leaf, the limits it has to meet in words, and the rules that name it.

    `item` is the key of the list item it belongs to ("main/upper"), `written` what is recorded of it.
    """

    path: str
    leaf: Leaf
    item: str
    written: str
    limits: tuple[str, ...]
    rules: tuple[tree.BoundRule, ...]

    @property
    def stage(self) -> int:
        """The place of the last stage of the work at which it can be seen."""
        return self.leaf.stage


class Limit(NamedTuple):
    """What a fact has to be, in words: of an amount, on which side it stands and how large it is in the base unit."""

    text: str
    side: str
    amount: float = 0.0


class Measurement(NamedTuple):
    """A comparison that waits for readings: in words with its limits, the facts or lists it waits for, and its rule.

    `outright` tells that one fact itself is compared, not something worked out of several. `reading` is what is measured, in
    words, and `first` the titles that its limit waits for: none where its limit is known.
    """

    text: str
    facts: tuple[str, ...]
    rule: tree.BoundRule
    item: str
    outright: bool
    reading: str
    first: tuple[str, ...]


def wanted(looked_at: Looked, job: Job) -> list[Wanted]:
    """Every fact that rules look at, which apply to the job or may apply, in the order of the visit, then of the schema.

    Args:
        looked_at: The rules as judged, from `Checker.looked_at`.
    """
    rules: dict[str, dict[str, tree.BoundRule]] = {}
    limits: dict[str, dict[str, Limit]] = {}
    for rule, judged in looked_at:
        for path in named_facts.facts_named(rule, judged.scope):
            rules.setdefault(path, {})[rule.id] = rule
        for path, limit in _limits(rule, judged.scope, job):
            here = limits.setdefault(path, {})
            here[limit.side] = _stricter(limit, here.get(limit.side, limit))
    order = {path: number for number, path in enumerate(job.vocabulary.leaves)}
    found = [
        Wanted(
            path,
            leaf,
            item_of(path, job.lists),
            _written(path, job),
            _told(limits.get(path, {})),
            tuple(by_id.values()),
        )
        for path, by_id in rules.items()
        if (leaf := job.vocabulary.leaf(path))
    ]
    return sorted(found, key=lambda one: (one.stage, order[one.leaf.path], one.path))


def _stricter(one: Limit, other: Limit) -> Limit:
    """Of two limits on one side of a fact the one that leaves less room."""
    return one if (one.amount < other.amount) == (one.side == MOST) else other


def _told(limits: Mapping[str, Limit]) -> tuple[str, ...]:
    return tuple(limit.text for limit in limits.values())


def measurements(looked_at: Looked, job: Job) -> list[Measurement]:
    """What is still to be measured for rules that apply or may apply, with the limits it has to meet.

    Args:
        looked_at: The rules as judged, from `Checker.looked_at`.
    """
    found: dict[tuple[str, str, str], Measurement] = {}
    for rule, judged in looked_at:
        for one in _waiting(rule, judged, job):
            found.setdefault((one.text, one.rule.id, one.item), one)
    return list(found.values())


def _waiting(rule: tree.BoundRule, judged: Judged, job: Job) -> Iterator[Measurement]:
    for node, must in _required(rule.require, judged.scope):
        if not isinstance(node, tree.Compare) or node.kind not in units.kinds():
            continue
        node = _measured_first(node, judged.scope, job)
        read = [part for part in node.operands if _to_measure(part, judged.scope, job, must)]
        if len(read) == 1:
            limits = [part for part in node.operands if part != read[0]]
            waits = {path for part in limits for path in _missing(part, judged.scope, job)}
            titles = tuple(sorted(low(job.vocabulary.title(path)) for path in waits))
            read_off = _operand(read[0], node, rule, judged.scope, job)
            text = f"{read_off} (first: {', '.join(titles)})" if titles else in_words(node, rule, judged.scope, job)
            facts = tuple(_missing(read[0], judged.scope, job))
            plain = isinstance(read[0], tree.Fact)
            yield Measurement(text, facts, rule, judged.place.key, plain, read_off, titles)


def _missing(part: tree.Value, scope: Scope, job: Job) -> list[str]:
    unknown = isinstance(evaluate(part, scope), Unknown | Range)
    return [path for path in facts_read(part, scope) if path not in job.readings] if unknown else []


def _to_measure(part: tree.Value, scope: Scope, job: Job, must: bool = True) -> bool:
    """Whether a side of a comparison waits for something that is read on an instrument or a rule during the visit.

    Where other ways serve too (not `must`), only what an instrument reads counts.
    """
    missing = _missing(part, scope, job)
    leaves = [leaf for path in missing if (leaf := job.vocabulary.leaf(path))]
    lists = any(path in job.vocabulary.lists for path in missing)
    return lists or any(
        leaf.measured or (must and leaf.form == "quantity" and leaf.stage < len(job.vocabulary.stages) - 1)
        for leaf in leaves
    )


def _measured_first(node: tree.Compare, scope: Scope, job: Job) -> tree.Compare:
    """The same comparison, turned where what is measured stands on its right."""
    if len(node.operands) == 2 and _to_measure(node.operands[1], scope, job):
        turned = (tree.MIRRORED[node.operators[0]],)
        return replace(node, operands=node.operands[::-1], operators=turned)
    return node


def in_words(node: tree.Compare, rule: tree.BoundRule, scope: Scope, job: Job) -> str:
    """A comparison with limits as values, the rest by name: "girth at least 0.8 in". A reading has its value behind it."""
    left, *others = (_operand(part, node, rule, scope, job) for part in node.operands)
    if len(others) == 2:
        return f"{others[0]} from {left} to {others[1]}"
    return " ".join(filter(None, (left, SIGNS[node.operators[0]], others[0])))


def _operand(part: tree.Value, node: tree.Compare, rule: tree.BoundRule, scope: Scope, job: Job) -> str:
    found = evaluate(part, scope)
    shown = None if isinstance(found, Range) else workings.amount_shown(part, node, rule, scope, job)
    named = low(job.vocabulary.title(scope.path(part))) if isinstance(part, tree.Fact) else ""
    if shown is not None and named and _is_reading(part, scope, job):
        return f"{named} ({shown})"
    if shown is not None:
        return shown + _from_layers(part, rule, scope)
    if named:
        return named
    return part.name.replace("_", " ") if isinstance(part, tree.Named | tree.Fold | tree.Constant) else node.text


def _from_layers(part: tree.Value, rule: tree.BoundRule, scope: Scope) -> str:
    """Who set a limit, where another layer than the rule's own did."""
    return from_layers(limits_used.compared(part, rule, scope))


def _required(node: tree.Condition, scope: Scope, must: bool = True) -> Iterator[tuple[tree.Condition, bool]]:
    """The single conditions inside a requirement, and whether each must hold or is one way of several.

    Where what is known leaves one way only, that way must hold.
    """
    if isinstance(node, tree.All):
        for part in node.conditions:
            yield from _required(part, scope, must)
    elif isinstance(node, tree.AnyOf):
        ways = [branch.condition for branch in node.branches if truth(branch.condition, scope) is not False]
        for way in ways:
            yield from _required(way, scope, must and len(ways) == 1)
    else:
        yield node, must


def _limits(rule: tree.BoundRule, scope: Scope, job: Job) -> Iterator[tuple[str, Limit]]:
    """What each fact that a rule compares outright has to be, where that is known and no other way serves."""
    for node, must in _required(rule.require, scope):
        if must and isinstance(node, tree.Compare):
            yield from _compared(node, rule, scope, job)
        elif must and isinstance(node, tree.Truth) and isinstance(node.value, tree.Fact):
            yield scope.path(node.value), _word("yes")
        elif must and isinstance(node, tree.Not) and isinstance(node.condition, tree.Truth):
            if isinstance(node.condition.value, tree.Fact):
                yield scope.path(node.condition.value), _word("no")
        elif must and isinstance(node, tree.Member) and isinstance(node.value, tree.Fact):
            words = " or ".join(word.replace("_", " ") for word in node.words)
            yield scope.path(node.value), _word(f"not {words}" if node.negated else words)


def _word(text: str) -> Limit:
    return Limit(text, text)


def _compared(node: tree.Compare, rule: tree.BoundRule, scope: Scope, job: Job) -> Iterator[tuple[str, Limit]]:
    pairs = zip(node.operands, node.operators, node.operands[1:], strict=False)
    for left, operator, right in pairs:
        for one, sign, other in ((left, operator, right), (right, tree.MIRRORED[operator], left)):
            if isinstance(one, tree.Fact) and not isinstance(evaluate(other, scope), Unknown):
                limit = workings.amount_shown(other, node, rule, scope, job)
                read = _is_reading(other, scope, job)
                if limit is not None and not read and not _given(one, scope, job):
                    text = f"{SIGNS[sign]} {limit}".strip() + _from_layers(other, rule, scope)
                    side, amount = SIDES.get(sign, text), evaluate(other, scope)
                    yield scope.path(one), Limit(text, side, amount if isinstance(amount, int | float) else 0.0)


def _given(fact: tree.Fact, scope: Scope, job: Job) -> bool:
    """Whether a fact is read on a plate or in a manual: then it sets limits and has none."""
    path, vocabulary = scope.path(fact), job.vocabulary
    return any(vocabulary.holds(path, sort) for sort in ("plate", "manual", "rating"))


def _is_reading(value: tree.Value, scope: Scope, job: Job) -> bool:
    """Whether a value is the crew's own: read, counted, or worked out of what was read. Then it is no limit of another.

    A limit comes out of a ruleset, off a plate, out of a manual, or from a fact that the schema marks as one.
    """
    if any(is_measured(path, job.vocabulary) for path in facts_read(value, scope)):
        return True
    leaf = job.vocabulary.leaf(scope.path(value)) if isinstance(value, tree.Fact) else None
    states = leaf and any(
        job.vocabulary.holds(leaf.path, sort) for sort in ("plate", "manual", "rating", "order", "limit")
    )
    return bool(leaf and leaf.form in ("quantity", "count") and not states)


def _written(path: str, job: Job) -> str:
    reading = job.readings.get(path)
    return reading.written if reading else ""
