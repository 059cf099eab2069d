"""A binding rule that rests on the authority's word as the job passes it on.

What the authority wants is in its ruleset, or in a written answer that the job records; a job's own note of it could
switch a requirement off. Such facts are marked `word_of` in the job schema. Where only some values of a fact are such a
word, a condition is wrong if that value lets the job off: meets what is required, or takes the rule away.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator
from typing import Any

from checker.authoring.condition_places import Site, named, sites
from checker.ir import tree
from checker.ir.visitor import inner_conditions, walk
from checker.problems.document import Path_
from checker.problems.problem import Problem
from checker.reading.fact_shapes import Leaf
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.layering import Effective
from checker.rulesets.models import Rule

HINT = (
    "Take it out: write what is asked as a condition on the work, let a place change it with a citation, or give the rule "
    "an 'ask' with 'answers' for a written answer."
)
LETS_OFF = {
    "applies_when": False,
    "verify_when": False,
    "require": True,
}  # the truth of a condition that lets a job off
MOST_KEPT = 64  # vocabularies, each with its words


def hearsay_problems(layered: Effective, bound: tree.BoundRule, vocabulary: Vocabulary) -> Iterator[Problem]:
    """Tell of conditions of a `shall` that read the authority's word out of the job."""
    rule, words = layered.data, _words(vocabulary)
    assert isinstance(rule, Rule)
    if rule.obligation != "shall" or not words:
        return
    for site in sites(bound, rule):
        if not (inner_conditions(site.node) and not isinstance(site.node, tree.Not)):
            for path, written in _facts_named(site.node, bound.for_each):
                if path in words and not _harmless(site, path, words):
                    text = "" if isinstance(site.node, tree.Given) else getattr(site.node, "text", "")
                    yield _problem(layered, site.at, text, written)
    for name in (name for name in named(bound) if name in rule.where):
        for path, written in _facts_named(bound.where[name], bound.for_each):
            if path in words:
                yield _problem(layered, ("where", name), rule.where[name], written)


@functools.lru_cache(maxsize=MOST_KEPT)
def _words(vocabulary: Vocabulary) -> dict[str, Leaf | None]:
    """Every fact that reports the authority's word, by its path; and, as None, each list that holds nothing else.

    Counting such a list reads the word too.
    """
    leaves = {leaf.path: leaf for leaf in vocabulary.leaves.values() if leaf.word_of}
    inside = {path: [leaf for leaf in vocabulary.leaves if leaf.startswith(f"{path}.")] for path in vocabulary.lists}
    return {**leaves, **{path: None for path, facts in inside.items() if facts and set(facts) <= set(leaves)}}


def _facts_named(part: Any, for_each: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """The facts and lists that a part of a bound rule names: the path in the schema, and as the rule writes it."""
    around = {"job": "", "item": ".".join(for_each), "outer": for_each[0] if for_each else ""}
    for one in walk(part):
        if isinstance(one, tree.Fact):
            yield _joined(around[one.frame], one.path), _written(one)
        elif isinstance(one, tree.Fold):
            base, shown = _joined(around[one.items.frame], one.items.path), _written(one.items)
            for field in filter(None, (one.field, one.clock, *(narrowed.field for narrowed in one.where))):
                yield _joined(base, field), _joined(shown, field)


def _written(fact: tree.Fact) -> str:
    return _joined("" if fact.frame == "job" else fact.frame, fact.path)


def _joined(*parts: str) -> str:
    return ".".join(filter(None, parts))


def _harmless(site: Site, path: str, words: dict[str, Leaf | None]) -> bool:
    """Whether a condition only asks which value a fact has, and none that is the authority's word lets the job off."""
    leaf, node = words[path], site.node
    if leaf is None or not leaf.word_of_values:
        return False
    lets_off = LETS_OFF[str(site.at[0])] != bool(site.at.count("none_of") % 2)
    if isinstance(node, tree.Member) and isinstance(node.value, tree.Fact):
        return not any(((value in node.words) is not node.negated) is lets_off for value in leaf.word_of_values)
    if (
        isinstance(node, tree.Compare)
        and node.operators in (("==",), ("!=",))
        and isinstance(node.operands[0], tree.Fact)
    ):
        same = getattr(node.operands[1], "value", None)
        return not any(((value == same) is (node.operators == ("==",))) is lets_off for value in leaf.word_of_values)
    return False


def _problem(layered: Effective, at: Path_, text: str, written: str) -> Problem:
    what = f"'{written}' tells what the authority wants; a job that says so would switch this 'shall' off."
    part, inside = layered.source(at)
    return part.problem(inside, what, HINT, max(text.find(written) + 1, 1))
