"""Finding a question again by words of it, so that its answer can be changed, and adding a part to a list."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

from checker.fieldwork.prompts import Facts, NotAnAnswer, Question
from checker.fieldwork.questions import item_names, question_of
from checker.reading.fact_shapes import pattern
from checker.reading.job import Job


class Fit(NamedTuple):
    """A fact or list that some words fit: its path, how it is called, and what is recorded of it."""

    path: str
    called: str
    recorded: str


def fits(job: Job, open_ones: Iterable[str], words: str) -> list[Fit]:
    """What the words fit, of what is recorded or still open: by a whole title, else by a list, a name, or words of the
    question.

    Args:
        open_ones: The facts that are not recorded and could be asked about.
    """
    wanted = _words(words)
    paths = dict.fromkeys((*job.readings, *job.not_known, *job.lists, *open_ones))
    named = [(path, _fit(job, path)) for path in paths if wanted and not path.endswith(".key")]
    ways = (
        lambda path, _: _words(job.vocabulary.title(path)) == wanted,
        lambda path, _: path in job.lists and wanted <= _words(job.vocabulary.title(path)),
        lambda _, fit: wanted <= _words(fit.called),
        lambda path, fit: wanted <= _words(f"{fit.called} {_asked(job, path)}"),
    )
    found = ([fit for path, fit in named if way(path, fit)] for way in ways)
    return next(filter(None, found), [])


def question(job: Job, path: str) -> Question:
    """The question about a fact, to answer it anew; for a list with names, the one that adds items to it."""
    asked = question_of(job, path)
    entry = job.vocabulary.lists.get(pattern(path))
    if entry is None or not entry.keyed or not job.lists.get(path):
        return asked
    there = job.lists[path]
    text = f"{asked.text} Recorded so far: {', '.join(there)}. What you type is added."
    return asked._replace(text=text, facts=lambda answer: _added(job, path, asked.facts(answer)))


def _added(job: Job, path: str, facts: Facts) -> Facts:
    """What an answer adds to a list, by the positions behind those that are there."""
    there, new = job.lists[path], facts[path]
    twice = [item["key"] for item in new if item["key"] in there]
    if twice or not new:
        raise NotAnAnswer(
            f"{twice[0]} is there already. Give what is added a name of its own." if twice else "Name it."
        )
    return {f"{path}.{len(there) + index}": item for index, item in enumerate(new)}


def _fit(job: Job, path: str) -> Fit:
    named, title = item_names(job, path), job.vocabulary.title(path)
    reading = job.readings.get(path)
    recorded = reading.written if reading else job.not_known.get(path, "") or ", ".join(job.lists.get(path, ()))
    return Fit(path, f"{named}: {title}" if named else title, recorded)


def _asked(job: Job, path: str) -> str:
    """The words of the question, and of the section that the fact stands in."""
    entry = job.vocabulary.leaf(path) or job.vocabulary.lists.get(pattern(path))
    return f"{entry.ask if entry else ''} {job.vocabulary.section_title(path)}"


def _words(text: str) -> set[str]:
    """The words of a text, of one or many alike."""
    return {word.removesuffix("s") for word in re.findall(r"[\w/-]+", text.casefold())}
