"""How a job stands, rule by rule, and nothing else: no words, no evidence, no reasons.

The same outcomes that a report has, by the generated function of all rules at once; what that leaves open is judged as for
a report. For what looks at many jobs and at few of their findings.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from collections.abc import Callable, Iterator
from functools import partial
from typing import Any, NamedTuple

from checker.engine.compiler import MOST_PROGRAMS, Asked, Bench
from checker.engine.job_run import OneJob
from checker.findings.composer import Said
from checker.ir import tree
from checker.ir.kleene import Range, Scope
from checker.judging.generated_code import DOES_NOT_APPLY, Domain, Generated, together
from checker.judging.judge import Place
from checker.reading.job import JobFacts

MOST_PLACES = 1000  # places of which the paths are kept, a list


class Row(NamedTuple):
    """What rules say at one place of a job: the key of the list item there (or nothing), and an outcome a rule.

    `does_not_apply` is among the outcomes.
    """

    rules: tuple[str, ...]
    item: str
    outcomes: list[str]


class Group(NamedTuple):
    """Rules that go through the same list, of which only one version can hold, and their function."""

    names: tuple[str, ...]
    asked: tuple[Asked, ...]
    generated: Generated
    known: dict[tuple[str, str], list[str]]

    def paths(self, place: Place) -> list[str]:
        """The full paths of the facts that the function wants of a place."""
        found = self.known.get(place[:2])
        if found is None:
            scope = Scope(None, {}, place.item, place.outer)  # type: ignore[arg-type]
            found = [sys.intern(scope.path(fact)) for fact in self.generated.facts]
            if len(self.known) < MOST_PLACES:
                self.known[place[:2]] = found
        return found


class Plan(NamedTuple):
    """A program laid out for outcomes: rules by the list they go through, and those of which several versions could hold."""

    groups: tuple[tuple[tuple[str, ...], Group], ...]
    others: tuple[Asked, ...]


def plan_of(program: tuple[Asked, ...], facts: JobFacts) -> Plan:
    """Lay out a program. Of `facts` only the vocabulary and the ranges of the place count, not the job."""
    by_list: dict[tuple[str, ...], list[Asked]] = defaultdict(list)
    others = []
    for asked in program:
        if len(asked.variants) != 1:
            others.append(asked)
        elif asked.only:
            by_list[asked.only.for_each].append(asked)
    return Plan(tuple((for_each, _group(many, facts)) for for_each, many in by_list.items()), tuple(others))


def _group(many: list[Asked], facts: JobFacts) -> Group:
    function = together([asked.only for asked in many if asked.only], _domain(facts))
    return Group(tuple(asked.rule for asked in many), tuple(many), function, {})


def _domain(facts: JobFacts) -> Callable[[tree.BoundRule, tree.Fact], Domain]:
    def domain(rule: tree.BoundRule, fact: tree.Fact) -> Domain:
        first = [f"{name}.0" for name in rule.for_each]
        around = {"job": [], "item": first, "outer": first[:-1]}[fact.frame]
        path = ".".join(filter(None, [*around, fact.path]))
        leaf, possible = facts.job.vocabulary.leaf(path), facts.possible(path)
        if leaf is None:
            return Domain()
        if possible is None or isinstance(possible, Range):
            return Domain((), leaf.may_be_none, possible is not None)
        return Domain(possible, leaf.may_be_none, ranged=False)

    return domain


class Outcomes:
    """Outcomes of jobs by one set of rulesets. A plan is made once for all jobs that are asked the same."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.plans: dict[tuple[Any, ...], Plan] = {}

    def of(self, one: OneJob) -> Iterator[Row]:
        """The rows of one job; none of a rule whose ruleset is not written for it."""
        plan = self.plan(one)
        for for_each, group in plan.groups:
            for place in one.places(for_each):
                yield Row(group.names, place.key, _at(place, group, one))
        for asked in plan.others:
            for place in one.places_of(asked.variants):
                yield Row((asked.rule,), place.key, [_looked_up(one, asked, place)])

    def plan(self, one: OneJob) -> Plan:
        """How to go about a job that is asked the same as this one."""
        if one.told.answers:  # of this job alone
            return plan_of(tuple(one.judged_by()), one.facts)
        key = (one.chain.digest, one.versions.key, one.left_out)
        found = self.plans.get(key)
        if found is None:
            if len(self.plans) >= MOST_PROGRAMS:
                self.plans.clear()
            found = self.plans[key] = plan_of(tuple(one.judged_by()), one.facts)
        return found


def _at(place: Place, group: Group, one: OneJob) -> list[str]:
    """What the rules of a group say at one place; where their function cannot tell, as for a report."""
    if place.missing:
        return [_looked_up(one, asked, place) for asked in group.asked]
    found = group.generated.judge(one.job.readings.get, group.paths(place), partial(_scope, one, group, place))
    if None not in found:
        return found  # type: ignore[return-value]
    return [outcome or _looked_up(one, asked, place) for outcome, asked in zip(found, group.asked, strict=True)]


def _scope(one: OneJob, group: Group, place: Place, number: int) -> Scope:
    rule = group.asked[number].only
    return Scope(one.facts, rule.where if rule else {}, place.item, place.outer)


def _looked_up(one: OneJob, asked: Asked, place: Place) -> str:
    said = one.said_at(asked.variants, asked.memory, place)
    return said.finding.outcome if isinstance(said, Said) else DOES_NOT_APPLY
