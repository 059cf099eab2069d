"""What a person typed, at a question or into a cell, as a job would write it: one reading for both.

Nothing is guessed. A word that is no value of its list is asked about, with the values that it may mean; what cannot be
read is refused with its reason and one example.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from checker.problems.problem import did_you_mean
from checker.reading import amount_text, typed_dates, units
from checker.reading.fact_reader import LeafError, read_leaf
from checker.reading.fact_shapes import Leaf

Meanings = Mapping[str, tuple[str, ...]]

YES_NO = ("yes", "no")
YES_NO_SAID: Meanings = {
    **dict.fromkeys(("y", "yep", "yup", "yeah", "true"), ("yes",)),
    **dict.fromkeys(("n", "nope", "nah", "false"), ("no",)),
}
FINE = ("ok", "okay", "good", "fine")  # a yes, unless the question is one whose yes is bad or whose no is as good
NOT_KNOWN = (
    "don't know", "dont know", "do not know", "idk", "don't know yet", "no idea", "not sure", "can't see it", "cant see it",
    "cannot see it", "can't tell", "cant tell",
)  # fmt: skip
LITTLE = {"a", "an", "and", "the", "of", "on", "with", "new", "in"}  # words that tell no choice from another
NUMBER = r"[-+]?(?:\d[\d,]*)?(?:\.\d+)?(?:[eE][-+]?\d+)?"
BARE = re.compile(rf"(?=[-+]?[.\d]){NUMBER}|(?:\d+[ -])?\d+/\d+")  # a number without a unit, also a size such as 1 1/8
TWO = re.compile(r"\s*([\d.,]+)\s*[/+]\s*([\d.,]+)\s*([^\d\s/+][^\d/+]*)?")
BETWEEN = re.compile(r"(?:between (?P<first>\S+) and|(?P<from>\S+) to) (?P<last>\S+)", re.IGNORECASE)
# How people write a wire size around its number: #12, 12 AWG, no. 12.
SIZE = re.compile(r"^\s*(?:#|no\.?)\s*|\s*(?:awg|ga(?:uge)?)\.?\s*$", re.IGNORECASE)
# A size with the number of wires in its cable, and the ground: 12/2, 10-3 w/g.
WIRES = re.compile(r"^\s*#?(\d\d?)\s*[-/]\s*[2-4](?:\s*(?:w\s*/?\s*g|with ground|g))?\s*$", re.IGNORECASE)
COUNTED = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
NUMBERS = {**{word: number for number, word in enumerate(COUNTED)}, "once": 1, "twice": 2}
TIMES = re.compile(r"(\d{1,3})\s*(?:x|times)", re.IGNORECASE)


class Unclear(LeafError):
    """A word that may mean several values of a list, or part of one: `candidates` are those values."""

    def __init__(self, word: str, candidates: tuple[str, ...]) -> None:
        self.candidates = candidates
        super().__init__(f"'{word}' may mean {' or '.join(candidates)}.", "Write the one you mean.")


def value_of(leaf: Leaf, text: str, unit: str = "") -> Any:
    """A value as it stands in a job.

    Args:
        text: What was typed, without the space around it.
        unit: The unit of a number without one; the fact's own where nothing is said.

    Raises:
        LeafError: The fact cannot be that, or it is not clear which value is meant.
    """
    value = _WRITTEN.get(leaf.form, _as_typed)(leaf, unlabeled(leaf, text), unit)
    read_leaf(leaf, value)
    return value


def values_of(leaf: Leaf, text: str, unit: str = "") -> dict[str, Any]:
    """The values by the last name of their facts: two where a slash parts this fact's amount from the one beside it.

    Raises:
        LeafError: They cannot be that.
    """
    two = TWO.fullmatch(unlabeled(leaf, text)) if leaf.beside else None
    if not two:
        return {name_of(leaf.path): value_of(leaf, text, unit)}
    written = (two[3] or unit or units.shown(leaf.unit)).strip()
    names = (name_of(leaf.path), name_of(leaf.beside))
    return {name: value_of(leaf, f"{number} {written}") for name, number in zip(names, two.groups(), strict=False)}


def is_amount(leaf: Leaf, text: str) -> bool:
    """Whether a text is an amount of a fact with its unit, such as 880 ft."""
    if BARE.fullmatch(text):
        return False
    try:
        value_of(leaf, text)
    except LeafError:
        return False
    return True


def name_of(path: str) -> str:
    """What a fact is called inside the group that it stands in."""
    return path.rpartition(".")[2]


def unlabeled(leaf: Leaf, text: str) -> str:
    """A value without the words that people write beside it: 14.1 for RLA 14.1, 7/8 for 7/8 OD."""
    if leaf.form in ("text", "flag"):
        return text
    for label in leaf.labels:
        found = re.fullmatch(rf"{re.escape(label)}\b[\s:=]*(\S.*)|(.*\S)\s*\b{re.escape(label)}", text, re.IGNORECASE)
        if found:
            return found[1] or found[2]
    return text


def said_of(leaf: Leaf) -> Meanings:
    """Other words for the values of a fact, each with the values that it may mean."""
    if leaf.form != "flag":
        return dict(leaf.said)
    fine = ("yes",) if False in leaf.alarming and True not in leaf.alarming else YES_NO
    return {**YES_NO_SAID, **dict.fromkeys(FINE, fine)}


def meant(text: str, choices: Iterable[str], said: Meanings) -> str:
    """The value that is meant, blanks, hyphens and capitals apart.

    Raises:
        Unclear: It may be several, or it is only a part of one.
        LeafError: It is none of them.
    """
    choices = tuple(choices)
    word = alike(_size(text, choices) if any(choice[0].isdigit() for choice in choices) else text)
    exact = [choice for choice in choices if alike(choice) == word]
    other = {alike(key): values for key, values in said.items()}
    found = tuple(exact) or other.get(word, ())
    if len(found) == 1:
        return found[0]
    candidates = found or tuple(_partly(word, choices, other))
    if candidates:
        raise Unclear(text, candidates)
    raise LeafError(
        f"{json.dumps(text, ensure_ascii=False)} is not one of its values.",
        f"{did_you_mean(text, choices)} One of: {', '.join(choices)}.".strip(),
    )


def with_all_words(text: str, choices: Iterable[str], same: Mapping[str, str]) -> tuple[str, ...]:
    """The choices in which every word of a text stands, in any order; only the one that has no other words, where one is.

    Args:
        same: Short words people write, each with the words of the choices that it stands for.
    """
    plain = text.casefold()
    for short, long in same.items():
        plain = re.sub(rf"(?<![\w/]){re.escape(short)}(?![\w/])", long, plain)
    words, each = _words(plain), {choice: _words(choice.casefold()) for choice in choices}
    exact = tuple(choice for choice, its_own in each.items() if words == its_own)
    return exact or tuple(choice for choice, its_own in each.items() if words and words <= its_own)


def _words(text: str) -> set[str]:
    return {*re.findall(r"[^\W_]+", text)} - LITTLE


def _size(text: str, choices: tuple[str, ...]) -> str:
    """A size without what is written around its number; 4/0 is a size, 10/2 is size 10."""
    plain = SIZE.sub("", text)
    wires = WIRES.match(plain)
    return wires[1] if wires and plain.strip() not in choices else plain


def _partly(word: str, choices: tuple[str, ...], said: Meanings) -> Iterable[str]:
    """The values that a word is a part of: the beginning of one, or three letters and more anywhere in it."""
    ways = {choice: [alike(choice), *(key for key, values in said.items() if choice in values)] for choice in choices}
    for choice, written in ways.items():
        if any(one.startswith(word) or (len(word) > 2 and word in one) for one in written if word):
            yield choice


def alike(text: str) -> str:
    """A word without what people write in different ways: capitals, and the blanks, hyphens and dots between letters."""
    plain = " ".join(text.casefold().replace("_", " ").split())
    return re.sub(r"[ -]|(?<=[^\W\d])\.", "", plain) if any(map(str.isalpha, plain)) else plain


SAINT = re.compile(r"\b(saint|sainte)\b", re.IGNORECASE)


def alike_place(name: str) -> str:
    """The name of a place without what people write in different ways: St. Louis, St Louis, Saint Louis."""
    return alike(SAINT.sub(lambda word: "ste" if word[0][-1] in "eE" else "st", name))


def unknown_why(text: str) -> str:
    """The words that say that something is not known, as the reason; nothing where they say something else."""
    return text if text.casefold().rstrip(".!") in NOT_KNOWN else ""


def _as_typed(_: Leaf, text: str, __: str) -> str:
    return text


def _flag(leaf: Leaf, text: str, __: str) -> bool:
    try:
        return meant(text, YES_NO, said_of(leaf)) == "yes"
    except Unclear as unclear:
        raise LeafError(unclear.what, "Write yes or no.") from None
    except LeafError:
        raise LeafError(f"the answer is yes or no, not '{text[:60]}'.", "Write yes or no.") from None


def _choice(leaf: Leaf, text: str, _: str) -> str:
    return meant(text, leaf.possible, said_of(leaf))


def _count(_: Leaf, text: str, __: str) -> int | str:
    times = TIMES.fullmatch(text)
    number = times[1] if times else text
    return int(number) if re.fullmatch("[0-9]{1,9}", number) else NUMBERS.get(text.casefold(), text)


def _date(_: Leaf, text: str, __: str) -> Any:
    """A day, or two days between which it is: `5/1/2026 to 5/31/2026`, `04/2026`."""
    days = BETWEEN.fullmatch(text)
    return typed_dates.between(days["first"] or days["from"], days["last"]) if days else typed_dates.day(text)


def _quantity(leaf: Leaf, text: str, unit: str) -> str:
    """The amount with its unit, the number as it was typed."""
    unit = unit or units.shown(leaf.unit)
    text = amount_text.without_degrees(text, leaf.kind)
    text = amount_text.DIFFERENCE.sub("", text) if leaf.either_way else text  # a job file has no sign there
    if not BARE.fullmatch(text):
        return text
    if leaf.unit in amount_text.BY_THE_THOUSAND and unit == units.shown(leaf.unit):
        return _by_the_thousand(leaf, text, unit)
    return f"{text} {unit}".rstrip()


def _by_the_thousand(leaf: Leaf, text: str, unit: str) -> str:
    """A number of a unit that is counted by the thousand: 036 says 36,000, and 36 may say that too.

    Raises:
        LeafError: It may be that many, or as many thousand.
    """
    if amount_text.few(text):
        what = f"'{text}' may be {text} {unit} or {text} thousand."
        raise LeafError(what, f"Write it as {text}k, or with its unit.")
    return amount_text.plain(text, leaf.kind, leaf.unit) if amount_text.CODE.fullmatch(text) else f"{text} {unit}"


_WRITTEN: dict[str, Callable[[Leaf, str, str], Any]] = {
    "quantity": _quantity,
    "flag": _flag,
    "choice": _choice,
    "count": _count,
    "constant": _count,
    "date": _date,
}
