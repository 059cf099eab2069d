"""What is typed on one line about one thing, such as a wire run: its parts in the order shown, with commas between.

A dash leaves a part for later, and what is missing at the end is asked after.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from checker.fieldwork.prompts import Facts, NotAnAnswer, Question, said

LEFT = ("", "-", "--", "\u2013")  # a dash as a phone types it
COMMA = re.compile(r",(?!\d{3}(?!\d))")  # not the one in 1,105


def read(questions: Sequence[Question], titles: Sequence[str], answer: str) -> Facts:
    """The facts that a line says.

    Args:
        questions: What each part of the line answers, in the order shown.
        titles: What each part is called.

    Raises:
        NotAnAnswer: A part cannot be read, there are too many of them, or nothing is said.
    """
    parts = split(answer, len(questions) if questions[-1].a_list else 0)
    if len(parts) > len(questions):
        raise NotAnAnswer(f"There are {len(parts)} parts and only {len(questions)} are asked for: {', '.join(titles)}.")
    found: Facts = {}
    for question, title, part in zip(questions, titles, parts, strict=False):
        if part not in LEFT:
            found |= _part(question, title, part)
    if not found:
        raise NotAnAnswer("That says nothing. Press Enter to leave the line for later.")
    return found


def split(answer: str, most: int = 0) -> list[str]:
    """The parts of a line. A semicolon anywhere in it parts it, and its commas are text.

    Args:
        most: Where the last part is a list with commas of its own, how many parts there are.
    """
    parts = answer.split(";") if ";" in answer else COMMA.split(answer, max(most - 1, 0))
    return [part.strip() for part in parts]


def _part(question: Question, title: str, part: str) -> Facts:
    try:
        return said(question, part)
    except NotAnAnswer as error:
        raise NotAnAnswer(f"{title}: {error}") from None
