"""What is typed about one thing in any order, as `typed_line` reads it, at the places that the facts have in a job."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from checker.fieldwork.prompts import Facts, NotAnAnswer
from checker.reading.fact_shapes import pattern
from checker.reading.job import Job
from checker.reading.line import Line, line_of
from checker.reading.typed_line import LineRead, read_line


class Heard(NamedTuple):
    """What a line records, and in words what of it is not recorded, and why."""

    facts: Facts
    left: str = ""


def line_for(job: Job, paths: Sequence[str]) -> Line | None:
    """The line of the schema that holds most of some facts; None where none holds two of them, or readings alone."""
    patterns = [pattern(path) for path in paths]
    line = line_of(job.vocabulary, patterns)
    held = sum(path in line.labels or path == line.rows for path in patterns) if line else 0
    return line if held > 1 or (line and line.rows in patterns) else None


def read(job: Job, line: Line, paths: Sequence[str], answer: str) -> Heard:
    """What an answer says. Where labels tell what its values are, what is not understood or may mean several things is told
    and asked after.

    Args:
        paths: Facts that are asked for: a fact of the line that is not among them stands beside them.

    Raises:
        NotAnAnswer: Nothing of it can be recorded, or without labels not all of it.
    """
    told, around = read_line(line, answer, job.vocabulary), _around(paths)
    at = {path: _placed(path, around) for path in told.facts}
    new = {path: value for path, value in told.facts.items() if at[path] not in job.readings}
    left = " ".join((*_left(told), *_held(job, [path for path in told.facts if path not in new])))
    whole = not told.not_understood and not told.unclear
    if not new or not (whole or told.by_label):
        raise NotAnAnswer(f"{left or 'That says nothing.'} Type the line again, such as: {line.example}.")
    return Heard({at[path]: value for path, value in new.items()}, left)


def item(job: Job, path: str, item_line: Sequence[str], text: str) -> dict[str, Any]:
    """What a text says of one item of a list, by the names of its facts; empty where it is no such line.

    Raises:
        NotAnAnswer: It is such a line, and a part of it is not understood.
    """
    line = line_for(job, item_line)
    told = read_line(line, text, job.vocabulary) if line else LineRead({})
    if len(told.facts) < 2 or (line and line.plain and not set(line.plain) & set(told.facts)):
        return {}
    if line and (told.not_understood or told.unclear):
        raise NotAnAnswer(f"{' '.join(_left(told))} Type the line again, such as: {line.example}.")
    return {fact.removeprefix(f"{pattern(path)}."): value for fact, value in told.facts.items()}


def _left(told: LineRead) -> Iterator[str]:
    """What of a line is not recorded, and why."""
    for one in told.unclear:
        yield f"'{one.text[:40]}' may mean {' or '.join(one.meanings)}."
    for why, texts in (("Not understood", told.not_understood), ("Not kept", told.aside)):
        if texts:
            yield f"{why}: {', '.join(text[:40] for text in texts)}."


def _held(job: Job, paths: Sequence[str]) -> Iterator[str]:
    if paths:
        yield f"Recorded already: {', '.join(map(job.vocabulary.title, paths))}."


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
