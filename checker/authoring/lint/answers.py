"""What is wrong with the authority's answers that rulesets record: questions nobody asks, values that fit nothing, rules
that have changed since, days the wrong way round.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import product
from typing import Any, NamedTuple

from checker.binding import authority_answers
from checker.binding.binder import bind
from checker.binding.names import Context
from checker.ir import tree
from checker.ir.references import patterns_read
from checker.ir.visitor import outermost
from checker.problems.problem import Problem, did_you_mean
from checker.reading.vocabulary import Vocabulary
from checker.rulesets import limits
from checker.rulesets.chain import Chain
from checker.rulesets.expression_words import names_in
from checker.rulesets.layering import NO_EDITION, Effective, effective
from checker.rulesets.limits import LimitError
from checker.rulesets.models import Answer, Limit, Rule
from checker.rulesets.periods import first_days
from checker.rulesets.ruleset import Part


class AnswerInPlace(NamedTuple):
    """An answer looked at: where it stands, the chain up to its ruleset, and the vocabulary."""

    answer: Answer
    part: Part
    here: Chain
    vocabulary: Vocabulary


def answers_problems(chain: Chain, vocabulary: Vocabulary) -> Iterator[Problem]:
    """The mistakes of every answer in a chain whose layers are otherwise in order."""
    for ruleset in chain.rulesets:
        here = chain.up_to(ruleset)
        for name, answer in ruleset.answers.items():
            yield from _answer_problems(AnswerInPlace(answer, ruleset.parts["answers", name], here, vocabulary))


def _answer_problems(at: AnswerInPlace) -> Iterator[Problem]:
    answer, home = at.answer, at.here.homes["rules", at.answer.rule]
    if answer.until and limits.day_number(answer.until) <= limits.day_number(answer.first_day):
        what = f"This ends on {answer.until}, before it begins on {answer.first_day}."
        yield at.part.problem(
            ("until",), what, "'from', or else 'on', is the first day and 'until' the first day after."
        )
        return
    for edition in answer.meaning:
        if edition not in (*home.header.editions, NO_EDITION):
            what = f"{home.id} has no edition {edition}."
            known = ", ".join(home.header.editions) or NO_EDITION
            yield at.part.problem(("meaning", edition, "="), what, f"Editions: {known}.")
    for edition, day in product(home.header.editions or [NO_EDITION], first_days(at.here, {answer.rule})):
        in_force = {home.id: None if edition == NO_EDITION else edition}
        layered = effective(at.here, "rules", answer.rule, in_force, day)
        mine = [one for one in layered.answers if one.answer is answer]
        if mine and mine[0].stale:
            key = edition if edition in answer.meaning else NO_EDITION
            what = f"'{answer.rule}' has changed since this was answered{_under(edition)}."
            hint = f"Ask again, then copy the meaning that 'changeout explain {answer.rule}' shows."
            yield at.part.problem(("meaning", key), what, hint)
        elif mine:
            yield from _question_problems(at, layered, in_force, day, edition)


def _under(edition: str) -> str:
    return "" if edition == NO_EDITION else f" (edition {edition})"


def _question_problems(
    at: AnswerInPlace, layered: Effective, in_force: dict[str, str | None], day: int, edition: str
) -> Iterator[Problem]:
    """What is wrong with the question, or with an answer that does not go with it."""
    rule, answer = layered.data, at.answer
    assert isinstance(rule, Rule)
    asked = authority_answers.questions_of(rule)
    if not any(asked):
        hint = "An answer settles a question: the rule's 'ask', or that of a line under 'verify_when'."
        yield at.part.problem(("rule",), f"'{answer.rule}' asks the authority nothing.", hint)
        return
    question = authority_answers.plain(answer.question)
    if question not in asked:
        hint = did_you_mean(question, asked) or f"It asks: {' '.join(dict.fromkeys(filter(None, asked)))}"
        yield at.part.problem(("question",), f"'{answer.rule}' does not ask this.", hint)
        return
    if question in asked[:-1] and not answer.values:
        return
    bound, problems = bind(layered._replace(answers=()), Context(at.here, at.vocabulary, in_force, day))
    if bound is not None and not problems:
        yield from _own_question_problems(at, bound, question in asked[:-1], edition)


def _own_question_problems(
    at: AnswerInPlace, bound: tree.BoundRule, of_a_line: bool, edition: str
) -> Iterator[Problem]:
    """The rule's own question arises where it is doubtful, or where it names a limit that is left to the place."""
    answer, left = at.answer, sorted(set(authority_answers.open_limits(bound)))
    yield from _value_problems(at, bound, left, edition)
    if bound.doubtful or of_a_line:
        return
    if not left:
        what = f"'{answer.rule}' leaves nothing to the authority here{_under(edition)}."
        yield at.part.problem(("meaning", edition, "=") if edition in answer.meaning else ("rule",), what,
                              "Name under 'meaning' only the editions that leave something open.")  # fmt: skip
    elif answer.answer == "not_asked" or not set(left) & set(answer.values):
        names = ", ".join(left)
        what = f"What '{answer.rule}' leaves to the place is {names}{_under(edition)}; this does not say what it is."
        yield at.part.problem(
            ("answer",), what, f"Write 'answer: as_written' and its value: 'values: {{{left[0]}: …}}'."
        )


def _value_problems(at: AnswerInPlace, bound: tree.BoundRule, left: list[str], edition: str) -> Iterator[Problem]:
    for name, text in at.answer.values.items():
        home = at.here.homes.get(("limits", name))
        if home is None or name not in left:
            what = f"'{name}' is not a limit that '{at.answer.rule}' leaves to the place{_under(edition)}."
            yield at.part.problem(("values", name, "="), what, did_you_mean(name, left) or f"Left: {', '.join(left)}.")
            continue
        yield from _unfit(at, bound, name, text, home.limits[name])


def _unfit(at: AnswerInPlace, bound: tree.BoundRule, name: str, text: str, limit: Limit) -> Iterator[Problem]:
    try:
        limits.read(limit, text)
    except LimitError as error:
        yield at.part.problem(("values", name), error.what, error.hint)
        return
    rule = at.here.homes["rules", at.answer.rule].rules[at.answer.rule]
    in_title = re.findall(r"[a-z][a-z0-9_]*", limit.title)
    known = [*in_title, *names_in([rule.applies_when, rule.require]), *_words_beside(at, bound, name)]
    if limits.kind_of(limit) == "word" and text not in known:
        hint = did_you_mean(text, known) or f"Its title lists them: {limit.title}."
        yield at.part.problem(("values", name), f"'{text}' is not a word that '{name}' is compared with.", hint)


def _words_beside(at: AnswerInPlace, bound: tree.BoundRule, name: str) -> Iterator[str]:
    """The closed lists of words of the facts that a limit is compared with."""
    for comparison in _comparisons((bound.applies, bound.require), name):
        for path in patterns_read(comparison, bound.where, bound.for_each):
            leaf = at.vocabulary.leaf(path)
            yield from leaf.possible if leaf else ()


def _comparisons(part: Any, limit: str) -> Iterator[tree.Compare]:
    """The comparisons in a part of a bound rule that name a limit."""
    for one in outermost(part, tree.Compare):
        if any(isinstance(side, tree.Constant) and side.name == limit for side in one.operands):
            yield one
