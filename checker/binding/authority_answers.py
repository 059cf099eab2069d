"""What the authority's answers settle of a rule: questions that no longer arise, doubts that are lifted, values given.

An answer never stands in for a missing fact. `as_written` leaves the rule to be judged as it stands; `not_asked` takes
the rule away where its question arises; `met` and `not_met` say that the rule is met or not, where its author lets an answer
do that. One that no longer counts settles nothing and is said so.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from checker.ir import tree
from checker.ir.node import Node, replace
from checker.ir.visitor import rewritten, walk
from checker.rulesets.layering import Answered
from checker.rulesets.models import Rule

ALWAYS = tree.All(())
MET, NOT_MET = "met", "not_met"
SETTLED, LAPSED = "Settled by ", "The answer of "  # begin the notes of the authority's answers


class Question(NamedTuple):
    """A question that a rule asks the authority: its words, when it arises, and its line of `verify_when` (-1: none)."""

    words: str
    condition: tree.Condition
    line: int


class Doubts(NamedTuple):
    """Why a rule would be put to the authority as a whole: what is doubtful of it, and open limits that an answer filled."""

    doubtful: tuple[str, ...]
    filled: tuple[str, ...]


class Settlement(NamedTuple):
    """What is left of a rule's conditions, questions and doubts once the answers are in."""

    applies: tuple[tree.Condition, ...]
    require: tuple[tree.Condition, ...]
    verify: tuple[tree.Ask, ...]
    doubtful: tuple[str, ...]
    settled: tuple[tree.Settled, ...]


def plain(text: str) -> str:
    """A question without accidents of spacing."""
    return " ".join(text.split())


def questions_of(rule: Rule) -> list[str]:
    """The words of the question of each line of `verify_when`, and last the rule's own."""
    lines = [line.get("ask", "") if isinstance(line, dict) else "" for line in rule.verify_when or []]
    return [plain(str(words) or rule.ask) for words in [*lines, rule.ask]]


def values(rule: Rule, answers: Sequence[Answered]) -> Mapping[str, Answered]:
    """The answers that count and say what a limit left to the place is, by the limit, for this rule alone."""
    return {
        name: one
        for one in answers
        if not one.stale and plain(one.answer.question) == plain(rule.ask)
        for name in one.answer.values
    }


def settle(
    rule: Rule, answers: Sequence[Answered], applies: tuple[tree.Condition, ...], require: tuple[tree.Condition, ...],
    asks: Sequence[tree.Ask | None], doubts: Doubts,
) -> Settlement:  # fmt: skip
    """A rule's conditions, questions and doubts with the authority's answers in their place.

    Args:
        asks: One for each line of `verify_when`, None where that could not be read.
    """
    words = questions_of(rule)
    conditions = [*(ask.condition if ask else ALWAYS for ask in asks), ALWAYS]
    questions = [Question(*each, line) for line, each in enumerate(zip(words, conditions, strict=True))]
    questions[-1] = questions[-1]._replace(line=-1)
    found = {question: settled for question in questions if (settled := _settled(question, answers, doubts))}
    answered = {question.line for question, settled in found.items() if settled.answer}
    lifted = [tree.NoneOf((settled.condition,)) for settled in found.values() if settled.answer == "not_asked"]
    lost = [tree.Settled(ALWAYS, "", _lapsed(one)) for one in answers if plain(one.answer.question) not in words]
    return Settlement(
        (*applies, *lifted),
        _required(require, {settled.answer for settled in found.values()}),
        tuple(ask for line, ask in enumerate(asks) if ask and line not in answered),
        () if -1 in answered else doubts.doubtful,
        (*found.values(), *lost),
    )


def _required(require: tuple[tree.Condition, ...], said: set[str]) -> tuple[tree.Condition, ...]:
    """What is required, where an answer may say that it is met or not; what it reads stays evidence."""
    if MET in said:
        answered = tree.Branch("", tree.Constantly(value=True, text=MET), (), ())
        return (tree.AnyOf((answered, tree.Branch("", tree.All(require), (), ()))),)
    return (tree.Constantly(value=False, text=NOT_MET), *require) if NOT_MET in said else require


def _settled(question: Question, answers: Sequence[Answered], doubts: Doubts) -> tree.Settled | None:
    """What the uppermost answer to a question settles; None where nobody answered it, or it does not arise."""
    given = [one for one in answers if plain(one.answer.question) == question.words]
    if not given:
        return None
    last = next((one for one in reversed(given) if not one.stale), given[-1])
    arises = doubts.doubtful or set(doubts.filled) & set(last.answer.values) or last.answer.answer in (MET, NOT_MET)
    if question.line < 0 and not arises:
        return tree.Settled(ALWAYS, "", _lapsed(last)) if last.stale and last.answer.values else None
    if last.stale:
        return tree.Settled(question.condition, "", _lapsed(last))
    filled = tuple(name for name in doubts.filled if question.line < 0 and name in last.answer.values)
    words = f"{last.said_by}: {plain(last.answer.in_words)}"
    return tree.Settled(question.condition, last.answer.answer, words, filled)


def _lapsed(one: Answered) -> str:
    why = "the rule has changed since" if one.stale else "the rule asks another question now"
    return f"{LAPSED}{one.said_by} no longer counts: {why}"


def as_if_asked(rule: tree.BoundRule) -> tree.BoundRule | None:
    """A rule without the answers that can take it away; None where there are none."""
    lifted = sum(settled.answer == "not_asked" for settled in rule.settled)
    limits = {name for settled in rule.settled for name in settled.limits}
    if not lifted and not limits:
        return None
    left = tree.All(rule.applies.conditions[: len(rule.applies.conditions) - lifted])  # `settle` puts them last

    def emptied(node: Node) -> Node:
        """These limits left to the place again."""
        return replace(node, value=None) if isinstance(node, tree.Constant) and node.name in limits else node

    where = rewritten(rule.where, emptied)
    return replace(rule, applies=rewritten(left, emptied), require=rewritten(rule.require, emptied), where=where)


def open_limits(part: Any) -> list[str]:
    """The limits in a part of a bound rule that have no value here."""
    return [one.name for one in walk(part) if isinstance(one, tree.Constant) and one.value is None]
