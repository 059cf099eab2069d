"""An answer of the authority to a question that a rule asks, as data to be written."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from checker.authoring.editing.file_edits import OneLine
from checker.authoring.editing.layer_context import Layers, editions_from, editions_on
from checker.binding.authority_answers import open_limits, questions_of
from checker.binding.binder import bind
from checker.binding.names import Context
from checker.ir import tree
from checker.problems.problem import Problem, Where, did_you_mean, refused
from checker.rulesets.chain import Chain
from checker.rulesets.layer_permissions import chain_problems
from checker.rulesets.layering import NO_EDITION, effective, meaning_of
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


def questions(layers: Layers, rule_id: str, starts: str) -> list[Asked]:
    """The questions that a rule puts to the authority here from a day on.

    Raises:
        ProblemsFound: There is no such rule here, or it asks nothing.
    """
    here = layers.chain.up_to(layers.ruleset)
    if ("rules", rule_id) not in here.homes:
        hint = did_you_mean(rule_id, here.rule_ids) or "'changeout rules overview' names the rules."
        raise refused(rule_id, "There is no such rule here.", hint)
    by_words: dict[str, Asked] = {}
    for words, edition, digest, limits in _arising(layers, here, rule_id, starts):
        known = by_words.get(words, Asked(words, {}, ()))
        left = tuple(dict.fromkeys((*known.limits, *limits)))
        by_words[words] = Asked(words, {**known.meaning, edition: digest}, left)
    if not by_words:
        what = f"'{rule_id}' puts no question to the authority here{f' from {starts} on' if starts else ''}."
        raise refused(rule_id, what, "'changeout rules show' tells what it asks.")
    return list(by_words.values())


def _arising(layers: Layers, here: Chain, rule_id: str, starts: str) -> Iterator[tuple[str, str, str, tuple[str, ...]]]:
    """Each question that arises in an edition, with that edition, the meaning, and the limits that it leaves open.

    The question of a line under `verify_when` may arise always; the rule's own only where it is in doubt, or names a limit
    that is left to the place.
    """
    home = here.homes["rules", rule_id]
    for edition, day in editions_from(layers, home, starts):
        editions = editions_on(layers, home, edition, day)
        layered = effective(here, "rules", rule_id, editions, day)._replace(answers=())
        rule = layered.data
        assert isinstance(rule, Rule)
        if layered.withdrawn or not (edition == NO_EDITION or edition_within(rule.editions, edition)):
            continue
        digest = meaning_of(here, layered, edition)
        bound = bind(layered, Context(here, layers.checker.vocabulary, editions, day))[0]
        *of_lines, own = questions_of(rule)
        left = tuple(sorted(set(open_limits(bound)))) if bound else ()
        for words in filter(None, of_lines):
            yield words, edition, digest, ()
        if own and (left or _doubtful(bound)):
            yield own, edition, digest, left


def _doubtful(bound: tree.BoundRule | None) -> bool:
    return bound is not None and bool(bound.doubtful)


def limit_of(layers: Layers, name: str) -> Limit:
    """A limit that is left to the place."""
    return layers.chain.up_to(layers.ruleset).homes["limits", name].limits[name]


def not_allowed(layers: Layers, name: str, data: dict[str, Any]) -> list[Problem]:
    """Why an answer cannot be recorded: its owner may not, or the question has an answer already."""
    header = layers.ruleset.parts["header", ""]
    changed = layers.ruleset._replace(
        answers={**layers.ruleset.answers, name: Answer.of(data)},
        parts={**layers.ruleset.parts, ("answers", name): header},
    )
    rulesets = [changed if ruleset.id == changed.id else ruleset for ruleset in layers.chain.rulesets]
    problems = chain_problems(Chain(rulesets, layers.chain.place, layers.chain.covered))
    return [Problem(Where("--answer"), problem.what, problem.hint) for problem in problems]


def entry(layers: Layers, rule_id: str, asked: Asked, given: Given) -> tuple[str, dict[str, Any]]:
    """The name and the data of an answer."""
    name, count = f"{rule_id}-{given.on}", 1
    while name in layers.ruleset.answers:
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
