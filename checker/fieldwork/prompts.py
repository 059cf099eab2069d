"""One question to a contractor and what an answer to it records: what `start` and `interview` share.

An answer is text and stays text: it is read by the form of its fact and never run.
"""

from __future__ import annotations

import copy
import itertools
import re
import unicodedata
from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

from checker.reading import typed_input, units
from checker.reading.fact_reader import LeafError, says_nothing
from checker.reading.fact_shapes import Leaf
from checker.reading.job import Job
from checker.reading.typed_input import YES_NO, Meanings, unknown_why

Facts = dict[str, Any]

WITHOUT = re.compile(r"(unknown|none)\s*(?::\s*(.*))?", re.IGNORECASE)


class Question(NamedTuple):
    """What is asked, the answers to choose from (none: anything), and the facts that an answer says.

    `paths` are all facts that some answer records; `decides` tells that it decides which rules hold at all,
    `may_be_none` that its fact can be known to be none, `a_list` that it asks for the items of a list. `said` are other
    words for the choices, each with those that it may mean, `same` short words for words of them; `lines` are what a tick
    list asks about, one of each path; `opens` marks a question that the job begins with, `parts` are what is typed on one
    line, one of each path, `several` the things of which the numbers of those that apply are typed. `left` tells what of
    an answer is not recorded, and why. `whole` reads an answer that is none of the choices and says others of its group
    too, such as 8-2 NM-B.
    """

    text: str
    choices: tuple[str, ...]
    paths: tuple[str, ...]
    facts: Callable[[str], Facts]
    decides: bool = False
    may_be_none: bool = False
    a_list: bool = False
    said: Meanings = MappingProxyType({})
    same: Mapping[str, str] = MappingProxyType({})
    lines: tuple[str, ...] = ()
    opens: bool = False
    parts: tuple[str, ...] = ()
    several: tuple[str, ...] = ()
    left: Callable[[str], str] | None = None
    whole: Callable[[str], Facts] | None = None


class NotAnAnswer(ValueError):
    """An answer that cannot be used: says why."""


def chosen(question: Question, answer: str) -> str:
    """The choice that a number or a word means. A word that may mean several, or is a part of one, is asked about.

    Raises:
        NotAnAnswer: It means none of them, or it is not clear which.
    """
    choices = question.choices
    if not choices:
        return answer
    numbered = counted(choices)
    if numbered and re.fullmatch("[1-9][0-9]{0,2}", answer) and int(answer) <= len(choices):
        return choices[int(answer) - 1]
    try:
        return typed_input.meant(answer, choices, question.said)
    except typed_input.Unclear as unclear:
        raise _unclear(question, answer, unclear.candidates) from None
    except LeafError:
        found = typed_input.with_all_words(answer, choices, question.same)
        if len(found) == 1 and len(answer.split()) > 1:
            return found[0]
        if found:
            raise _unclear(question, answer, found) from None
        wanted = f"a number from 1 to {len(choices)}" if numbered else "one of these words"
        raise NotAnAnswer(f"Answer with {wanted}, or press Enter to skip it.") from None


def _unclear(question: Question, answer: str, candidates: tuple[str, ...]) -> NotAnAnswer:
    """Which choices an answer may mean."""
    numbered = counted(question.choices)
    those = [f"{question.choices.index(one) + 1} {one}" if numbered else one for one in candidates]
    what = f"'{answer}' may mean {' or '.join(those)}." if len(those) > 1 else f"'{answer}': is {those[0]} meant?"
    which = "its number" if numbered else "the whole word"
    return NotAnAnswer(f"{what} Answer with {which}, or press Enter to skip it.")


MOST_NUMBERED = 20  # of more choices the word is sooner typed than its number is found


def counted(choices: tuple[str, ...]) -> bool:
    """Whether choices are numbered: not where they are numbers themselves, such as wire sizes, and not a page of them."""
    return len(choices) <= MOST_NUMBERED and not any(choice[0].isdigit() for choice in choices)


def placed(data: Mapping[str, Any], facts: Facts) -> dict[str, Any]:
    """A copy of a job with facts put into their places; all else is kept, in its order. An item of a list is put in."""
    job = copy.deepcopy(dict(data))
    for path, value in facts.items():
        at: Any = job
        *around, last = path.split(".")
        for step in around:
            at = at[int(step)] if isinstance(at, list) else at.setdefault(step, {})
        if isinstance(at, list):
            at.insert(int(last), copy.deepcopy(value))
        else:
            at[last] = copy.deepcopy(value)
    return job


def new_item(job: Job, role: str, name: str, fields: Mapping[str, Any]) -> Facts:
    """One more item of the list that has a role. Its key is the name, with a number behind it where the list has it already."""
    listed = job.at(role)
    keys = job.lists.get(listed)
    names = itertools.chain([name], (f"{name}-{number}" for number in itertools.count(2)))
    key = next(one for one in names if one not in (keys or ()))
    item = {"key": key, **fields}
    return {listed: [item]} if keys is None else {f"{listed}.{len(keys)}": item}


