"""The field sheet as HTML: for paper, two or three pages; or to fill in on a phone, with a small script that saves the job."""

from __future__ import annotations

from typing import NamedTuple

from checker.fieldwork.sheet import Blank, Sheet
from checker.findings.report import DEFERRAL
from checker.reporting.html import environment

WORDS_ON_PAPER = 5  # a longer list of words is left as a blank on paper


def render(sheet: Sheet, fillable: bool = False) -> str:
    """The sheet as one HTML file that reaches for nothing.

    Args:
        fillable: With fields and a script that keeps drafts and saves the job file; nothing in it judges.
    """
    template = environment().get_template("fillable.html" if fillable else "sheet.html")
    return template.render(
        sheet=sheet, caution=sheet.job.vocabulary.caution, deferral=DEFERRAL, on_paper=on_paper, job=sheet.job.data
    )


class Tick(NamedTuple):
    """A word to tick: whether the rules ask for it, and whether it is what is recorded."""

    word: str
    asked: bool
    recorded: bool


def on_paper(blank: Blank) -> list[Tick]:
    """The words to tick for a fact with few of them."""
    none = ["none"] if blank.leaf.may_be_none else []
    words = ["yes", "no"] if blank.leaf.form == "flag" else [word.replace("_", " ") for word in blank.leaf.possible]
    if not words or len(words) > WORDS_ON_PAPER:
        return []
    asked = blank.limit.split(" or ")
    return [Tick(word, word in asked, word == blank.written) for word in [*words, *none]]
