"""One bound rule on one job → what it says. Pure: no file, clock, locale or print.

The order of design: does it apply; is it for the authority to say; is it required and so. What is unknown is tried for
every value it could have, up to 64 combinations, before anyone is asked for it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence, Set
from types import MappingProxyType
from typing import Any, NamedTuple

from checker.ir import tree
from checker.ir.kleene import Cause, Facts, Known, Nothing, Scope, Truth, Unknown, all_of, any_of, missing
from checker.ir.outcomes import FAIL, PASS, REASONS, VERIFY
from checker.ir.references import reads
from checker.judging.conditions import combinations, open_choices, truth
from checker.judging.exactness import outright
from checker.judging.generated_code import DOES_NOT_APPLY, Doubted, Missing, Question, Quick, Said
from checker.judging.uncertainty import AccuracyOf, margin

FINE = frozenset({PASS, DOES_NOT_APPLY})  # nobody is asked which of the two it is


class Verdict(NamedTuple):
    """What one rule says of one item: the outcome, and if it must be verified, why and what would settle it.

    `causes` is what is unknown, `needs` the full paths that matter, `exact` whether no other set of facts would do,
    and `question` the number of the authority's question that arose (-1: none).
    """

    outcome: str
    causes: frozenset[Cause] = frozenset()
    needs: tuple[str, ...] = ()
    exact: bool = True
    question: int = -1
    trace: Any = None

    @property
    def reason(self) -> str:
        """The first remaining reason of the closed list; empty unless it must be verified."""
        if self.outcome != VERIFY:
            return ""
        present = {cause.reason for cause in self.causes}
        return next((reason for reason in REASONS if reason in present), "authority_decides")


SURE = {outcome: Verdict(outcome) for outcome in (PASS, FAIL, DOES_NOT_APPLY)}


class Place(NamedTuple):
    """Where in the job a rule is being judged: full paths of the item and of the item around it, and the item's key.

    `missing` is the path of a list that is not recorded, in whose place the rule stands.
    """

    item: str = ""
    outer: str = ""
    key: str = ""
    missing: str = ""


class Judged(NamedTuple):
    place: Place
    verdict: Verdict
    scope: Scope


def judge(rule: tree.BoundRule, facts: Facts, accuracy: AccuracyOf, quick: Quick | None = None) -> list[Judged]:
    """Judge a rule on a job: one verdict for each list item it goes through, or one in all.

    Args:
        quick: The rule's generated function, asked before the walk.
        accuracy: As in `uncertainty.margin`.

    Returns:
        A verdict a place, `does_not_apply` among them.
    """
    found = [judge_at(rule, facts, place, accuracy, quick) for place in places(rule.for_each, facts)]
    return found or [Judged(Place(), Verdict(DOES_NOT_APPLY), Scope(facts, rule.where))]


def judge_at(
    rule: tree.BoundRule,
    facts: Facts,
    place: Place,
    accuracy: AccuracyOf,
    quick: Quick | None = None,
    said: Said = None,
) -> Judged:
    """Judge a rule at one of the places it goes through.

    Args:
        said: What a generated function said of it there already.
    """
    if place.missing:
        return _of_the_list(rule, facts, place, said)

    scope = scope_of(rule, facts, place, accuracy)
    said = quick(scope) if quick else said
    return Judged(place, settle(rule, scope) if said is None else verdict_of(rule, said), scope)


def scope_of(rule: tree.BoundRule, facts: Facts, place: Place, accuracy: AccuracyOf) -> Scope:
    """A rule looked at at one place of a job."""

    def guard(node: tree.Compare, scope: Scope) -> Unknown | None:
        return too_close(node, scope, accuracy)

    return Scope(facts, rule.where, place.item, place.outer, guard=guard if rule.judged == "guarded" else None)


def verdict_of(rule: tree.BoundRule, said: Said) -> Verdict:
    """The verdict in what a generated function says."""
    if isinstance(said, Missing):
        causes = frozenset(Cause("not_recorded", one) if isinstance(one, str) else one for one in said.facts)
        return Verdict(VERIFY, causes, tuple(sorted({cause.fact for cause in causes if cause.fact})), said.exact)
    if isinstance(said, Question):
        return Verdict(VERIFY, question=said.number)
    if isinstance(said, Doubted):
        return doubted(rule, Verdict(said.outcome))
    assert said is not None
    return SURE[said]


def places(for_each: tuple[str, ...], facts: Facts) -> Iterator[Place]:
    """The items a rule goes through, of one list or of a list inside each item of another; and each list that is missing."""
    if not for_each:
        yield Place()
        return
    keys = facts.items(for_each[0])
    if keys is None:
        yield Place(missing=for_each[0])
        return
    for index, key in enumerate(keys):
        item = f"{for_each[0]}.{index}"
        if len(for_each) == 1:
            yield Place(item, "", key)
            continue
        inner = facts.items(f"{item}.{for_each[1]}")
        if inner is None:
            yield Place("", item, key, f"{item}.{for_each[1]}")
            continue
        for at, inner_key in enumerate(inner):
            yield Place(f"{item}.{for_each[1]}.{at}", item, f"{key}/{inner_key}")


def _of_the_list(rule: tree.BoundRule, facts: Facts, place: Place, said: Said) -> Judged:
    """A list left out is unknown, not empty: one verdict that names it, unless the rule cannot apply whatever is in it."""
    scope = Scope(facts, rule.where, "", place.outer)
    if said is not None:
        return Judged(place, verdict_of(rule, said), scope)
    applies = truth(outright(rule, bool(place.outer)), scope)
    if applies is False:
        return Judged(place, Verdict(DOES_NOT_APPLY), scope)
    causes = missing(place.missing).causes | (applies.causes if isinstance(applies, Unknown) else frozenset())
    return Judged(place, Verdict(VERIFY, causes, tuple(sorted({c.fact for c in causes if c.fact}))), scope)


# --- one place -------------------------------------------------------------------------------------------------------


def settle(rule: tree.BoundRule, scope: Scope) -> Verdict:
    """The verdict in one place, after trying every value that unrecorded facts could have."""
    plain = _plainly(rule, scope)
    if plain.outcome != VERIFY or plain.question >= 0:
        return doubted(rule, plain)
    nodes = rule.conditions
    choices = open_choices(nodes, scope)
    if not choices:
        return plain._replace(needs=_facts(plain), exact=_read_once(nodes, scope, plain))
    same_in_all = _same_in_all(rule, scope, frozenset(choices))
    worlds = [(world, _plainly(rule, scope.assuming(world), same_in_all)) for world in combinations(choices)]
    same = agreed({verdict.outcome for _, verdict in worlds})
    if same not in ("", VERIFY):
        return doubted(rule, Verdict(same))
    marks = {tuple(world.values()): _mark(verdict) for world, verdict in worlds}
    needs = {fact for _, verdict in worlds for fact in _facts(verdict)}.union(that_matter(list(choices), marks))
    exact = all(_read_once(nodes, scope.assuming(world), verdict) for world, verdict in worlds)
    open_causes = frozenset(
        Cause("date_unknown" if scope.facts.value(fact) is not None else "not_recorded", fact)
        for fact in needs
        if fact in choices
    )
    causes = open_causes.union(*(verdict.causes for _, verdict in worlds))
    return Verdict(VERIFY, causes, tuple(sorted(needs)), exact, max(verdict.question for _, verdict in worlds))


def _same_in_all(rule: tree.BoundRule, scope: Scope, open_facts: frozenset[str]) -> dict[int, Truth]:
    """By identity, the conditions that read none of the facts that are tried, each with its truth."""
    parts = (*rule.applies.conditions, *rule.require.conditions, *(ask.condition for ask in rule.verify))
    return {id(part): truth(part, scope) for part in parts if open_facts.isdisjoint(reads(part, scope))}


def _plainly(rule: tree.BoundRule, scope: Scope, known: Mapping[int, Truth] = MappingProxyType({})) -> Verdict:
    """Section 3.3 of the design, the four lines of it, in strong Kleene logic.

    Args:
        known: By identity, the conditions of which the truth is known already.
    """

    def held(part: tree.Condition) -> Truth:
        return known[id(part)] if id(part) in known else truth(part, scope)

    applies = all_of([held(part) for part in rule.applies.conditions])
    if applies is False:
        return Verdict(DOES_NOT_APPLY)
    asked = [held(ask.condition) for ask in rule.verify]
    if any(answer is True for answer in asked):
        return Verdict(VERIFY, question=asked.index(True))
    if rule.stale:
        return Verdict(VERIFY, frozenset([Cause("authority_decides", "", rule.stale)]))
    return outcome_of(applies, any_of(asked), all_of([held(part) for part in rule.require.conditions]))


def outcome_of(applies: Truth, verify: Truth, require: Truth) -> Verdict:
    """The 27 combinations of three-valued `applies_when`, `verify_when` and `require`."""
    if applies is False:
        return Verdict(DOES_NOT_APPLY)
    if verify is True:
        return Verdict(VERIFY, question=0)
    if isinstance(verify, Unknown):
        return Verdict(VERIFY, verify.causes, trace=("verify", verify.trace))
    if require is True:
        return Verdict(PASS)
    if require is False and applies is True:
        return Verdict(FAIL)
    unknown = [part for part in (applies, require) if isinstance(part, Unknown)]
    causes = frozenset[Cause]().union(*(part.causes for part in unknown))
    return Verdict(
        VERIFY, causes, trace=tuple(part.trace if isinstance(part, Unknown) else part for part in (applies, require))
    )


def agreed(outcomes: Set[str]) -> str:
    """The outcome that all come to, nothing where they differ; a pass and 'does not apply' together are a pass."""
    if outcomes == {PASS, DOES_NOT_APPLY}:
        return PASS
    return next(iter(outcomes)) if len(outcomes) == 1 else ""


def _facts(verdict: Verdict) -> tuple[str, ...]:
    return tuple(sorted({cause.fact for cause in verdict.causes if cause.fact}))


def that_matter(paths: Sequence[str], marks: Mapping[tuple[Known | Nothing, ...], Any]) -> Iterator[str]:
    """The facts of which two values, all else equal, leave different marks.

    Args:
        marks: What each way of filling in the facts comes to, by their values in the order of the paths.
    """
    for index, path in enumerate(paths):
        met: dict[tuple[Known | Nothing, ...], Any] = {}
        for world, mark in marks.items():
            if met.setdefault((*world[:index], *world[index + 1 :]), mark) != mark:
                yield path
                break


def _mark(verdict: Verdict) -> tuple[Any, ...]:
    """What a verdict comes to: a pass and 'does not apply' are not different here, since nobody is asked which it is."""
    return verdict.outcome in FINE or verdict.outcome, verdict.trace, verdict.question


def _read_once(nodes: Sequence[Any], scope: Scope, verdict: Verdict) -> bool:
    """Whether no fact that is still unknown is read twice: then what is needed is exact."""
    times = Counter(path for node in nodes for path in reads(node, scope))
    return all(times[cause.fact] <= 1 for cause in verdict.causes if cause.reason == "not_recorded")


def doubted(rule: tree.BoundRule, verdict: Verdict) -> Verdict:
    """A requirement or limit nobody is sure of gives no firm outcome; a warning about life is never hidden by that."""
    if not rule.doubtful or verdict.outcome not in (PASS, FAIL) or (rule.life_safety and verdict.outcome == FAIL):
        return verdict
    detail = f"{' and '.join(rule.doubtful)} to be confirmed in the adopted book"
    return Verdict(VERIFY, frozenset([Cause("authority_decides", "", detail)]))


def too_close(node: tree.Compare, scope: Scope, accuracy: AccuracyOf) -> Unknown | None:
    """Under `judged: guarded`: unknown where the reading is nearer its limit than the meter can tell.

    So is one whose accuracy reaches beyond what a function or table knows: how near it is cannot be worked out.
    """
    found = margin(node, scope, accuracy)
    if found is None:
        return None
    if found.unstated:
        causes = frozenset(Cause("not_recorded", path, "accuracy of the instrument") for path in found.unstated)
        return Unknown(causes, ("unstated", node.text, scope.item))
    if found.expanded is not None and abs(found.amount) >= found.expanded:
        return None
    paths = [path for path in reads(node, scope) if accuracy(path)]
    return Unknown(frozenset(Cause("too_close", path) for path in paths), ("close", node.text, scope.item))
