"""The files of what is published of the states, and jobs of which little more than the state is known."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from checker.engine.checker import Checker
from checker.reading.files import read_text
from checker.reading.job import Job, load
from checker.rulesets.applicability import Versions
from checker.rulesets.state_rulesets import CODES
from tests.support.rulesets import STATES

FILES = sorted(path for path in STATES.glob("*.yaml") if len(path.stem) == 2)


def put(folder: Path, name: str, text: str = "") -> Path:
    """A state's file in a folder, as it ships or with another text, beside what the files have in common."""
    (folder / CODES).write_text((STATES / CODES).read_text(encoding="utf-8"), encoding="utf-8")
    (folder / name).write_text(text or (STATES / name).read_text(encoding="utf-8"), encoding="utf-8")
    return folder / name


def job(checker: Checker, state: str, applied: str = "2026-11-02", **sections: Any) -> Job:
    site = {"state": state, "dwelling": "one_family", **sections.pop("site", {})}
    scope = {"system": "split_air_conditioner", "phase": "single_phase", "outdoor_unit": True}
    data = {"job_id": "j", "schema_version": 1, "site": site, "scope": scope, "dates": {"permit_applied": applied}}
    return load(read_text(json.dumps({**data, **sections}).encode(), "job.json"), checker.vocabulary)


def editions(checker: Checker, one: Job, code: str) -> list[str]:
    """The editions of a code that a job is judged under."""
    chain = checker.chain_of(one)
    day = one.value("dates.permit_applied")
    assert isinstance(day, int)
    return Versions(one, chain).possible_editions(code, day)


def shipped_editions(checker: Checker, code: str) -> list[str]:
    return list(checker.library.rulesets[code].header.editions)
