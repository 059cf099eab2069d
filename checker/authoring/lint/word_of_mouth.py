"""A binding rule that rests on the authority's word as the job passes it on.

What the authority wants is in its ruleset, or in a written answer that the job records; a job's own note of it could
switch a requirement off. Such facts are marked `word_of` in the job schema. Where only some values of a fact are such a
word, a condition is wrong if that value lets the job off: meets what is required, or takes the rule away.
"""

from __future__ import annotations

import functools
from collections.abc import Container, Iterator
from typing import Any, NamedTuple

from checker.binding import parser as syntax
from checker.binding.parser import ExpressionError
from checker.ir.visitor import walk
from checker.problems.document import Path_
from checker.problems.problem import Problem
from checker.reading.vocabulary import Leaf, Vocabulary
from checker.rulesets.layering import Effective
from checker.rulesets.models import Rule

MEND = (
    "Take it out: write what is asked as a condition on the work, let a place change it with a citation, or give the rule "
    "an 'ask' with 'answers' for a written answer."
)
GROUPS = ("any_of", "all_of", "none_of", "when")
LETS_OFF = {
    "applies_when": False,
    "verify_when": False,
    "require": True,
}  # the truth of a condition that lets a job off


MOST_KEPT = 64  # vocabularies, each with the lists that rules go through


class Line(NamedTuple):
    """A condition as it was written, where it stands, and its truth that would let a job off."""

    text: str
    at: Path_
    lets_off: bool


def hearsay_problems(found: Effective, vocabulary: Vocabulary) -> Iterator[Problem]:
    """Where the conditions of a `shall` read the authority's word out of the job."""
    rule = found.data
    assert isinstance(rule, Rule)
    if rule.obligation != "shall":
        return
    words = _words(rule.for_each, vocabulary)
    if not words:
        return
    lines = list(_lines(rule))
    for line in lines:
        parsed = _parsed(line.text, condition=True)
        if parsed is not None:
            for word in _resting(parsed, words, line.lets_off):
                yield _problem(found, line.at, word)
    used = _names_used([line.text for line in lines], rule.where)
    for name, text in rule.where.items():
        parsed = _parsed(text, condition=False) if name in used else None
        for word in _named(parsed, words):
            yield _problem(found, ("where", name), word)


@functools.lru_cache(maxsize=MOST_KEPT)
def _words(for_each: str, vocabulary: Vocabulary) -> dict[str, Leaf]:
    """Every fact that reports the authority's word, by the path that a rule has for it, whose list is `for_each`."""
    around = for_each.rpartition(".")[0]
    found: dict[str, Leaf] = {}
    for path, leaf in vocabulary.leaves.items():
        if leaf.word_of:
            found[path] = leaf
            for base, frame in ((for_each, "item"), (around, "outer")):
                if base and path.startswith(f"{base}."):
                    found[f"{frame}.{path[len(base) + 1 :]}"] = leaf
    return found | _lists(vocabulary)


@functools.lru_cache(maxsize=MOST_KEPT)
def _lists(vocabulary: Vocabulary) -> dict[str, Leaf]:
    """Each list that holds nothing but such words: counting it reads them too."""
    found: dict[str, Leaf] = {}
    for path in vocabulary.lists:
        inside = [leaf for leaf in vocabulary.leaves.values() if leaf.path.startswith(f"{path}.")]
        if inside and all(leaf.word_of for leaf in inside):
            found[path] = inside[0]._replace(path=path, title=vocabulary.lists[path].title)
    return found


def _lines(rule: Rule) -> Iterator[Line]:
    for field, lets_off in LETS_OFF.items():
        for index, line in enumerate(getattr(rule, field) or ()):
            yield from _inside(line, (field, index), lets_off)


def _inside(line: Any, at: Path_, lets_off: bool) -> Iterator[Line]:
    if isinstance(line, str):
        yield Line(line, at, lets_off)
    elif isinstance(line, list):
        for index, part in enumerate(line):
            yield from _inside(part, (*at, index), lets_off)
    elif isinstance(line, dict):
        for key, inside in line.items():
            if key in GROUPS:
                yield from _inside(inside, (*at, key), lets_off != (key == "none_of"))
            elif key in ("given", "none"):
                yield Line(str(inside), (*at, key), lets_off)


def _parsed(text: str, condition: bool) -> Any:
    """The syntax of a text; None where it cannot be read, which binding tells."""
    try:
        return syntax.parse_condition(text) if condition else syntax.parse_value(text)
    except ExpressionError:
        return None


def _resting(node: Any, words: dict[str, Leaf], lets_off: bool) -> Iterator[syntax.Word]:
    """The words of the authority that a condition rests on."""
    said = _said(node, words)
    if said is None:
        yield from _named(node, words)
    elif any(_holds(node, value) is lets_off for value in words[said.text].word_of_values):
        yield said


def _said(node: Any, words: dict[str, Leaf]) -> syntax.Word | None:
    """The fact of a condition that only asks which of some values it has, of which not all are the authority's word."""
    fact = node.value if isinstance(node, syntax.Member) else None
    if isinstance(node, syntax.Compare) and node.operators in (("==",), ("!=",)):
        fact = node.operands[0]
    if isinstance(fact, syntax.Word) and fact.text in words and words[fact.text].word_of_values:
        return fact
    return None


def _holds(node: syntax.Member | syntax.Compare, value: str) -> bool:
    if isinstance(node, syntax.Member):
        return (value in [word.text for word in node.words]) is not node.negated
    same = getattr(node.operands[1], "text", "") == value
    return same is (node.operators == ("==",))


def _named(node: Any, words: Container[str]) -> Iterator[syntax.Word]:
    """Every fact of these that a piece of syntax names, in folds and what narrows them too."""
    yield from (one for one in walk(node) if isinstance(one, syntax.Word) and one.text in words)


def _names_used(texts: list[str], where: dict[str, str]) -> set[str]:
    """The names under `where` that conditions stand on, directly or through others."""
    used: set[str] = set()
    left = list(texts)
    while left:
        text = left.pop()
        parsed = _parsed(text, condition=True)
        for name in {word.text for word in _named(parsed, where)} - used:
            used.add(name)
            left.append(where[name])
    return used


def _problem(found: Effective, at: Path_, word: syntax.Word) -> Problem:
    what = f"'{word.text}' tells what the authority wants; a job that says so would switch this 'shall' off."
    return found.part(str(at[0])).problem(at, what, MEND, word.column)
