"""The lantern guild with another remedy or headline of its first rule, and that rule's finding where it fails."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

from checker.engine.checker import Checker
from checker.findings.finding import Finding
from checker.reading.files import read_text
from checker.reading.job_schema import job_vocabulary
from checker.rulesets.library import open_library
from tests.support.rulesets import ON, TINY

PLAIN = "    remedy: Hang it at {least_height} or higher.\n"
LOW = {"site": {"jurisdiction": "xx-nether-lamp"}, "dates": {"hung": "2024-02-01"}}


def guild(folder: Path, words: str) -> Checker:
    """The lantern guild with another remedy of its first rule."""
    shutil.copytree(TINY / "rulesets", folder, dirs_exist_ok=True)
    file = folder / "guild" / "lanterns.yaml"
    text = file.read_text()
    assert PLAIN in text
    file.write_text(text.replace(PLAIN, words))
    return Checker(open_library([folder], {folder: "rulesets"}), job_vocabulary(TINY / "job.schema.json"))


def failing(checker: Checker, **lantern: Any) -> Finding:
    job = {"job_id": "test", "schema_version": 1, **LOW, "lantern": {"lit": True, "height": 5, **lantern}}
    report = checker.check(read_text(json.dumps(job).encode(), "job.json"), ON)
    return next(finding for finding in report.findings if finding.rule == "lit-lantern-high-enough")
