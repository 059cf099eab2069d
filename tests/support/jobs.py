"""Jobs that tests judge: the whole jobs beside the tests, an example with facts changed, values put into a job."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from checker.engine.checker import Checker
from checker.findings.report import Report
from checker.reading.files import read_text
from checker.reading.job import Job, load
from tests.support.rulesets import ON

JOBS = Path(__file__).parents[1] / "jobs"
NAMES = sorted(path.stem for path in JOBS.glob("*.json"))
# A change-out as it stands at the quote: figures of the unit on order, and the old breaker in the panel.
QUOTE: dict[str, Any] = {
    "job_id": "quote",
    "schema_version": 1,
    "site": {"jurisdiction": "xx-alder"},
    "scope": {"system": "split_air_conditioner", "phase": "single_phase", "outdoor_unit": True, "indoor_coil": True},
    "circuits": [
        {
            "key": "condenser",
            "serves": "outdoor_unit",
            "as_ordered": {"minimum_circuit_ampacity": 17.5, "maximum_breaker": 30, "maximum_fuse": 30, "poles": 2},
            "devices": [{"key": "panel", "kind": "breaker", "rating": 40, "poles": 1, "place": "panel"}],
        }
    ],
}


def _merged(base: Any, change: Any) -> Any:
    """A job with another's changes: groups go together by name, items of a list by their key, all else is replaced."""
    if isinstance(base, dict) and isinstance(change, dict):
        return base | {name: _merged(base.get(name), value) for name, value in change.items()}
    if isinstance(base, list) and isinstance(change, list):
        items, changes = ({item["key"]: item for item in side} for side in (base, change))
        return list(_merged(items, changes).values())
    return change


def whole_job(path: Path) -> dict[str, Any]:
    """A job as written; one that is like another, with that one's facts under its own."""
    written: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    like = written.pop("like", None)
    return written if like is None else _merged(whole_job(path.with_name(like)), written)


CLEAN = Path(__file__).parents[2] / "examples" / "jobs" / "01-clean.json"


def document(facts: dict[str, Any]) -> dict[str, Any]:
    job: dict[str, Any] = json.loads(CLEAN.read_text())
    for section, changed in facts.items():
        job[section] |= changed
    return job


def judged(checker: Checker, job: dict[str, Any]) -> tuple[Job, Report]:
    loaded = load(read_text(json.dumps(job).encode(), "a.json"), checker.vocabulary)
    return loaded, checker.check_job(loaded, ON)


def set_everywhere(data: Any, path: list[str], value: Any) -> None:
    """Put a value at a path, in every item of a list that the path goes through."""
    if isinstance(data, list) and not path[0].isdigit():
        for item in data:
            set_everywhere(item, path, value)
    elif len(path) == 1:
        data[path[0]] = value
    else:
        inside = data[int(path[0])] if path[0].isdigit() else data.setdefault(path[0], {})
        set_everywhere(inside, path[1:], value)
