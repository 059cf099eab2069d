"""`changeout interview` on a real pseudo-terminal: what it shows before each prompt, and what is typed there."""

from __future__ import annotations

import json
import os
import re
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.support.commands import ROOT

pexpect = pytest.importorskip("pexpect")

PROMPT = r"\r\n  > "
# Ctrl-C is heard also where the tests were started with it turned off, as a shell does for what runs in the background.
COMMAND = [
    "-c",
    "import signal; signal.signal(signal.SIGINT, signal.default_int_handler); from checker.cli import main; main()",
    "interview",
]
DAY = ["--on", "2026-11-25"]
ESCAPES = re.compile(r"\x1b\[[0-9;]*m")


class Session:
    """`changeout interview` on a terminal of 90 columns. What it shows is read up to each prompt."""

    def __init__(self, folder: Path, *words: str) -> None:
        environment = {**os.environ, "PYTHONPATH": str(ROOT), "TERM": "dumb"}
        self.terminal = pexpect.spawn(
            sys.executable,
            [*COMMAND, *words, *DAY],
            cwd=str(folder),
            env=environment,
            encoding="utf-8",
            codec_errors="replace",
            timeout=60,
            dimensions=(40, 90),
        )
        self.seen = ""

    def shown(self) -> str:
        """What stands before the next prompt, on one line."""
        self.terminal.expect(PROMPT)
        text = ESCAPES.sub("", self.terminal.before)
        self.seen += text
        return " ".join(text.split())

    def type(self, answer: str) -> None:
        self.terminal.sendline(answer)

    def answer(self, *pairs: tuple[str, str]) -> None:
        """Each question in its turn, with what is typed."""
        for question, answer in pairs:
            assert question in self.shown()
            self.type(answer)

    def end(self) -> tuple[str, int]:
        """What stands at the end, on one line, and the exit code."""
        self.terminal.expect(pexpect.EOF)
        text = ESCAPES.sub("", self.terminal.before)
        self.seen += text
        self.terminal.close()
        return " ".join(text.split()), self.terminal.exitstatus


def job_in(folder: Path, name: str = "job.json") -> Any:
    return json.loads((folder / name).read_text())
