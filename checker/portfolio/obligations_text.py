"""What is owed over all jobs as text and as JSON: by kind, the first due first."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from checker.findings.report import DEFERRAL
from checker.portfolio.obligations import KINDS, Item, days_left
from checker.portfolio.obligations_over_jobs import Owing
from checker.portfolio.recorded_days import written
from checker.problems import json_out
from checker.reporting.paragraphs import paragraphs

OPEN_VERSION = 1
NOTES = {
    "inspections": "Due before the permit's last day, where that is recorded.",
    "corrections": "Due on the notice's day, or else before the permit's last day, where one is recorded.",
    "instruments": "The latest day recorded in any job; two of the same name, kind and model count as one.",
}


def as_text(owing: Owing, unusable: int, width: int = 80) -> str:
    """The list for a terminal of so many columns; `unusable` jobs are not in it."""
    return paragraphs(_lines(owing, unusable), width)


def _lines(owing: Owing, unusable: int) -> Iterator[tuple[str, int]]:
    items, day = owing.items(), owing.on.toordinal()
    late = sum(item.due is not None and item.due < day for item in items)
    bad = f" {unusable} could not be used." if unusable else ""
    yield f"{owing.jobs} jobs checked on {owing.on.isoformat()}: {len(items)} open, {late} of them overdue.{bad}", 0
    for kind, heading in KINDS.items():
        of_kind = [item for item in items if item.kind == kind]
        if of_kind:
            yield "", 0
            yield f"{heading} ({len(of_kind)}). {NOTES.get(kind, '')}", 0
        for item in of_kind:
            yield f"{days_left(item, day)}: {item.job}, {item.address}: {item.what}", 2
            if item.fix:
                yield item.fix, 4
    yield "", 0
    yield "Only what the jobs record is in this list.", 0
    yield owing.checker.vocabulary.caution, 0
    yield DEFERRAL, 0


def as_json(owing: Owing, unusable: int) -> str:
    """The list as one JSON document; `days` is negative where overdue, and null where no day is known."""
    document = {
        "open_version": OPEN_VERSION,
        "deferral": DEFERRAL,
        "on": owing.on.isoformat(),
        "jobs": owing.jobs,
        "unreadable": unusable,
        "items": [_item(item, owing.on.toordinal()) for item in owing.items()],
    }
    return json_out.document(document)


def _item(item: Item, on: int) -> dict[str, Any]:
    due = None if item.due is None else written(item.due)
    data = {"kind": item.kind, "job": item.job, "address": item.address, "what": item.what, "fix": item.fix}
    return {**data, "due": due, "days": None if item.due is None else item.due - on, "due_unknown": item.why}
