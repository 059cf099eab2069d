"""What a change of a ruleset does, as text, JSON and Markdown; and each change as a line of JSON or CSV."""

from __future__ import annotations

import csv
import io
import textwrap
from collections.abc import Iterator
from typing import Any, NamedTuple

from checker.authoring.impact.impact import NO_RULE, NOT_JUDGED, Change, Exits, Impact, Row
from checker.findings.report import DEFERRAL
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.judging.generated_code import DOES_NOT_APPLY
from checker.problems import json_out
from checker.problems.sanitize import inert
from checker.reporting.csv_safe import safe_cell
from checker.reporting.markdown import plain
from checker.reporting.paragraphs import columns, counted, wrapped

IMPACT_VERSION = 1
FIELDS = Change._fields
WORDS = {
    PASS: "pass",
    FAIL: "fail",
    VERIFY: "verify locally",
    DOES_NOT_APPLY: "does not apply",
    NO_RULE: "no such rule",
    NOT_JUDGED: "not judged",
}
ABOUT = "Each job is judged by both on the facts it records; nobody went back to a job for it."


class Summary(NamedTuple):
    """Counts over an archive with what they were counted of.

    `before` and `after` name the two versions; `unusable` jobs were judged by neither or by one of them only.
    """

    impact: Impact
    before: str
    after: str
    unusable: int


# --- text ---


def as_text(summary: Summary, width: int = 80) -> str:
    """What changes, for a terminal of so many columns."""
    width = columns(width)
    above = [part for line in _head(summary) for part in wrapped(line, width, hang=2) or [""]]
    below = [part for line in (*_exits(summary.impact), ABOUT, DEFERRAL) for part in wrapped(line, width, hang=2)]
    return "\n".join([*above, *_table(summary.impact.rows(), width), "", *below]) + "\n"


def _head(summary: Summary) -> Iterator[str]:
    impact = summary.impact
    yield f"Before: {summary.before}. After: {summary.after}. Checked on {impact.on.isoformat()}."
    bad = f" {counted(summary.unusable, 'job')} could not be judged by both." if summary.unusable else ""
    yield f"{counted(impact.jobs, 'job')} judged by both; outcomes change in {impact.changed} of them.{bad}"
    rows = [sentence(row, impact.jobs) for row in impact.rows() if FAIL in (row.way.before, row.way.after)]
    yield from ("", *rows) if rows else ()


def sentence(row: Row, jobs: int) -> str:
    """What becomes of one rule one way, in words."""
    verb = {
        FAIL: "newly fail",
        VERIFY: "newly leave open",
        PASS: "newly pass",
        DOES_NOT_APPLY: "no longer be asked",
        NO_RULE: "no longer be asked",
        NOT_JUDGED: "no longer be judged by",
    }[row.way.after]
    was = f" (before: {WORDS[row.way.before]})"
    return f"{row.jobs} of {counted(jobs, 'job')} would {verb} '{row.title}' ({row.way.rule}){was}, for example {row.example}."


def _table(rows: list[Row], width: int) -> Iterator[str]:
    """A line a rule and way; the last column is wrapped under itself."""
    if not rows:
        return
    ways = [f"{WORDS[row.way.before]} → {WORDS[row.way.after]}" for row in rows]
    first, second = max(4, *(len(str(row.jobs)) for row in rows)), max(map(len, ways))
    room = width - first - second - 4
    yield ""
    if room < 24:  # too narrow for columns: the rule on a line of its own
        for row, way in zip(rows, ways, strict=True):
            yield f"{row.jobs:{first}}  {way}"
            yield from textwrap.wrap(_rule(row), width, initial_indent="    ", subsequent_indent="    ")
        return
    yield f"{'jobs':>{first}}  {'before → after':{second}}  rule"
    for row, way in zip(rows, ways, strict=True):
        lines = textwrap.wrap(_rule(row), room, break_on_hyphens=False)
        yield f"{row.jobs:{first}}  {way:{second}}  {lines[0]}"
        yield from (" " * (first + second + 4) + line for line in lines[1:])


def _rule(row: Row) -> str:
    items = f", {row.items} items" if row.items != row.jobs else ""
    return inert(f"{row.title} ({row.way.rule}{items})")


def _exits(impact: Impact) -> Iterator[str]:
    total = sum(impact.exits.values())
    ways = ", ".join(f"{codes.before} → {codes.after} in {jobs}" for codes, jobs in sorted(impact.exits.items()))
    yield f"The exit code of 'changeout check' changes for {counted(total, 'job')}" + (f": {ways}." if total else ".")


# --- JSON and Markdown ---


def as_json(summary: Summary) -> str:
    """One JSON document."""
    impact = summary.impact
    document = {
        "impact_version": IMPACT_VERSION,
        "deferral": DEFERRAL,
        "before": summary.before,
        "after": summary.after,
        "on": impact.on.isoformat(),
        "jobs": impact.jobs,
        "unusable": summary.unusable,
        "changed": impact.changed,
        "changes": [_row(row, impact.jobs) for row in impact.rows()],
        "exit_codes": [_codes(codes, jobs) for codes, jobs in sorted(impact.exits.items())],
    }
    return json_out.document(document)


def _row(row: Row, jobs: int) -> dict[str, Any]:
    data = {**row.way._asdict(), "title": row.title, "jobs": row.jobs, "items": row.items}
    return {**data, "example": row.example, "said": sentence(row, jobs)}


def _codes(codes: Exits, jobs: int) -> dict[str, int]:
    return {**codes._asdict(), "jobs": jobs}


def as_markdown(summary: Summary) -> str:
    """A table for a change's description."""
    lines = [plain(line) for line in _head(summary)]
    rows = summary.impact.rows()
    if rows:
        lines += ["", "| jobs | before | after | rule | for example |", "|--:|---|---|---|---|"]
    for row in rows:
        cells = (str(row.jobs), WORDS[row.way.before], WORDS[row.way.after], _rule(row), row.example)
        lines.append("| " + " | ".join(map(plain, cells)) + " |")
    lines += ["", *_exits(summary.impact), "", ABOUT, "", DEFERRAL]
    return "\n".join(lines) + "\n"


# --- each change ---


def json_line(change: Change) -> str:
    """A change as a line of JSON."""
    return json_out.compact(change._asdict()) + "\n"


def csv_line(cells: tuple[str, ...]) -> str:
    """A change, or the names of its fields, as a row of CSV (RFC 4180)."""
    line = io.StringIO()
    csv.writer(line).writerow([safe_cell(cell) for cell in cells])
    return line.getvalue()
