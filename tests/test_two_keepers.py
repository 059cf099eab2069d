"""Two keepers of one ruleset, each on a branch of git: their changes meet without a conflict, and both hold."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest
from click.testing import CliRunner

from checker.cli import main
from checker.rulesets.library import open_rulesets
from tests.support.rulesets import TINY

GROUND = ["--from", "always", "--reason", "So we say.", "--document", "vestry", "--section", "9", "--sure", "checked"]
CHANGES = {
    "thicker": ["rope-thick-enough", "--limit", "least_girth", "--to", "0.9"],
    "tied-twice": ["rope-tied", "--title", "The rope is tied twice"],
    "tower": ["tower-swept-first", "--failed", "The tower is not swept"],
}


def git(folder: Path, *words: str) -> None:
    who = ["-c", "user.name=A Keeper", "-c", "user.email=keeper@example.org", "-c", "commit.gpgsign=false"]
    done = subprocess.run(["git", *who, *words], cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 0, f"git {' '.join(words)}: {done.stdout}{done.stderr}"


@pytest.mark.skipif(shutil.which("git") is None, reason="there is no git here")
def test_changes_on_branches_meet_without_a_conflict_and_all_hold(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copytree(TINY / "bells", tmp_path / "bells")
    monkeypatch.chdir(tmp_path)
    git(tmp_path, "init", "-q", "-b", "main")
    git(tmp_path, "add", ".")
    git(tmp_path, "commit", "-qm", "As it was")
    for branch, change in CHANGES.items():
        git(tmp_path, "checkout", "-q", "-b", branch, "main")
        words = ["rules", "amend", *change, "--into", "bells/lowchime", "--rules", "bells", *GROUND, "--yes"]
        result = CliRunner().invoke(main, words)
        assert result.exit_code == 0, result.output
        git(tmp_path, "add", ".")
        git(tmp_path, "commit", "-qm", branch)
        git(tmp_path, "checkout", "-q", "main")
    for branch in CHANGES:
        git(tmp_path, "merge", "-q", "--no-edit", branch)
    amended = open_rulesets([Path("bells")]).get("lowchime").amend
    assert {"least_clearance", "least_girth", "rope-tied", "tower-swept-first"} == set(amended)
    assert "0.9" == amended["least_girth"].set["values"][0]["value"]
    assert {"title": "The rope is tied twice"} == amended["rope-tied"].set
    linted = CliRunner().invoke(main, ["rules", "lint", "bells/lowchime", "--rules", "bells"])
    assert 0 == linted.exit_code, linted.output
