"""Interviews without a terminal: questions asked, and answers as a person would type what a recorded job says."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from checker.engine.checker import Checker
from checker.fieldwork.interview import Interview
from checker.fieldwork.prompts import Question
from checker.reading.fact_shapes import pattern
from checker.reading.files import read_text
from checker.reading.job import load
from tests.support.rulesets import ON, shipped_rulesets

JOBS = Path(__file__).parents[2] / "examples" / "jobs"


def recorded(name: str) -> dict[str, Any]:
    job: dict[str, Any] = json.loads((JOBS / f"{name}.json").read_text())
    return job


def about(checker: Checker, facts: dict[str, Any], name: str = "job.json") -> Interview:
    """An interview about a job of these facts."""
    return of_text(checker, json.dumps({"job_id": "test", "schema_version": 1, **facts}), name)


def of_text(checker: Checker, text: str, name: str = "job.json") -> Interview:
    return Interview(checker, read_text(text.encode(), name), ON, lambda one: load(one, checker.vocabulary))


def asked(talk: Interview) -> Question:
    assert talk.question is not None
    return talk.question


def at_path(job: Any, path: str) -> Any:
    for step in path.split("."):
        if isinstance(job, list):
            job = job[int(step)] if int(step) < len(job) else None
        else:
            job = job.get(step) if isinstance(job, dict) else None
    return job


def reply(question: Question, full: dict[str, Any]) -> str:
    """The recorded value as a person types it; nothing where the job says nothing of it."""
    if question.lines:
        return ticked([at_path(full, path) for path in question.paths])
    if question.a_list and question.parts and isinstance(at_path(full, question.paths[0]), list):
        return items_on_line(question.paths[0], at_path(full, question.paths[0]))
    if question.several:
        return picked(question, full)
    if question.parts:
        return on_line([at_path(full, path) for path in question.paths])
    if question.paths == ("site.state", "site.jurisdiction"):
        return ", ".join(filter(None, (typed(at_path(full, path)) for path in reversed(question.paths))))
    if len(question.paths) > 1 and not question.choices:
        return in_one_line(question.paths, full)
    if len(question.paths) > 1:
        fits = [
            choice
            for choice in question.choices
            if (facts := question.facts(choice)) and all(at_path(full, path) in (None, facts[path]) for path in facts)
        ]
        return fits[0] if fits else question.choices[-1]
    return typed(at_path(full, question.paths[0]), bool(question.choices))


def in_one_line(paths: tuple[str, ...], full: dict[str, Any]) -> str:
    """What is typed where words go with what belongs behind them: the days of the permit."""
    days = ((word, at_path(full, f"dates.permit_{word}")) for word in ("applied", "issued"))
    said = [f"{word} {day}" for word, day in days if isinstance(day, str)]
    by = at_path(full, "permit.pulled_by")
    return ", ".join(said + ([f"by {by}"] if isinstance(by, str) else []))


def items_on_line(path: str, items: list[Any]) -> str:
    """The items of a list, each with what may be typed behind its name."""
    names = [one.rpartition(".")[2] for one in shipped_rulesets().vocabulary.lists[pattern(path)].item_line]
    lines = [", ".join(typed(item.get(name)) or "-" for name in names) for item in items]
    return "; ".join(f"{item['key']}: {line}" for item, line in zip(items, lines, strict=True)) or "none"


def picked(question: Question, full: dict[str, Any]) -> str:
    """The numbers of the things that the job says are so, or none; nothing where it says nothing of them."""
    if len(question.paths) == 1:
        shown = {item["shows"] for item in at_path(full, question.paths[0]) or ()}
        items = [question.facts(str(n))[question.paths[0]][0] for n in range(1, len(question.several) + 1)]
        return " ".join(str(n) for n, item in enumerate(items, 1) if item["shows"] in shown)
    numbers = [str(n) for n, path in enumerate(question.paths, 1) if at_path(full, path) is True]
    return " ".join(numbers) or "none"


def on_line(values: list[Any]) -> str:
    """What is typed for several facts of one thing: in their order, a dash for each of which the job says nothing."""
    if all(value is None for value in values):
        return ""
    return "; ".join(typed(value) or "-" for value in values)


def ticked(values: list[Any]) -> str:
    """What is typed at a tick list: the numbers of the noes, and with a mark those of which the job says nothing."""
    if not any(isinstance(value, bool) for value in values):
        return ""
    noes = [f"{n}" if value is False else f"{n}?" for n, value in enumerate(values, 1) if value is not True]
    return " ".join(noes) or "all"


def typed(value: Any, choice: bool = False) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict) and "value" in value:
        return f"{value['value']} {value.get('unit', '')}".strip()
    if isinstance(value, dict):
        word, why = next(iter(value.items()))
        return f"{'unknown' if word == 'not_known' else word}: {why}"
    if isinstance(value, list):
        named = all("key" in item for item in value)
        return ", ".join(item["key"] if named else " ".join(map(typed, item.values())) for item in value) or "none"
    if value is None:
        return ""
    return str(value).replace("_", " ") if choice else str(value)
