"""A short start: a handful of questions that make a first job file; the job schema says which.

Each question writes the facts that its answer says, and no others: an answer skipped leaves the fact unrecorded.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from checker.fieldwork.prompts import Facts, NotAnAnswer, Question, placed, said_of, value_of, words_of
from checker.reading.vocabulary import Leaf, Vocabulary, pattern

# An amount and a word behind it: 0.7 hemp.
AMOUNT_AND_WORD = re.compile(r"(.*\d[^a-z]*)([a-z].*)", re.IGNORECASE)


def questions(vocabulary: Vocabulary, places: tuple[str, ...], of: str = "start") -> Iterator[Question]:
    """The questions in order.

    Args:
        places: The jurisdiction codes that the rulesets cover, to offer.
        of: Under which name the schema lists them: `start`, or `prep` for the few that a plan needs.
    """
    for number, told in enumerate(vocabulary.commands.get(of, ())):
        question = _question(vocabulary, number, told)
        known = f" (covered: {', '.join(places)})" if places and vocabulary.at("place") in question.paths else ""
        yield question._replace(text=question.text + known, decides=told.get("decides", False))


def job_of(vocabulary: Vocabulary, name: str, facts: Facts) -> dict[str, Any]:
    """The job file that the answers make: the facts by path, put into their places."""
    items = vocabulary.commands.get("start_items", {})
    lists = {path: made for path, made in items.items() if any(fact.startswith(f"{path}.") for fact in facts)}
    return placed({"job_id": name, "schema_version": 1}, {**lists, **facts})


def settled(vocabulary: Vocabulary, facts: Facts) -> Facts:
    """The answers with each that waits for another put where that other says it belongs.

    Without that other it is not known what the answer is of, and nothing is recorded of it.
    """
    found = {path: value for path, value in facts.items() if not path.startswith("?")}
    for number, told in enumerate(vocabulary.commands.get("start", ())):
        answer, word = facts.get(f"?{number}"), facts.get(told.get("by", ""))
        if answer is not None and word is not None:
            says = told["says"].get(word, told["says"][""])
            found |= {path: answer if value == "answer" else value for path, value in says.items()}
    return found


def _question(vocabulary: Vocabulary, number: int, told: Mapping[str, Any]) -> Question:
    if "choices" in told:
        paths = tuple(dict.fromkeys(path for facts in told["choices"].values() for path in facts))
        return Question(told["ask"], tuple(told["choices"]), paths, lambda answer: dict(told["choices"][answer]))
    first = vocabulary.leaves[pattern(told["facts"][0])]
    if "by" in told:
        return Question(told["ask"], (), (f"?{number}",), lambda answer: {f"?{number}": value_of(first, answer)})
    if len(told["facts"]) > 1:
        paths = (*told["facts"], *told.get("also", ()))
        return Question(told["ask"], (), paths, lambda answer: _two(vocabulary, told, answer))
    path, words = told["facts"][0], words_of(first)
    return Question(
        told["ask"],
        tuple(words),
        (path,),
        lambda answer: {path: value_of(first, words.get(answer, answer))},
        may_be_none=first.may_be_none,
        said=said_of(first, words),
    )


def _two(vocabulary: Vocabulary, told: Mapping[str, Any], answer: str) -> Facts:
    """An amount and the word behind it, such as `0.7 hemp`.

    Raises:
        NotAnAnswer: It is not both.
    """
    amount, kind = told["facts"]
    match = AMOUNT_AND_WORD.fullmatch(answer.strip())
    found = _word(vocabulary.leaves[pattern(kind)], match[2]) if match else ""
    if not match or not found:
        raise NotAnAnswer(f"Write both, such as: {told['example']}.")
    # the unit may stand between them: 0.7 in hemp
    return {amount: value_of(vocabulary.leaves[pattern(amount)], match[1].strip()), kind: found, **told.get("also", {})}


def _word(leaf: Leaf, written: str) -> str:
    """The word of a closed list that someone means: it, or its plural, perhaps behind the unit."""
    last = written.lower().split()[-1]
    return next((word for word in leaf.possible if last in (word, f"{word}s", word.replace("_", " "))), "")
