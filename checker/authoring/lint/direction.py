"""Whether an amendment goes in the direction that it says: tried on generated jobs, not on what it says.

The jobs are the worked cases of the rule and of the amendment, and each of them with one fact moved: an amount to its
limit, a step under it and a step over it; a word or a yes to every value that it can have. Each is judged without the
amendment and with it. Stricter is wrong where something fails without it and no longer does; looser the other way round.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from itertools import pairwise
from typing import NamedTuple

from checker.authoring.cases import Stated, checker_for, loaded, stated
from checker.authoring.condition_places import Asks, what_it_asks
from checker.authoring.lint.changes import Layered, layered
from checker.engine.checker import Checker
from checker.findings import named_facts, wording
from checker.ir import tree
from checker.ir.kleene import Scope
from checker.ir.outcomes import FAIL, PASS
from checker.ir.visitor import behind_names, single_conditions
from checker.judging.generated_code import DOES_NOT_APPLY
from checker.judging.judge import Judged, judge
from checker.judging.uncertainty import AccuracyOf
from checker.judging.values import evaluate
from checker.problems.problem import Problem
from checker.reading import units
from checker.reading.fact_reader import LeafError, Reading, read_leaf
from checker.reading.fact_shapes import Leaf
from checker.reading.job import Job, JobFacts
from checker.rulesets.applicability import Versions
from checker.rulesets.chain import Chain
from checker.rulesets.layering import NO_EDITION
from checker.rulesets.models import Amendment
from checker.rulesets.ruleset import Part

SAID = {PASS: "passes", FAIL: "fails", DOES_NOT_APPLY: "escapes"}
STEPS = 10  # grains from a limit to a job just under it or just over it
MOST_FACTS = 6

Pair = tuple[tree.BoundRule | None, tree.BoundRule | None]
AskedBy = tuple[Asks | None, Asks | None]  # what each rule of a pair asks


class Contradiction(NamedTuple):
    """A job on which an amendment goes the other way: what a rule says without it and with it, and its facts."""

    rule: str
    below: str
    here: str
    facts: str
    edition: str


def direction_problems(
    checker: Checker, chain: Chain, seen: set[Part], about: Collection[str] = ()
) -> Iterator[Problem]:
    """Amendments of a chain that say a direction and go another, those in `seen` passed over.

    Args:
        about: The rulesets whose amendments are tried; all where none is named.
    """
    for change in layered(chain):
        asked = change.change
        if about and change.ruleset.id not in about:
            continue
        if not isinstance(asked, Amendment) or asked.direction == "different" or change.part in seen:
            continue
        seen.add(change.part)
        contradiction = next(_contradictions(checker, change, asked.direction), None)
        if contradiction:
            under = f" (edition {contradiction.edition})" if contradiction.edition != NO_EDITION else ""
            what = (
                f"This says '{asked.direction}', but a job that {SAID[contradiction.below]} '{contradiction.rule}' without it "
                f"{SAID[contradiction.here]} it here: {contradiction.facts}{under}."
            )
            other = {"stricter": "looser", "looser": "stricter"}[asked.direction]
            hint = f"Fix what it sets, or write 'direction: {other}', or 'different' where it goes both ways."
            yield change.part.problem(("direction",), what, hint)


def _contradictions(checker: Checker, change: Layered, direction: str) -> Iterator[Contradiction]:
    wrong = {(FAIL, PASS)}
    if (
        change.section == "rules"
    ):  # where a limit is changed, another rule may speak in the place of one that is let off
        wrong.add((FAIL, DOES_NOT_APPLY))
    if direction == "looser":
        wrong = {(here, below) for below, here in wrong}
    for rule_id in _rules(change):
        tried = _Tried(checker, change, rule_id)
        for case in _cases(change, rule_id):
            for below, here, facts, edition in tried.outcomes(case):
                if (below, here) in wrong:
                    yield Contradiction(rule_id, below, here, facts, edition)


def _rules(change: Layered) -> list[str]:
    """The rule that is amended, or those that name the limit that is."""
    if change.section == "rules":
        return [change.name]
    return [rule for rule in change.here.rule_ids if change.name in change.here.limits_named(rule)]


def _cases(change: Layered, rule_id: str) -> Iterator[Stated]:
    for ruleset in change.here.rulesets:
        yield from (case for case in stated(ruleset) if case.rule == rule_id)


class _Tried:
    """One rule without an amendment and with it, tried on the jobs that its cases give rise to."""

    def __init__(self, checker: Checker, one: Layered, rule_id: str) -> None:
        self.checker, self.one, self.rule_id = checker, one, rule_id
        self.pairs: dict[AskedBy, Pair] = {}
        self.done: set[tuple[str, str, str]] = set()

    def outcomes(self, case: Stated) -> Iterator[tuple[str, str, str, str]]:
        """What the rule says without and with the amendment, item by item, with the facts and the edition."""
        its = checker_for(self.checker, case.ruleset)
        job = loaded(its, case)
        accuracy, facts = its.seen(job)
        for edition, pair in self.pairs_for(job, case):
            for moved in (job, *self.moved(pair, job, accuracy)):
                yield from self.judged(pair, moved, facts, accuracy, edition)

    def judged(
        self, pair: Pair, job: Job, facts: JobFacts, accuracy: AccuracyOf, edition: str
    ) -> Iterator[tuple[str, str, str, str]]:
        form = (repr(id(pair[0])), repr(id(pair[1])), repr(sorted(job.readings.items())))
        if form in self.done:
            return
        self.done.add(form)
        below, here = (self.by_item(rule, JobFacts(job, facts.ranges), accuracy) for rule in pair)
        for item in below | here:
            outcomes = [side[item].verdict.outcome if item in side else DOES_NOT_APPLY for side in (below, here)]
            if outcomes[0] != outcomes[1]:
                yield outcomes[0], outcomes[1], self.named(job, pair, (here.get(item) or below[item]).scope), edition

    def by_item(self, rule: tree.BoundRule | None, facts: JobFacts, accuracy: AccuracyOf) -> dict[str, Judged]:
        if rule is None:
            return {}
        return {one.place.key: one for one in judge(rule, facts, accuracy, self.checker.quick(rule))}

    def pairs_for(self, job: Job, case: Stated) -> Iterator[tuple[str, Pair]]:
        """The rule without and with the amendment under each edition and in each period in which that holds."""
        code = self.one.home.id
        pairs: dict[AskedBy, tuple[str, Pair]] = {}
        for named in self.one.change.meaning:
            editions = {**case.case.editions, **({code: named} if named != NO_EDITION else {})}
            for setting in Versions(job, self.one.here, editions).settings(self.rule_id):
                edition = dict(setting.editions).get(code) or NO_EDITION
                if self.one.holds(edition, setting.day):
                    below, here = (
                        self.checker.bound(c, self.rule_id, setting) for c in (self.one.below, self.one.here)
                    )
                    asked = (what_it_asks(below) if below else None, what_it_asks(here) if here else None)
                    pairs.setdefault(asked, (edition, (below, here)))
        for asked, (edition, pair) in pairs.items():
            if asked[0] != asked[1]:
                yield edition, self.pairs.setdefault(asked, pair)

    # --- jobs with one fact moved ---

    def moved(self, pair: Pair, job: Job, accuracy: AccuracyOf) -> Iterator[Job]:
        for rule in filter(None, pair):
            for judged in judge(rule, JobFacts(job), accuracy):
                for node in single_conditions(tree.All((rule.applies, rule.require))):
                    for path, reading in _values(node, judged.scope, job):
                        yield job._replace(readings={**job.readings, path: reading})

    @staticmethod
    def named(job: Job, pair: Pair, scope: Scope) -> str:
        """The facts of a job that the rule reads, as far as they are recorded, in few words."""
        paths = {path for rule in pair if rule for path in named_facts.facts_named(rule, scope)}
        facts = [f"{path} {job.readings[path].written}" for path in sorted(paths) if path in job.readings]
        more = f" and {len(facts) - MOST_FACTS} more" if len(facts) > MOST_FACTS else ""
        return (", ".join(facts[:MOST_FACTS]) or "nothing recorded") + more


def _values(node: tree.Condition, scope: Scope, job: Job) -> Iterator[tuple[str, Reading]]:
    """Other values for the facts that one condition compares."""
    if isinstance(node, tree.Truth | tree.Member):
        yield from _listed(_fact(node.value, scope.where), scope, job)
    elif isinstance(node, tree.Compare):
        for left, right in pairwise(node.operands):
            for side, other in ((left, right), (right, left)):
                fact = _fact(side, scope.where)
                yield from _listed(fact, scope, job)
                limit = evaluate(other, scope)
                if fact and isinstance(limit, int | float) and not isinstance(limit, bool):
                    yield from _around(scope.path(fact), float(limit), node, job)


def _fact(value: tree.Value, where: Mapping[str, tree.Value]) -> tree.Fact | None:
    value = behind_names(value, where)
    return value if isinstance(value, tree.Fact) else None


def _listed(fact: tree.Fact | None, scope: Scope, job: Job) -> Iterator[tuple[str, Reading]]:
    """Every value of a fact with a closed list, yes and no among these."""
    leaf = job.vocabulary.leaf(scope.path(fact)) if fact else None
    if fact and leaf:
        possible = (True, False) if leaf.form == "flag" else leaf.possible
        yield from ((scope.path(fact), read_leaf(leaf, value)) for value in possible)


def _around(path: str, limit: float, node: tree.Compare, job: Job) -> Iterator[tuple[str, Reading]]:
    """A fact at its limit, a step under it and a step over it; what it cannot be is left out."""
    leaf = job.vocabulary.leaf(path)
    if leaf is None or leaf.form not in ("quantity", "count", "date"):
        return
    step = STEPS * node.grain if leaf.form == "quantity" else 1.0
    for amount in (limit - step, limit, limit + step):
        try:
            yield path, _reading(leaf, amount)
        except (LeafError, ValueError, OverflowError):
            continue


def _reading(leaf: Leaf, amount: float) -> Reading:
    if leaf.form == "date":
        return Reading(round(amount), wording.written(round(amount), "date", "", None) or "")
    if leaf.form == "count":
        return read_leaf(leaf, round(amount))
    return Reading(amount, units.write_amount(amount, leaf.kind, leaf.unit), leaf.unit)
