"""Running a command of the program in this process, which is quick; `as_process` starts a process of its own."""

from __future__ import annotations

import contextlib
import subprocess
import sys
from pathlib import Path

from click.testing import CliRunner

from checker.cli import main

ROOT = Path(__file__).parent.parent.parent
JOBS = ROOT / "examples" / "jobs"
PROGRAM = (sys.executable, "-c", "from checker.cli import main; main()")

Run = subprocess.CompletedProcess[str]


def changeout(*words: str, stdin: str = "", cwd: Path = ROOT) -> Run:
    """Run a command in a folder, with text on its standard input; its exit code, output and errors as text.

    Raises:
        Exception: What the command did not tell of itself.
    """
    with contextlib.chdir(cwd):
        done = CliRunner().invoke(main, list(words), input=stdin, catch_exceptions=False, prog_name="changeout")
    return subprocess.CompletedProcess(words, done.exit_code, done.stdout, done.stderr)


def as_process(*words: str, stdin: str = "", cwd: Path = ROOT) -> Run:
    """The same in a process of its own."""
    return subprocess.run([*PROGRAM, *words], input=stdin, capture_output=True, text=True, cwd=cwd, timeout=120)


def on_day(*words: str) -> tuple[str, ...]:
    """A command on the day that the tests stand still at."""
    return (*words, "--on", "2026-11-25")
