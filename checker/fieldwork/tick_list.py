"""Plain yes-or-no facts of one station in one prompt, answered by the exceptions.

Nothing is claimed of a fact that the answer does not speak of: an empty answer leaves the list for later, and a number with
a question mark leaves that line.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from checker.fieldwork.prompts import Facts, NotAnAnswer, Question
from checker.fieldwork.questions import item_names
from checker.reading.job import Job

ALL = ("all", "all so", "all yes")
SURE = "yes to all"
HOW = "Type all if it is yes to all of them, or the numbers of those that are a NO (3? leaves line 3 for later)."
NUMBER = re.compile(r"#?(\d{1,3})(\??)")


def question(job: Job, paths: list[str], heading: str) -> Question:
    """The tick list of some yes-or-no facts.

    Args:
        heading: Where one stands.
    """
    lines = tuple(_line(job, path) for path in paths)
    text = f"{heading}, {len(paths)} things to look at. {HOW} Enter leaves the list for later."
    unlikely = [number for number, path in enumerate(paths, 1) if _alarms(job, path)]

    def facts(answer: str) -> Facts:
        return read(tuple(paths), answer, unlikely)

    return Question(text, (), tuple(paths), facts, lines=lines)


def _alarms(job: Job, path: str) -> bool:
    """Whether a yes would worry whoever inspects the work."""
    leaf = job.vocabulary.leaf(path)
    return leaf is not None and True in leaf.alarming


def read(paths: tuple[str, ...], answer: str, unlikely: Sequence[int] = ()) -> Facts:
    """What an answer says of each fact: no for those it numbers, yes for the others, nothing for a number with a mark.

    Args:
        unlikely: The numbers of lines to which nobody says yes without looking: `all` is asked about once more.

    Raises:
        NotAnAnswer: It is neither `all` nor numbers of the list.
    """
    word = " ".join(answer.casefold().split()).rstrip(".!")
    if word == SURE or (word in ALL and not unlikely):
        return dict.fromkeys(paths, True)
    if word in ALL:
        lines = f"line{'s' if len(unlikely) > 1 else ''} {', '.join(map(str, unlikely))}"
        raise NotAnAnswer(f"That is a yes to {lines} too. Type the numbers that are a NO, or: {SURE}.")
    found = [NUMBER.fullmatch(part) for part in re.split(r"[\s,;]+|\band\b", word) if part]
    numbers = [(int(one[1]), bool(one[2])) for one in found if one]
    if not found or len(numbers) < len(found):
        raise NotAnAnswer(
            f"'{answer[:40]}' is not clear here. Type all, or the numbers that are a NO, such as: 2 {len(paths)}."
        )
    wrong = [number for number, _ in numbers if not 1 <= number <= len(paths)]
    if wrong:
        raise NotAnAnswer(f"There is no line {wrong[0]}: they go from 1 to {len(paths)}. Such as: 2 {len(paths)}.")
    said = dict(numbers)
    both = [number for number, _ in numbers if (number, not said[number]) in numbers]
    if both:
        raise NotAnAnswer(f"Line {both[0]} is there with and without a question mark. Type it once.")
    return {path: place not in said for place, path in enumerate(paths, 1) if not said.get(place)}


def _line(job: Job, path: str) -> str:
    named = item_names(job, path)
    leaf = job.vocabulary.leaf(path)
    assert leaf is not None, path
    return f"{named}: {leaf.ask or leaf.title}" if named else leaf.ask or leaf.title
