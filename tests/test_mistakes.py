"""The usual mistakes, one a folder under `mistakes`: the whole message, as printed, and exit code 2.

A folder holds `expected.txt` and one of

- `job.json`, checked against the job schema as shipped;
- `rulesets`, linted on top of the invented trade under `tiny`;
- `trade`, rulesets linted with the facts of the job schema as shipped;
- `sheets` or `profile.json`, which `command.txt` names.

`command.txt` gives the arguments where they are others. What cannot lie in a folder is made here.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from checker.cli import main
from checker.reading.files import read_text
from checker.reading.job import load
from checker.reading.job_schema import job_vocabulary
from checker.rulesets import library
from tests.support.rulesets import TINY, Judge

MISTAKES = Path(__file__).parent / "mistakes"
FOLDERS = sorted(folder.name for folder in MISTAKES.iterdir() if folder.is_dir())
MADE: dict[str, Callable[[], bytes]] = {
    "job-empty": lambda: b"",
    "job-too-large": lambda: b'{"job_id": "' + b"a" * 1024 * 1024 + b'"}',
    "job-nested-100-deep": lambda: b"[" * 100 + b"]" * 100,
    "job-not-text": lambda: '{"job_id": "Fjörd Lane"}'.encode("latin-1"),
}


def arguments(folder: Path) -> list[str]:
    if (folder / "command.txt").exists():
        return (folder / "command.txt").read_text(encoding="utf-8").split()
    written = next(name for name in ("job.json", "rulesets", "trade") if (folder / name).exists())
    return ["check", written] if written == "job.json" else ["rules", "lint", written]


@pytest.mark.parametrize("name", FOLDERS)
def test_a_mistake_is_told_with_its_place_and_its_mend(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / name
    shutil.copytree(MISTAKES / name, folder)
    if name in MADE:
        (folder / "job.json").write_bytes(MADE[name]())
    if (folder / "rulesets").exists():
        monkeypatch.setattr(library, "SHIPPED", TINY / "rulesets")
        lanterns = job_vocabulary(TINY / "job.schema.json")
        monkeypatch.setattr(library, "job_vocabulary", lambda _: lanterns)
    else:
        monkeypatch.setattr(library, "SHIPPED", tmp_path / "no rulesets")
    monkeypatch.chdir(folder)
    result = CliRunner().invoke(main, arguments(folder))
    assert (folder / "expected.txt").read_text(encoding="utf-8") == result.stderr
    assert (2, "") == (result.exit_code, result.stdout)


def test_every_mistake_that_is_made_here_has_a_folder() -> None:
    assert set(MADE) <= set(FOLDERS)


def test_a_job_that_begins_with_a_byte_order_mark_is_read() -> None:
    content = b"\xef\xbb\xbf" + json.dumps({"job_id": "7 Alder Way", "schema_version": 1}).encode()
    assert "7 Alder Way" == load(read_text(content, "job.json"), job_vocabulary()).id


def test_a_place_that_nobody_covers_is_said_with_the_nearest_that_somebody_does(judge_tiny: Judge) -> None:
    notes = judge_tiny({"site": {"jurisdiction": "xx-nether-lmap"}}).notes
    assert (
        "No ruleset covers 'xx-nether-lmap'; judged under every shipped edition of each code, and where they differ, "
        "it says so. Did you mean 'xx-nether-lamp'?"
    ) in notes
