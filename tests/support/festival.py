"""The invented trade of lanterns in a folder of its own, to be released and judged with."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from checker.cli import main
from checker.reading.job_schema import job_vocabulary
from checker.rulesets import library
from tests.support.rulesets import TINY

JOB = {
    "job_id": "Lamp 3",
    "schema_version": 1,
    "site": {"jurisdiction": "xx-nether-lamp"},
    "dates": {"hung": "2021-05-01"},
    "lantern": {"lit": True, "height": "7.2 ft", "paper": "tin"},
}
ONE_MORE = """      - {name: oiled, editions: {guild: "1"}, given: {lantern.lit: "true", lantern.paper: oiled}, expect: pass}
      - {name: tin,"""
AT_8 = """      - {name: at 8, editions: {guild: "2"}, given: {lantern.lit: "true", lantern.height: 8 ft}, expect: pass}
      - {name: not lit, editions: {guild: "1"}, given: {lantern.lit: "false"}, expect"""


def festival_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The invented trade in a folder of its own, with cases enough to be released, and a job."""
    shutil.copytree(TINY / "rulesets", tmp_path / "rulesets")
    file = tmp_path / "rulesets/guild/lanterns.yaml"
    text = file.read_text().partition("  tin-or-unlit-indoors:")[0].rstrip() + "\n"
    text = text.replace("      - {name: tin,", ONE_MORE)
    file.write_text(
        text.replace('      - {name: not lit, editions: {guild: "1"}, given: {lantern.lit: "false"}, expect', AT_8)
    )
    (tmp_path / "job.json").write_text(json.dumps(JOB))
    lanterns = job_vocabulary(TINY / "job.schema.json")
    monkeypatch.setattr(library, "SHIPPED", tmp_path / "rulesets")
    monkeypatch.setattr(library, "job_vocabulary", lambda _: lanterns)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, list(arguments))


def release(name: str, version: str, *options: str) -> Result:
    return run("rules", "release", f"rulesets/{name}", "--version", version, "--on", "2026-11-25", *options)


def edit(file: str, old: str, new: str) -> None:
    text = Path(file).read_text()
    assert old in text
    Path(file).write_text(text.replace(old, new))
