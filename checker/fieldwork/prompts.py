"""One question to a contractor and what an answer to it records: what `start` and `interview` share.

An answer is text and stays text: it is read by the form of its fact and never run.
"""

from __future__ import annotations

import copy
import re
import unicodedata
from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

from checker.problems.sanitize import low
from checker.reading import typed_input, units
from checker.reading.fact_reader import LeafError, says_nothing
from checker.reading.job import Job
from checker.reading.typed_input import YES_NO, Meanings
from checker.reading.vocabulary import Leaf, ListOf, Vocabulary, pattern

Facts = dict[str, Any]

PART = r"[-+]?[\d.]+\s*(?:[^\d\s,.+-][^\s\d]*)?"  # a number and perhaps its unit, inside a row of them
THOUSANDS = re.compile(r"\d,\d{3}(?!\d)")
EXAMPLE = "0 310, 5 340"


class Question(NamedTuple):
    """What is asked, the answers to choose from (none: anything), and the facts that an answer says.

    `paths` are all facts that some answer records; `decides` tells that it decides which rules hold at all,
    `may_be_none` that its fact can be known to be none, `a_list` that it asks for the items of a list. `said` are other
    words for the choices, each with those that it may mean; `lines` are what a tick list asks about, one of each path;
    `opens` marks a question that the job begins with.
    """

    text: str
    choices: tuple[str, ...]
    paths: tuple[str, ...]
    facts: Callable[[str], Facts]
    decides: bool = False
    may_be_none: bool = False
    a_list: bool = False
    said: Meanings = MappingProxyType({})
    lines: tuple[str, ...] = ()
    opens: bool = False


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
        those = [f"{choices.index(one) + 1} {one}" if numbered else one for one in unclear.candidates]
        what = f"'{answer}' may mean {' or '.join(those)}." if len(those) > 1 else f"'{answer}': is {those[0]} meant?"
        which = "its number" if numbered else "the whole word"
        raise NotAnAnswer(f"{what} Answer with {which}, or leave it empty.") from None
    except LeafError:
        wanted = f"a number from 1 to {len(choices)}" if numbered else "one of these as it is written"
        raise NotAnAnswer(f"Answer with {wanted}, or leave it empty.") from None


def counted(choices: tuple[str, ...]) -> bool:
    """Whether choices may be numbered: not where they are numbers themselves, such as wire sizes."""
    return not any(choice[0].isdigit() for choice in choices)


def placed(data: Mapping[str, Any], facts: Facts) -> dict[str, Any]:
    """A copy of a job with facts put into their places; all else is kept, in its order."""
    job = copy.deepcopy(dict(data))
    for path, value in facts.items():
        at: Any = job
        *around, last = path.split(".")
        for step in around:
            at = at[int(step)] if isinstance(at, list) else at.setdefault(step, {})
        at[last] = copy.deepcopy(value)
    return job


def clean(answer: str) -> str:
    """An answer without the space around it.

    Raises:
        NotAnAnswer: It holds signs that no text has, such as those an arrow key sends.
    """
    if any(unicodedata.category(sign) in ("Cc", "Cs") for sign in answer.strip()):
        raise NotAnAnswer("That holds signs that are not text. Type it again.")
    return answer.strip()


# --- the question that one fact or list asks -------------------------------------------------------------------------


def question_of(job: Job, path: str) -> Question:
    """The question about one fact or list of a job, with the name of the item that it is about."""
    vocabulary = job.vocabulary
    named = item_names(job, path)
    before = f"{named}: " if named else ""
    entry = vocabulary.lists.get(pattern(path))
    if entry:
        return _of_list(vocabulary, entry, path, before)
    leaf = vocabulary.leaves[pattern(path)]
    offered = job.lists.get(leaf.names, ())
    words = dict(zip(offered, offered, strict=True)) or words_of(leaf)
    text = f"{before}{leaf.ask or leaf.title}{shown_unit(leaf)}"
    instruments = job.lists.get(job.at("instruments"), ())

    def facts(answer: str) -> Facts:
        around = path[: len(path) - len(typed_input.name_of(path))]
        found = {
            around + name: value for name, value in values_of(leaf, words.get(answer, answer), instruments).items()
        }
        for other in set(found) & set(job.readings) - {path}:
            title = vocabulary.title(other)
            raise NotAnAnswer(f"{title} is recorded already: {job.readings[other].written}. Write one value here.")
        return found

    said = said_of(leaf, words)
    return Question(text, tuple(words), (path,), facts, may_be_none=leaf.may_be_none, said=said)


