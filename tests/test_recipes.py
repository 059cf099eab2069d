"""The recipe for CI that the README names, run as it stands."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from junitparser import JUnitXml

from tests.support.commands import ROOT
from tests.support.many_jobs import bell, on_bells
from tests.support.rulesets import TINY

pytestmark = pytest.mark.long

BESIDE_PYTHON = str(Path(sys.executable).parent)  # where the program is installed
HERE = os.environ | {"PATH": BESIDE_PYTHON + os.pathsep + os.environ["PATH"]}

needs_program = pytest.mark.skipif(
    not (Path(BESIDE_PYTHON) / "changeout").exists(), reason="the program is not installed beside this Python"
)


def ran(command: list[str], cwd: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(command, cwd=cwd, env=HERE, capture_output=True, text=True, timeout=180)


@needs_program
@pytest.mark.skipif(sys.platform == "win32", reason="it is a script of a Unix shell")
def test_the_recipe_for_ci_leaves_its_reports_and_fails_on_what_is_new(tmp_path: Path) -> None:
    (tmp_path / "jobs").mkdir()
    (tmp_path / "jobs" / "a.json").write_text(json.dumps(bell("a")))
    recipe = [str(ROOT / "examples" / "ci" / "check-jobs.sh"), "jobs", "out", *on_bells()]
    first = ran(recipe, tmp_path)
    assert 1 == first.returncode, first.stderr
    assert 1 == json.loads((tmp_path / "out" / "totals.json").read_text())["jobs"]
    assert 1 == sum(suite.failures for suite in JUnitXml.fromfile(str(tmp_path / "out" / "jobs.junit.xml")))
    assert "2.1.0" == json.loads((tmp_path / "out" / "jobs.sarif").read_text())["version"]
    assert "### a" in (tmp_path / "out" / "comment.md").read_text()
    made = ["changeout", *on_bells("check", "jobs", "--write-baseline", "baseline.jsonl")]
    ran(made, tmp_path)
    assert 0 == ran(recipe, tmp_path).returncode, "what was there before is known"
    (tmp_path / "jobs" / "b.json").write_text(json.dumps(bell("b")))
    assert 1 == ran(recipe, tmp_path).returncode, "another job's failure is new"


@needs_program
@pytest.mark.skipif(sys.platform == "win32", reason="it is a script of a Unix shell")
def test_the_recipe_for_rulesets_tells_what_changed_and_counts_what_is_wrong(tmp_path: Path) -> None:
    for name in ("was", "rules"):
        shutil.copytree(TINY / "bells", tmp_path / name)
    changed = tmp_path / "rules" / "lowchime" / "amendments.yaml"
    text = changed.read_text()
    changed.write_text(text.replace('value: "6"', 'value: "6.5"'))
    recipe = [str(ROOT / "examples" / "ci" / "check-rulesets.sh"), "rules", "out", "was"]
    done = ran(recipe, tmp_path)
    assert 1 == done.returncode, "a case still tells the old value"
    comment = (tmp_path / "out" / "comment.md").read_text().split("<details>")[0]
    assert "least\\_clearance" in comment
    assert "value: 6.5" in comment
    assert "lowchime: 6 cases, 1 of them not as stated." in done.stdout
    assert len(done.stdout.splitlines()) <= 20
