"""Rulesets looked at after each save, in a process of its own over the invented trade."""

from __future__ import annotations

import os
import shutil
import signal
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from checker.cli import main
from checker.commands import extras
from checker.reading.shipped import ROOT
from tests.support.rulesets import TINY

BELLS = TINY / "bells"
pexpect = pytest.importorskip("pexpect")
COMMAND = (
    "import signal; signal.signal(signal.SIGINT, signal.default_int_handler); from checker.cli import main; main()"
)


def test_each_save_is_looked_at_and_the_cases_of_the_file_are_run(tmp_path: Path) -> None:
    shutil.copytree(BELLS, tmp_path / "bells")
    file = tmp_path / "bells/chimebook/bell.yaml"
    text = file.read_text()
    run = pexpect.spawn(
        sys.executable,
        ["-c", COMMAND, "rules", "lint", "bells", "--watch"],
        cwd=str(tmp_path),
        env={**os.environ, "PYTHONPATH": str(ROOT), "TERM": "dumb"},
        encoding="utf-8",
        timeout=30,
    )
    run.expect_exact("Watching bells. Save a file to have it looked at; Ctrl-C ends this.\r\n")
    run.expect_exact("Nothing wrong.\r\n")
    file.write_text(text.replace("expect: fail", "expect: pass", 1))
    run.expect_exact("Saved: bell.yaml.\r\n")
    run.expect_exact("expects pass; the rule says fail")
    run.expect_exact("1 to look at.\r\n")
    file.write_text("rules: [\n")
    run.expect_exact("The line cannot be read as YAML.")
    file.write_text(text)
    run.expect_exact(f"Nothing wrong; {text.count('expect:')} cases hold.\r\n")
    run.kill(signal.SIGINT)
    run.expect(pexpect.EOF)


def test_without_the_library_it_says_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(extras, "find_spec", lambda _: None)
    done = CliRunner().invoke(main, ["rules", "lint", "rulesets", "--watch"])
    assert 2 == done.exit_code
    assert "pip install 'changeout-checker[watch]'" in done.stderr


def test_it_wants_a_folder() -> None:
    done = CliRunner().invoke(main, ["rules", "lint", "--watch"])
    assert 2 == done.exit_code
    assert "--watch wants the folder of a ruleset" in done.stderr