def item_names(job: Job, path: str) -> str:
    """The names of the list items around a fact, from the outside in; readings have no name and are counted from 1."""
    steps, names = path.split("."), []
    for at, step in enumerate(steps):
        around = ".".join(steps[:at])
        if step.isdigit() and around in job.lists:
            entry = job.vocabulary.lists[pattern(around)]
            names.append(job.lists[around][int(step)] if entry.keyed else f"{entry.title} {int(step) + 1}")
    return ", ".join(names)


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
        return " (year-month-day)"
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


# --- lists -----------------------------------------------------------------------------------------------------------


def _of_list(vocabulary: Vocabulary, entry: ListOf, path: str, before: str) -> Question:
    leaves = [leaf for leaf in vocabulary.leaves.values() if leaf.path.startswith(f"{entry.path}.")]
    parts = " and ".join(f"{low(leaf.title)}{shown_unit(leaf)}" for leaf in leaves)
    says = vocabulary.leaves.get(f"{entry.path}.{entry.key_says}")
    such_as = f", such as {', '.join(list(words_of(says))[:2])}" if says else ""
    how = (
        f"Give each a short name, with commas between{such_as}; or none."
        if entry.keyed
        else f"Of each reading, {parts}, with commas between the readings, such as {EXAMPLE}; or none."
    )

    def facts(answer: str) -> Facts:
        if answer.lower() == "none":
            return {path: []}
        if len(leaves) == 1 and not entry.keyed and THOUSANDS.search(answer):
            raise NotAnAnswer("Write the numbers without a comma inside them, such as: 1105, 1140, 1120.")
        items = [part.strip() for part in answer.split(",") if part.strip()]
        return {path: _named(items, says) if entry.keyed else [_reading(leaves, item) for item in items]}

    return Question(f"{before}{entry.ask or entry.title} {how}", (), (path,), facts, a_list=True)


def _named(names: list[str], says: Leaf | None) -> list[Facts]:
    """The items of a keyed list. A name that is a value of the fact `says` says that fact too."""
    if len(set(names)) < len(names):
        raise NotAnAnswer("Give each a name of its own.")
    if any(_no_name(name) for name in names):
        raise NotAnAnswer("Write none where there are none, or leave it empty to skip it.")
    if not names or any("/" in name for name in names):
        raise NotAnAnswer("Write short names with commas between them, without a '/'.")
    return [{"key": name, **_said_by(name, says)} for name in names]


def _said_by(name: str, says: Leaf | None) -> Facts:
    try:
        return {typed_input.name_of(says.path): value_of(says, name)} if says else {}
    except NotAnAnswer:  # a name of the contractor's own
        return {}


def _no_name(text: str) -> bool:
    """Whether it is an answer to another question and no name: no, 0, n/a, don't know."""
    word = text.casefold()
    other = (*YES_NO, *typed_input.YES_NO_SAID, "none", "nothing", "0", "zero")
    return word in other or says_nothing(text) or bool(typed_input.unknown_why(text))


def _reading(leaves: list[Leaf], item: str) -> Facts:
    """One of a row of readings, such as `5 320`: its parts in their order, each perhaps with its unit."""
    found = re.fullmatch(r"\s+".join([f"({PART})"] * len(leaves)), item)
    if not found:
        raise NotAnAnswer(f"'{item}' is not {len(leaves)} numbers; write them such as {EXAMPLE}.")
    pairs = zip(leaves, found.groups(), strict=True)
    return {typed_input.name_of(leaf.path): value_of(leaf, part) for leaf, part in pairs}
