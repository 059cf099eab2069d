"""What the tests of many jobs share: small jobs, hostile words, and a run told in one form without a process of its own."""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from checker.batch.many import judged
from checker.batch.running import Judge, Setup
from checker.batch.sources import Item
from checker.engine.checker import Checker
from checker.reading.inherited.inheritance import Inherited
from checker.reporting import forms
from checker.reporting.totals import Totals
from tests.support.commands import on_day
from tests.support.rulesets import ON, TINY

JOBS = Path(__file__).parents[2] / "examples" / "jobs"
BELLS = TINY / "bells"

# Words that mean something to a spreadsheet, a browser, a terminal, an XML reader, and to Markdown.
HOSTILE = (
    '=HYPERLINK("https://evil.example","x")',
    "<script>alert(1)</script> <img src=x onerror=alert(1)>",
    "]]> & \"quoted\" 'too' <!-- -->",
    "[link](https://evil.example) ![p](x) **bold** `code` | cell | #1 @everyone\n# heading\n- list",
    "bell \x07 escape \x1b[31m nul-ish \x0b \ufffe end",
    "www.evil.example mailto:a@evil.example https://evil.example",
)


def small(job_id: str, **more: Any) -> dict[str, Any]:
    """A job of a few facts, one of which fails."""
    condenser = {
        "key": "condenser",
        "serves": "outdoor_unit",
        "nameplate": {"maximum_breaker": 35},
        "devices": [{"key": "panel", "kind": "breaker", "rating": 50}],
    }
    return {
        "job_id": job_id,
        "schema_version": 1,
        "site": {"jurisdiction": "xx-alder"},
        "circuits": [condenser],
        **more,
    }


def bell(job_id: str, **more: Any) -> dict[str, Any]:
    """A job of the invented trade of bells, which is judged in a moment; its rope is loose."""
    return {
        "job_id": job_id,
        "schema_version": 1,
        "tower": {"parish": "xx-lowchime", "built": "stone"},
        "days": {"asked": "2024-03-01"},
        "done": {"bell": True, "ropes": True},
        "ropes": [{"key": "main", "moves": "bell", "girth": "1 in", "tied": False}],
        **more,
    }


def on_bells(*words: str) -> tuple[str, ...]:
    """A command about bells, on the day that the tests stand still at."""
    return on_day(*words, "--rules", str(BELLS))


def item(job: Any, file: str = "job.json", line: int = 0) -> Item:
    return Item(file, line, json.dumps(job, ensure_ascii=False).encode())


def hostile_items() -> list[Item]:
    """Jobs whose free text is hostile, and one that cannot be read and says so in hostile words."""
    found = [
        item(small(f"job {n} {words.split(chr(10))[0]}", title=words), f"{n}{words[:9]}.json".replace("/", "-"))
        for n, words in enumerate(HOSTILE)
    ]
    return [*found, item({"job_id": "bad", "schema_version": 1, HOSTILE[1]: HOSTILE[0]}, f"bad{HOSTILE[1]}.json")]


def told(
    checker: Checker,
    name: str,
    jobs: Iterable[Item],
    baseline: Path | None = None,
    entries: bool = False,
    everything: bool = False,
) -> tuple[str, Totals, str]:
    """A run told in one form: its text, its totals, and the lines of a baseline."""
    several = list(jobs)
    form, totals = forms.form(name, everything=everything).for_jobs(len(several) > 1), Totals()
    judge = Judge(Setup(form, ON, baseline=baseline, entries=entries), checker, Inherited())
    text, lines, first = form.begin(), "", True
    for _, done in judged(several, judge):
        text += form.tell(done.once) + form.add(done.text, first)
        first, lines = first and not done.text, lines + done.entries
        if done.share:
            totals.add(done.share)
        else:
            totals.add_unreadable(done.name)
            form.gather(done.name, done.problems)
    return text + form.end(totals, checker, True), totals, lines


def job_lines(text: str) -> list[dict[str, Any]]:
    """The lines of a JSON Lines report that are of jobs, not of rules."""
    return [line for line in map(json.loads, text.split("\n")[:-1]) if "rules" not in line]


def job_files() -> list[Item]:
    return [
        Item(f"examples/jobs/{path.name}", 0, path.read_bytes(), path.parent) for path in sorted(JOBS.glob("*.json"))
    ]
