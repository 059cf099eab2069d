"""What a check of one job has to wait for, once an earlier run has kept what it made."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

EXAMPLE = Path(__file__).parent.parent / "examples" / "jobs" / "01-clean.json"
CHECKED = """
import sys
from checker.cli import main

sys.argv = ["changeout", "check", sys.argv[1], "--on", "2026-11-25"]
try:
    main()
finally:
    print(*sys.modules, sep="\\n", file=sys.stderr)
"""
# What reads rulesets, draws, writes other forms than the text, or runs several processes.
NOT_NEEDED = (
    "CoolProp", "concurrent", "importlib.metadata", "jinja2", "json_source_map", "jsonschema", "matplotlib",
    "multiprocessing", "numpy", "openpyxl", "packaging", "pydantic", "pydantic_core", "yaml",
    "checker.reading.yaml_text", "checker.rulesets.border", "checker.rulesets.misfits",
)  # fmt: skip


def modules_of_a_check(cache: Path) -> set[str]:
    """The modules that a process has after it checked a job."""
    environment = {**os.environ, "CHANGEOUT_CACHE": str(cache)}
    ran = subprocess.run(
        [sys.executable, "-c", CHECKED, EXAMPLE], env=environment, capture_output=True, text=True, check=False
    )
    assert ran.returncode == 0, ran.stderr
    return set(ran.stderr.split())


def test_a_check_with_a_warm_cache_imports_nothing_that_it_does_not_need(tmp_path: Path) -> None:
    cold = modules_of_a_check(tmp_path)
    assert {"pydantic", "yaml"} <= cold  # or the second run shows nothing
    warm = modules_of_a_check(tmp_path)
    assert "checker.engine.checker" in warm
    assert [] == [name for name in NOT_NEEDED if name in warm]