def clean(answer: str) -> str:
    """An answer without the space around it.

    Raises:
        NotAnAnswer: It holds signs that no text has, such as those an arrow key sends.
    """
    if any(unicodedata.category(sign) in ("Cc", "Cs") for sign in answer.strip()):
        raise NotAnAnswer("That has characters that are not text. Type it again.")
    return answer.strip()


def said(question: Question, answer: str) -> Facts:
    """The facts that an answer says: a value, `unknown: why`, or `none: why` where the fact may be none.

    Raises:
        NotAnAnswer: It cannot be used.
    """
    if question.parts and not question.a_list and any(sign in answer for sign in ",;"):
        return question.facts(answer)
    without = WITHOUT.fullmatch(answer)
    if says_nothing(answer) and not without:
        raise NotAnAnswer(f"'{answer}' may mean several things. Write none: and why, or unknown: and why.")
    if unknown_why(answer) and not question.a_list:
        return {path: {"not_known": answer} for path in question.paths}
    listed = answer.lower() in {choice.lower() for choice in question.choices}
    in_words = question.a_list or len(question.paths) > 1  # there none is a word of its own, or refused with an example
    plain_none = answer.lower() == "none" and in_words
    if without is None or listed or plain_none:
        return _of_choices(question, answer)
    word, why = without[1].lower(), (without[2] or "").strip()
    if question.a_list:
        raise NotAnAnswer("Press Enter to skip it, or write just none if there are none.")
    if word == "none" and not question.may_be_none:
        raise NotAnAnswer("None is not an answer here. If you couldn't find out, write unknown: and why.")
    if not why:
        raise NotAnAnswer(f"Say why as well, such as: {word}: the plate does not show it.")
    return {path: {"not_known" if word == "unknown" else "none": why} for path in question.paths}


def _of_choices(question: Question, answer: str) -> Facts:
    try:
        return question.facts(chosen(question, answer))
    except NotAnAnswer:
        if question.choices and question.whole and (read := question.whole(answer)):
            return read
        raise


def words_of(leaf: Leaf) -> dict[str, str]:
    """The answers to choose from as a person reads them, each with what is recorded."""
    possible = YES_NO if leaf.form == "flag" else leaf.possible
    return {word.replace("_", " "): word for word in possible}


def said_of(leaf: Leaf, words: Mapping[str, str]) -> Meanings:
    """Other words for the answers to choose from, each with the answers that it may mean."""
    shown = {value: word for word, value in words.items()}
    return {other: tuple(shown[value] for value in values) for other, values in typed_input.said_of(leaf).items()}


def shown_unit(leaf: Leaf) -> str:
    """The unit in which a bare number is understood, as it stands behind the question."""
    if leaf.form == "date":
        return " (month/day/year)"
    label = units.shown(leaf.unit) if leaf.form == "quantity" else ""
    return f" ({label})" if label else ""


def value_of(leaf: Leaf, answer: str, instruments: tuple[str, ...] = ()) -> Any:
    """What a job records for an answer: the value as it will stand in the file.

    Raises:
        NotAnAnswer: It is not a value that this fact can have.
    """
    found = values_of(leaf, answer, instruments)
    if len(found) > 1:
        raise NotAnAnswer("Write one value here.")
    return found[typed_input.name_of(leaf.path)]


def values_of(leaf: Leaf, answer: str, instruments: tuple[str, ...] = ()) -> Facts:
    """What a job records for an answer, by the last name of each fact: an amount may be written with the one beside it.

    Raises:
        NotAnAnswer: It is not a value that this fact can have.
    """
    text, at, instrument = answer.partition("@") if leaf.form == "quantity" else (answer, "", "")
    instrument = instrument.strip()
    if at and instrument not in instruments:
        listed = f"Listed: {', '.join(instruments)}." if instruments else "It lists none."
        raise NotAnAnswer(f"The job lists no instrument '{instrument}'. {listed}")
    quoted = leaf.form == "text" and len(text) > 2 and text[0] == text[-1] == '"'
    try:
        found = typed_input.values_of(leaf, text[1:-1] if quoted else text.strip())
    except LeafError as error:
        raise NotAnAnswer(f"{error.what[0].upper()}{error.what[1:]} {error.hint}") from None
    return {name: _read_on(leaf, value, instrument) for name, value in found.items()} if at else found


def _read_on(leaf: Leaf, written: str, instrument: str) -> Facts:
    """An amount with the instrument that it was read on."""
    _, unit, number = units.read_amount(written, leaf.kind, leaf.unit)
    value = int(number) if number.lstrip("+-").isdigit() else float(number)
    return {"value": value, "unit": unit.name, "instrument": instrument}
