"""An answer of the authority to a question that a rule asks, as data to be written."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from checker.authoring.editing.boundary_cases import edition_of
from checker.authoring.editing.file_edits import OneLine
from checker.authoring.editing.layer_context import Standing, editions_from
from checker.binding.authority_answers import open_limits, questions_of
from checker.binding.binder import bind
from checker.binding.names import Context
from checker.ir import tree
from checker.problems.problem import Problem, ProblemsFound, Where, did_you_mean
from checker.rulesets.layer_permissions import chain_problems
from checker.rulesets.layering import NO_EDITION, Chain, effective, meaning_of
from checker.rulesets.models import Answer, Limit, Rule
from checker.rulesets.ruleset import edition_within


class Asked(NamedTuple):
    """A question of a rule here: its words, by edition the meaning it would be answered of, and the limits left open."""

    words: str
    meaning: dict[str, str]
    limits: tuple[str, ...]


class Given(NamedTuple):
    """What was answered: `as_written` or `not_asked`, in the authority's words, by whom of which office, when, and where
    it is written; `starts` is empty where it counts from the day it was given."""

    answer: str
    in_words: str
    who: str
    office: str
    on: str
    reference: str
    starts: str
    values: dict[str, str]


def questions(one: Standing, rule_id: str, starts: str) -> list[Asked]:
    """The questions that a rule puts to the authority here from a day on.

    Raises:
        ProblemsFound: There is no such rule here, or it asks nothing.
    """
    here = one.chain.up_to(one.ruleset)
    if ("rules", rule_id) not in here.homes:
        hint = did_you_mean(rule_id, here.rule_ids) or "'changeout rules list' names the rules."
        raise ProblemsFound([Problem(Where(rule_id), "There is no such rule here.", hint)])
    found: dict[str, Asked] = {}
    for words, edition, digest, limits in _arising(one, here, rule_id, starts):
        known = found.get(words, Asked(words, {}, ()))
        left = tuple(dict.fromkeys((*known.limits, *limits)))
        found[words] = Asked(words, {**known.meaning, edition: digest}, left)
    if not found:
        what = f"'{rule_id}' puts no question to the authority here{f' from {starts} on' if starts else ''}."
        raise ProblemsFound([Problem(Where(rule_id), what, "'changeout rules show' tells what it asks.")])
    return list(found.values())


def _arising(one: Standing, here: Chain, rule_id: str, starts: str) -> Iterator[tuple[str, str, str, tuple[str, ...]]]:
    """Each question that arises in an edition, with that edition, the meaning, and the limits that it leaves open.

    The question of a line under `verify_when` may arise always; the rule's own only where it is in doubt, or names a limit
    that is left to the place.
    """
    home = here.homes["rules", rule_id]
    for edition, day in editions_from(one, home, starts):
        editions: dict[str, str | None] = {code: edition_of(one, code, day) for code in here.codes}
        editions[home.id] = None if edition == NO_EDITION else edition
        found = effective(here, "rules", rule_id, editions, day)._replace(answers=())
        rule = found.data
        assert isinstance(rule, Rule)
        if found.withdrawn or not (edition == NO_EDITION or edition_within(rule.editions, edition)):
            continue
        digest = meaning_of(here, found, edition)
        bound = bind(found, Context(here, one.checker.vocabulary, editions, day))[0]
        *of_lines, own = questions_of(rule)
        left = tuple(sorted(set(open_limits(bound)))) if bound else ()
        for words in filter(None, of_lines):
            yield words, edition, digest, ()
        if own and (left or _doubtful(bound)):
            yield own, edition, digest, left


def _doubtful(bound: tree.BoundRule | None) -> bool:
    return bound is not None and bool(bound.doubtful)


def limit_of(one: Standing, name: str) -> Limit:
    """A limit that is left to the place."""
    return one.chain.up_to(one.ruleset).homes["limits", name].limits[name]


def not_allowed(one: Standing, name: str, data: dict[str, Any]) -> list[Problem]:
    """What stands against an answer once it is written: its owner may not record it, or the question has one already."""
    header = one.ruleset.parts["header", ""]
    changed = one.ruleset._replace(
        answers={**one.ruleset.answers, name: Answer.model_validate(data)},
        parts={**one.ruleset.parts, ("answers", name): header},
    )
    rulesets = [changed if ruleset.id == changed.id else ruleset for ruleset in one.chain.rulesets]
    found = chain_problems(Chain(rulesets, one.chain.place, one.chain.covered))
    return [Problem(Where("--answer"), problem.what, problem.hint) for problem in found]


def entry(one: Standing, rule_id: str, asked: Asked, given: Given) -> tuple[str, dict[str, Any]]:
    """The name and the data of an answer."""
    name, count = f"{rule_id}-{given.on}", 1
    while name in one.ruleset.answers:
        count += 1
        name = f"{rule_id}-{given.on}-{count}"
    return name, {
        "rule": rule_id,
        "question": asked.words,
        "answer": given.answer,
        "in_words": given.in_words,
        "who": given.who,
        "office": given.office,
        "on": given.on,
        "reference": given.reference,
        "meaning": OneLine(asked.meaning),
        **({"values": OneLine(given.values)} if given.values else {}),
        **({"from": given.starts} if given.starts else {}),
    }
