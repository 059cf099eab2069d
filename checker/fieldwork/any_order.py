"""What is typed about one thing in any order, as `typed_line` reads it, at the places that the facts have in a job."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from checker.fieldwork.prompts import Facts, NotAnAnswer
from checker.reading.job import Job
from checker.reading.typed_items import Line, line_of
from checker.reading.typed_line import LineRead, read_line
from checker.reading.vocabulary import pattern


def line_for(job: Job, paths: Sequence[str]) -> Line | None:
    """The line of the schema that holds most of some facts; None where none holds two of them."""
    patterns = [pattern(path) for path in paths]
    line = line_of(job.vocabulary, patterns)
    held = sum(path in line.labels or path == line.rows for path in patterns) if line else 0
    return line if held > 1 else None


def read(job: Job, line: Line, paths: Sequence[str], answer: str) -> Facts:
    """The facts that an answer says.

    Args:
        paths: Facts that are asked for: a fact of the line that is not among them stands beside them.

    Raises:
        NotAnAnswer: A part of it is not understood, may mean several things, or is recorded already.
    """
    told = read_line(line, answer, job.vocabulary)
    _refuse_unclear(told, line.example)
    around = _around(paths)
    found = {_placed(path, around): value for path, value in told.facts.items()}
    for path in found:
        if path in job.readings and path not in paths:
            title, recorded = job.vocabulary.title(path), job.readings[path].written
            raise NotAnAnswer(f"{title} is recorded already: {recorded}. Leave it out here, or change it.")
    return found


def item(job: Job, path: str, item_line: Sequence[str], text: str) -> dict[str, Any]:
    """What a text says of one item of a list, by the names of its facts; empty where it is no such line."""
    line = line_for(job, item_line)
    told = read_line(line, text, job.vocabulary) if line else LineRead({})
    if told.not_understood or told.unclear or len(told.facts) < 2:
        return {}
    return {fact.removeprefix(f"{pattern(path)}."): value for fact, value in told.facts.items()}


def _refuse_unclear(told: LineRead, example: str) -> None:
    if told.not_understood:
        lost = ", ".join(f"'{text[:40]}'" for text in told.not_understood)
        raise NotAnAnswer(f"Not understood: {lost}. Type the line again, such as: {example}.")
    if told.unclear:
        one = told.unclear[0]
        raise NotAnAnswer(
            f"'{one.text[:40]}' may mean {' or '.join(one.meanings)}. Put its word beside it, such as: {example}."
        )
    if not told.facts:
        raise NotAnAnswer(f"Nothing is said there. Such as: {example}.")


def _around(paths: Sequence[str]) -> Mapping[str, str]:
    """The list items around the asked facts, by their paths without list positions."""
    found: dict[str, str] = {}
    for path in paths:
        steps = path.split(".")
        for place, step in enumerate(steps):
            if step.isdigit():
                found.setdefault(pattern(".".join(steps[: place + 1])), ".".join(steps[: place + 1]))
    return found


def _placed(path: str, around: Mapping[str, str]) -> str:
    """Where a fact of the line is in the job."""
    lists = [prefix for prefix in around if path.startswith(f"{prefix}.")]
    innermost = max(lists, key=len, default="")
    return around[innermost] + path[len(innermost) :] if innermost else path
