"""One question to a contractor and what an answer to it records: what `start` and `interview` share.

An answer is text and stays text: it is read by the form of its fact and never run.
"""

from __future__ import annotations

import copy
import re
import unicodedata
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from checker import units
from checker.facts import Leaf, ListOf, Vocabulary, pattern
from checker.job import Job
from checker.readings import LeafError, read_leaf

Facts = dict[str, Any]

YES_NO = ("yes", "no")
BARE = re.compile(r"[-+]?[\d.,]+|(?:\d+[ -])?\d+/\d+")  # a number without a unit, also a size such as 1 1/8
READING = re.compile(r"([-+]?[\d.]+)\s*([^\d\s,.+-][^\s\d]*)?")  # a number and perhaps its unit, inside a row of them
EXAMPLE = "0 310, 5 340"


class Question(NamedTuple):
    """What is asked, the answers to choose from (none: anything), and the facts that an answer says.

    `paths` are all facts that some answer records; `decides` tells that it decides which rules hold at all,
    `may_be_none` that its fact can be known to be none, `a_list` that it asks for the items of a list.
    """

    text: str
    choices: tuple[str, ...]
    paths: tuple[str, ...]
    facts: Callable[[str], Facts]
    decides: bool = False
    may_be_none: bool = False
    a_list: bool = False


# How people write a wire size around its number: #12, 12 AWG, no. 12.
SIZE = re.compile(r"^\s*(?:#|no\.?)\s*|\s*(?:awg|ga(?:uge)?)\.?\s*$", re.IGNORECASE)


class NotAnAnswer(ValueError):
    """An answer that cannot be used: says why."""


def chosen(question: Question, answer: str) -> str:
    """The choice that a number, a word or the start of one means.

    Raises:
        NotAnAnswer: It means none of them, or several.
    """
    choices = question.choices
    if not choices:
        return answer
    numbered = counted(choices)
    if numbered and re.fullmatch("[1-9][0-9]{0,2}", answer) and int(answer) <= len(choices):
        return choices[int(answer) - 1]
    if not numbered:
        answer = SIZE.sub("", answer)
    exact = [choice for choice in choices if choice.lower() == answer.lower()]
    begun = [choice for choice in choices if choice.lower().startswith(answer.lower())]
    letters = _letters(answer)
    within = [choice for choice in choices if len(letters) > 2 and letters in _letters(choice)]
    found = exact or begun or within
    if len(found) != 1:
        wanted = f"a number from 1 to {len(choices)}" if numbered else "one of these as it is written"
        raise NotAnAnswer(f"Answer with {wanted}, or leave it empty.")
    return found[0]


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
        return {path: value_of(leaf, words.get(answer, answer), instruments)}

    return Question(text, tuple(words), (path,), facts, may_be_none=leaf.may_be_none)


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
    try:
        value = _WRITTEN.get(leaf.form, _as_text)(leaf, answer, instruments)
        read_leaf(leaf, value)
    except (LeafError, units.UnitError) as error:
        raise NotAnAnswer(f"{error.what[0].upper()}{error.what[1:]} {error.mend}") from None
    return value


def _as_text(leaf: Leaf, answer: str, _: tuple[str, ...]) -> str:
    quoted = leaf.form == "text" and len(answer) > 2 and answer[0] == answer[-1] == '"'
    return answer[1:-1] if quoted else answer


def _flag(_: Leaf, answer: str, __: tuple[str, ...]) -> bool:
    return answer == "yes"


def _count(_: Leaf, answer: str, __: tuple[str, ...]) -> int | str:
    return int(answer) if re.fullmatch("[0-9]{1,7}", answer) else answer


def _date(_: Leaf, answer: str, __: tuple[str, ...]) -> Any:
    """A day; `2026-05-01 to 2026-05-31` where only that much is known."""
    days = re.fullmatch(r"(\S+) to (\S+)", answer)
    return {"between": [days[1], days[2]]} if days else answer


def _quantity(leaf: Leaf, answer: str, instruments: tuple[str, ...]) -> Any:
    """An amount with its unit; `118 psig @g1` names the instrument that was read."""
    amount, at, instrument = answer.partition("@")
    amount, instrument = amount.strip(), instrument.strip()
    written = f"{amount} {units.shown(leaf.unit)}".strip() if BARE.fullmatch(amount) else amount
    if not at:
        return written
    if instrument not in instruments:
        listed = f"Listed: {', '.join(instruments)}." if instruments else "It lists none."
        raise NotAnAnswer(f"The job lists no instrument '{instrument}'. {listed}")
    _, unit, number = units.read_amount(written, leaf.kind, leaf.unit)
    return {
        "value": int(number) if number.lstrip("+-").isdigit() else float(number),
        "unit": unit.name,
        "instrument": instrument,
    }


_WRITTEN: dict[str, Callable[[Leaf, str, tuple[str, ...]], Any]] = {
    "quantity": _quantity,
    "flag": _flag,
    "count": _count,
    "date": _date,
}


# --- lists -----------------------------------------------------------------------------------------------------------


def _of_list(vocabulary: Vocabulary, entry: ListOf, path: str, before: str) -> Question:
    leaves = [leaf for leaf in vocabulary.leaves.values() if leaf.path.startswith(f"{entry.path}.")]
    parts = " and ".join(f"{leaf.title[0].lower()}{leaf.title[1:]}{shown_unit(leaf)}" for leaf in leaves)
    how = (
        "Give each a short name, with commas between; or none."
        if entry.keyed
        else f"Of each reading, {parts}, with commas between the readings, such as {EXAMPLE}; or none."
    )

    def facts(answer: str) -> Facts:
        if answer.lower() == "none":
            return {path: []}
        items = [part.strip() for part in answer.split(",") if part.strip()]
        return {path: _named(items) if entry.keyed else [_reading(leaves, item) for item in items]}

    return Question(f"{before}{entry.ask or entry.title} {how}", (), (path,), facts, a_list=True)


def _named(names: list[str]) -> list[Facts]:
    if len(set(names)) < len(names):
        raise NotAnAnswer("Give each a name of its own.")
    if not names or any("/" in name for name in names):
        raise NotAnAnswer("Write short names with commas between them, without a '/'.")
    return [{"key": name} for name in names]


def _reading(leaves: list[Leaf], item: str) -> Facts:
    """One of a row of readings, such as `5 320`: its parts in their order, each perhaps with its unit."""
    found = READING.findall(item)
    if len(found) != len(leaves) or READING.sub("", item).strip():
        raise NotAnAnswer(f"'{item}' is not {len(leaves)} numbers; write them such as {EXAMPLE}.")
    last = leaves[0].path.rsplit(".", 1)[0] + "."
    pairs = zip(leaves, found, strict=True)
    return {leaf.path.removeprefix(last): value_of(leaf, " ".join(parts).strip()) for leaf, parts in pairs}


def _letters(text: str) -> str:
    return "".join(filter(str.isalnum, text.lower()))
