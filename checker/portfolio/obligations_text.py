"""What is owed over all jobs as text and as JSON: by kind, the first due first."""

from __future__ import annotations

import datetime
import textwrap
from collections.abc import Iterable, Iterator
from typing import Any

from checker.findings.report import DEFERRAL
from checker.portfolio.obligations import KINDS, Item, days_left
from checker.portfolio.recorded_days import written
from checker.problems import json_out
from checker.problems.sanitize import inert

OPEN_VERSION = 1
NOTES = {
    "inspections": "Due before the permit's last day, where that is recorded.",
    "corrections": "Due before the permit's last day, where that is recorded.",
    "instruments": "The latest day recorded in any job; two of the same name, kind and model count as one.",
}


def as_text(
    items: Iterable[Item], jobs: int, unreadable: int, on: datetime.date, width: int = 80, caution: str = ""
) -> str:
    """The list, wrapped to the width of the terminal (between 40 and 100 columns)."""
    width = max(40, min(width, 100))
    lines = [part for line, indent in _lines(sorted(items, key=lambda item: item.order), jobs, unreadable, on, caution)
             for part in wrapped(line, width, indent) or [""]]  # fmt: skip
    return "\n".join(lines) + "\n"


def _lines(items: list[Item], jobs: int, unreadable: int, on: datetime.date, caution: str) -> Iterator[tuple[str, int]]:
    late = sum(overdue(item, on.toordinal()) for item in items)
    bad = f" {unreadable} could not be used." if unreadable else ""
    yield f"{jobs} jobs looked at on {on.isoformat()}: {len(items)} open, {late} of them overdue.{bad}", 0
    for kind, heading in KINDS.items():
        of_kind = [item for item in items if item.kind == kind]
        if of_kind:
            yield "", 0
            yield f"{heading} ({len(of_kind)}). {NOTES.get(kind, '')}", 0
        for item in of_kind:
            yield f"{days_left(item, on.toordinal())}: {item.job}, {item.address}: {item.what}", 2
    yield "", 0
    yield "What no job records is not in this list.", 0
    yield caution, 0
    yield DEFERRAL, 0


def wrapped(text: str, width: int, indent: int = 0) -> list[str]:
    return textwrap.wrap(
        inert(text),
        width,
        initial_indent=" " * indent,
        subsequent_indent=" " * (indent + 2 if indent else 0),
        break_on_hyphens=False,
    )


def overdue(item: Item, on: int) -> bool:
    return item.due is not None and item.due < on


def as_json(items: Iterable[Item], jobs: int, unreadable: int, on: datetime.date) -> str:
    """The list as one JSON document; `days` is negative where overdue, and null where no day is known."""
    document = {
        "open_version": OPEN_VERSION,
        "deferral": DEFERRAL,
        "on": on.isoformat(),
        "jobs": jobs,
        "unreadable": unreadable,
        "items": [_item(item, on.toordinal()) for item in sorted(items, key=lambda item: item.order)],
    }
    return json_out.document(document)


def _item(item: Item, on: int) -> dict[str, Any]:
    due = None if item.due is None else written(item.due)
    data = {"kind": item.kind, "job": item.job, "address": item.address, "what": item.what}
    return {**data, "due": due, "days": None if item.due is None else item.due - on, "due_unknown": item.why}
