"""What the worked cases of a rule leave untried: an outcome, a side of a limit, an edition or a day where it changes.

Cases are run and watched. For each comparison of amounts some case has to lie exactly at the limit, and one on the side
where the comparison says the opposite of what it says there. A rule may say of an outcome or a comparison why no case can
try it (`untried`).
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from checker.authoring.cases import ON, Stated, checker_for, layers_of, loaded, stated
from checker.authoring.condition_places import Asks, what_it_asks
from checker.binding.bound_once import bound_rule
from checker.engine.checker import Checker
from checker.ir import tree
from checker.ir.kleene import Scope, Truth
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.ir.visitor import single_conditions
from checker.judging.conditions import truth
from checker.judging.generated_code import DOES_NOT_APPLY
from checker.judging.judge import Judged
from checker.judging.values import evaluate
from checker.problems.problem import Problem
from checker.reading import units
from checker.rulesets.periods import FIRST_DAY, settings
from checker.rulesets.ruleset import Ruleset

# On which side of its limit a comparison says the opposite of what it says at it; either side of an equality does.
OTHER_SIDE = {"<=": "over", "<": "under", ">=": "under", ">": "over"}


class Sides(NamedTuple):
    """The sides of one limit that cases have to try, and those that they try: `at`, `under`, `over`."""

    wanted: tuple[str, ...]
    tried: set[str]


class Tried(NamedTuple):
    """What the cases of one rule have tried: outcomes, forms of the rule, sides of each comparison by its text, and for each
    alternative of a remedy, by the words of its condition, with which outcomes that held and did not.
    """

    outcomes: set[str]
    forms: set[Asks]
    sides: dict[str, Sides]
    ways: dict[str, set[tuple[str, Truth]]]


def gaps(checker: Checker, ruleset: Ruleset) -> Iterator[Problem]:
    """What no case of a ruleset's own rules tries, each at the rule's place.

    Raises:
        ProblemsFound: A rule or layer is wrong itself.
    """
    checker = checker_for(checker, ruleset)
    by_rule: dict[str, list[Stated]] = {}
    for one in stated(ruleset):
        by_rule.setdefault(one.rule, []).append(one)
    for rule_id in ruleset.rules:
        yield from _gaps_of(checker, ruleset, rule_id, by_rule.get(rule_id, []))


def open_in(checker: Checker, ruleset: Ruleset, rule_id: str) -> set[str]:
    """What of a rule no case tries, whether or not a reason is given: outcomes, and comparisons by their text."""
    checker = checker_for(checker, ruleset)
    cases = [one for one in stated(ruleset) if one.rule == rule_id]
    return {name for name, _ in _open(checker, ruleset, rule_id, cases)}


def _gaps_of(checker: Checker, ruleset: Ruleset, rule_id: str, cases: list[Stated]) -> Iterator[Problem]:
    untried = ruleset.rules[rule_id].untried
    yield from (problem for name, problem in _open(checker, ruleset, rule_id, cases) if name not in untried)


def _open(checker: Checker, ruleset: Ruleset, rule_id: str, cases: list[Stated]) -> Iterator[tuple[str, Problem]]:
    """What no case tries, by the name that a reason under `untried` would give it."""
    part = ruleset.parts["rules", rule_id]
    forms = _forms(checker, ruleset, rule_id)
    tried = _tried(checker, ruleset, rule_id, cases)
    for outcome in sorted(_possible([rule for rule, _ in forms.values()]) - tried.outcomes):
        yield outcome, part.problem(("cases",), f"No case of '{rule_id}' expects {outcome}.", "Add one that does.")
    for form, (_, held) in forms.items():
        if form not in tried.forms:
            what = f"No case tests '{rule_id}' as it stands {held}."
            yield "", part.problem(("cases",), what, "Add one with 'editions:', or with a date in that period.")
    for text, sides in tried.sides.items():
        missing = [side for side in sides.wanted if not sides.tried & set(side.split(" or "))]
        if missing:
            what = f"No case of '{rule_id}' lies {' or '.join(missing)} the limit in '{text}'."
            hint = "Add one on each side of the limit, and one exactly at it."
            yield " ".join(text.split()), part.problem(("cases",), what, hint)
    worst = FAIL if FAIL in tried.outcomes else VERIFY
    for condition, seen in tried.ways.items():
        unseen = [side for side, held in (("where", True), ("where not:", False)) if (worst, held) not in seen]
        if unseen:
            what = f"No case of '{rule_id}' expects {worst} {' and '.join(unseen)} '{condition}'."
            hint = "Add one that prints that alternative of the remedy, and one that doesn't."
            yield condition, part.problem(("cases",), what, hint)


def _possible(forms: list[tree.BoundRule]) -> set[str]:
    """The outcomes that a rule can give in some form: one whose requirement is in doubt gives no firm one."""
    outcomes = {VERIFY}
    for rule in forms:
        outcomes |= {DOES_NOT_APPLY} if rule.applies.conditions or rule.for_each else set()
        outcomes |= {PASS, FAIL} if not rule.doubtful else {FAIL} if rule.life_safety else set()
    return outcomes


def _forms(checker: Checker, ruleset: Ruleset, rule_id: str) -> dict[Asks, tuple[tree.BoundRule, str]]:
    """The rule as it asks something else, and under which edition or from which day, without what layers above it change."""
    own = layers_of(checker, ruleset, rule_id)
    forms: dict[Asks, tuple[tree.BoundRule, str]] = {}
    for in_force, day in settings(own, rule_id):
        rule, problems = bound_rule(own, checker.vocabulary, rule_id, in_force, day)
        if rule and not problems:
            forms.setdefault(what_it_asks(rule), (rule, _held(rule, day)))
    return forms


def _held(rule: tree.BoundRule, day: int) -> str:
    """Under which edition and from which day a rule stands, in words."""
    editions = [f"under {cited.document} {cited.edition}" for cited in rule.citations[:1] if cited.edition]
    first = [f"from {datetime.date.fromordinal(day).isoformat()}"] if day > FIRST_DAY else []
    return " ".join([*editions, *first]) or "before its first date"


def _tried(checker: Checker, ruleset: Ruleset, rule_id: str, cases: list[Stated]) -> Tried:
    tried = Tried(set(), set(), {}, {})
    for one in cases:
        job = loaded(checker, one)
        tried.outcomes.add(one.case.expect)
        for rule, judged in checker.judged(job, rule_id, ON, one.case.editions):
            tried.forms.add(what_it_asks(rule))
            _watch(rule, judged, tried)
            _watch_ways(rule, judged, tried)
    return tried


def _watch(rule: tree.BoundRule, judged: Judged, tried: Tried) -> None:
    for node in single_conditions(tree.All((rule.applies, rule.require))):
        if isinstance(node, tree.Compare) and node.kind in {*units.kinds(), "date"}:
            for text, operator, side in _sides(node, judged.scope):
                wanted = ("at", OTHER_SIDE.get(operator, "under or over"))
                tried.sides.setdefault(text, Sides(wanted, set())).tried.update({side} if side else ())


def _watch_ways(rule: tree.BoundRule, judged: Judged, tried: Tried) -> None:
    branches = [branch for node in rule.require.conditions if isinstance(node, tree.AnyOf) for branch in node.branches]
    for way in (*rule.remedy, *rule.bring, *(way for branch in branches for way in branch.remedy)):
        if way.words:
            seen = tried.ways.setdefault(way.words, set())
            seen.add((judged.verdict.outcome, truth(way.condition, judged.scope)))


def _sides(node: tree.Compare, scope: Scope) -> Iterator[tuple[str, str, str]]:
    """Each comparison of two amounts in a condition, its operator, and on which side of its limit the first lies."""
    values = [evaluate(part, scope) for part in node.operands]
    for index, (left, right) in enumerate(pairwise(values)):
        text = node.text if len(node.operators) == 1 else f"{node.text} ({('lower', 'upper')[index]} end)"
        known = all(isinstance(value, int | float) and not isinstance(value, bool) for value in (left, right))
        yield text, node.operators[index], _side(float(left), float(right), node.grain) if known else ""  # type: ignore[arg-type]


def _side(left: float, right: float, grain: float) -> str:
    if abs(left - right) <= grain:
        return "at"
    return "under" if left < right else "over"
