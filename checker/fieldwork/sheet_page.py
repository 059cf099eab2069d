"""The field sheet as HTML: two printed pages for paper."""

from __future__ import annotations

import math
from typing import NamedTuple

from checker.fieldwork.sheet import Blank, Part, Readings, Sheet, Subject
from checker.findings.report import DEFERRAL
from checker.reporting.html import environment
from checker.reporting.title_block import TitleBlock, title_block

WORDS_ON_PAPER = 5  # a longer list of words is left as a blank on paper
MARKS = ("", "①", "②", "③", "④", "⑤", "⑥")  # beside what cannot be seen any more after a stage
ROOM = 505  # lines in the six columns of two pages
CHARACTERS = 41  # about as many fit a line of a column
WRITTEN = 11  # what room to write takes on a line, in characters
TICKED = 8  # what the two boxes of a yes or no take


class OnPaper(NamedTuple):
    """A station on paper: what is still blank by subject, and what is recorded already, told in a sentence a subject."""

    heading: str
    subjects: tuple[Subject, ...]
    recorded: tuple[Subject, ...]
    readings: tuple[Readings, ...]
    limits: tuple[str, ...]


class Tick(NamedTuple):
    """A word to tick, and whether it is what is recorded."""

    word: str
    recorded: bool


def render(sheet: Sheet, everything: bool = False) -> str:
    """The sheet as one HTML file that reaches for nothing.

    Args:
        everything: Also what does not fit two pages.
    """
    template = environment().get_template("sheet.html")
    left_out = set() if everything else _left_out(sheet)
    return template.render(
        sheet=sheet,
        block=title_block(sheet.job, sheet.authority),
        stations=[_on_paper(part, left_out) for part in sheet.stations],
        left_out=len(left_out),
        caution=sheet.job.vocabulary.caution,
        deferral=DEFERRAL,
        ticks=ticks,
        marks=MARKS,
    )


def ticks(blank: Blank) -> list[Tick]:
    """The words to tick for a fact with few of them; none of them looks like the wanted one."""
    if blank.leaf.form == "flag":
        words = ["Y", "N"]
        written = {"yes": "Y", "no": "N"}.get(blank.written, blank.written)
    else:
        words = [word.replace("_", " ") for word in blank.leaf.possible]
        written = blank.written
    if not words or len(words) > WORDS_ON_PAPER:
        return []
    none = ["none"] if blank.leaf.may_be_none else []
    return [Tick(word, word == written) for word in [*words, *none]]


def _on_paper(part: Part, left_out: set[str]) -> OnPaper:
    kept = [
        Subject(subject.heading, tuple(one for one in subject.blanks if one.path not in left_out))
        for subject in part.subjects
    ]
    blank = [Subject(heading, tuple(one for one in blanks if not one.written)) for heading, blanks in kept]
    recorded = [Subject(heading, tuple(one for one in blanks if one.written)) for heading, blanks in kept]
    return OnPaper(part.heading, _filled(blank), _filled(recorded), part.readings, part.limits)


def _filled(subjects: list[Subject]) -> tuple[Subject, ...]:
    return tuple(subject for subject in subjects if subject.blanks)


# --- two pages ---


def _left_out(sheet: Sheet) -> set[str]:
    """The blanks that do not fit two pages: of the least weight, and of those the ones that the fewest rules read."""
    room = ROOM - sum(map(_frame, sheet.stations)) - _named(title_block(sheet.job, sheet.authority))
    ranked = sorted(sheet.blanks, key=lambda one: (one.weight, -one.rules))
    taken = 0.0
    for number, one in enumerate(ranked):
        taken += _lines(one)
        if taken > room:
            return {blank.path for blank in ranked[number:] if not blank.core}
    return set()


def _named(block: TitleBlock) -> int:
    """The lines that the title block takes, with those to sign."""
    return _folded(sum(len(row.title) + len(row.text) + 3 for row in block.rows)) + 2 * len(block.signatures)


def _frame(part: Part) -> int:
    """The lines that a station takes apart from its blanks."""
    headings = sum(1 for subject in part.subjects if subject.heading)
    tables = sum(3 + math.ceil(table.boxes * 1.3) for table in part.readings)
    limits = sum(_folded(len(limit) + 3) for limit in part.limits) + bool(part.limits)
    return 2 + headings + tables + limits


def _lines(blank: Blank) -> float:
    title = len(blank.leaf.title) + 2
    if blank.written:
        return (title + len(blank.written) + 2) / (CHARACTERS - 1)
    words = ticks(blank)
    if blank.leaf.form == "flag":
        return _folded(title + TICKED)
    if words:
        return _folded(title + sum(len(one.word) + 4 for one in words))
    return _folded(title + WRITTEN + len(blank.unit) + len(blank.limit))


def _folded(characters: int) -> int:
    return math.ceil(characters / CHARACTERS)
