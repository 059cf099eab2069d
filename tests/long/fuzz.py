"""A million hostile inputs, led by which lines of code they reach: nothing comes of them but a plain message, and soon.

    python -m tests.long.fuzz [conditions json yaml yaml_changed jobs layers writers] [--inputs 1000000] [--keep FOLDER]

Needs `atheris` (3.0 was used) beside what the tests need. Each target runs in a process of its own, begins with what the
shipped rulesets and example jobs hold, and prints a line: how many inputs, the slowest, how many faults. A fault is an
exception that no target may let out, or an input that takes more than a second; the bytes of each different one are printed,
and with `--keep` written to a folder. Exit code 1 where there is one. What was found stands in `tests/test_fuzz.py`.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import subprocess
import sys
import tempfile
import time
import traceback
from collections.abc import Iterator
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["checker"]):
    import tests.fuzz_targets as doors

LONGEST = 1.0  # seconds that one input may take
STUCK = 30  # seconds after which a target is ended from outside
MOST_BYTES = {"conditions": 440, "writers": 400}
CONDITION = re.compile(rb"^\s+- (?:\")?([a-z_]+\.[^\n{}]{3,200}?)\"?$", re.MULTILINE)
WORDS = (
    "not_known", "none", "between", "value", "unit", "lookup(", "highest(", " where ", " not in [", " >= ", "&a", "*a", "<<: ",
    "!!python/object", "? ", "|+", "\\ud800", "1e999", "[[[[", "{{{{", "\ufeff", "job_id", "rules:", "amend:", "withdraw:",
    "for_each:", "../", "2026-02-30",
)  # fmt: skip
FORMULAS = "=1+1|<script>|[x](y)|7 ft|job.json"
CONTROLS = "\x1b[31m|\ufffe|\x00|]]>|\x0b"


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.long.fuzz", description=__doc__.splitlines()[0])
    parser.add_argument("targets", nargs="*", choices=[[], *doors.TARGETS])
    parser.add_argument("--inputs", type=int, default=1_000_000, help="of all targets together")
    parser.add_argument("--keep", type=Path)
    parser.add_argument("--one", help=argparse.SUPPRESS)
    options = parser.parse_args()
    if options.one:
        _one(options.one, options.inputs, options.keep)
    chosen = options.targets or list(doors.TARGETS)
    whole = sum(doors.TARGETS[name][1] for name in chosen)
    codes = [_apart(name, round(options.inputs * doors.TARGETS[name][1] / whole), options.keep) for name in chosen]
    return 1 if any(codes) else 0


def _apart(name: str, inputs: int, keep: Path | None) -> int:
    """One target in a process of its own, since the fuzzer does not come back."""
    words = [sys.executable, "-m", "tests.long.fuzz", "--one", name, "--inputs", str(inputs)]
    words += ["--keep", str(keep)] if keep else []
    return subprocess.run(words, stderr=subprocess.DEVNULL, check=False).returncode


def _one(name: str, inputs: int, keep: Path | None) -> None:
    """Fuzz one target; ends the process."""
    target, watch = doors.TARGETS[name][0], Watch(name, inputs, keep)

    def tried(data: bytes) -> None:
        began = time.perf_counter()
        try:
            target(data)
        except Exception as error:
            watch.fault(data, error)
        watch.took(data, time.perf_counter() - began)

    with tempfile.TemporaryDirectory() as folder:
        for number, seed in enumerate(_seeds(name)):
            Path(folder, str(number)).write_bytes(seed)
        words = Path(folder, "words")
        words.write_text("".join(f"{json.dumps(word)}\n" for word in WORDS if word.isascii() and "\\" not in word))
        most = MOST_BYTES.get(name, 4096)
        atheris.Setup(
            [sys.argv[0], folder, f"-max_len={most}", f"-timeout={STUCK}", f"-dict={words}", "-seed=20261125"], tried
        )
        atheris.Fuzz()


class Watch:
    """Counts the inputs of a target and keeps its faults, one of each kind."""

    def __init__(self, name: str, inputs: int, keep: Path | None) -> None:
        self.name, self.inputs, self.keep = name, inputs, keep
        self.count, self.slowest, self.faults = 0, 0.0, dict[str, bytes]()

    def fault(self, data: bytes, error: BaseException) -> None:
        frames = traceback.extract_tb(error.__traceback__)
        self.faults.setdefault(f"{type(error).__name__} at {frames[-1].name}:{frames[-1].lineno}: {error}"[:200], data)

    def took(self, data: bytes, seconds: float) -> None:
        self.count += 1
        self.slowest = max(self.slowest, seconds)
        if seconds > LONGEST:
            self.faults.setdefault("slow", data)
        if self.count >= self.inputs:
            self.last()

    def last(self) -> None:
        print(f"{self.name}: {self.count:,} inputs, slowest {self.slowest:.3f} s, {len(self.faults)} faults")
        for number, (what, data) in enumerate(self.faults.items()):
            print(f"  {what}\n    {data!r}")
            if self.keep:
                self.keep.mkdir(exist_ok=True)
                (self.keep / f"{self.name}-{number}").write_bytes(data)
        sys.stdout.flush()
        os._exit(1 if self.faults else 0)


def _seeds(name: str) -> Iterator[bytes]:
    """What a target begins with: whole texts, or for those that change a text what to put in it."""
    texts = [path.read_bytes() for path in sorted(doors.RULESETS.rglob("*.yaml"))]
    if name == "conditions":
        yield from {found for text in texts for found in CONDITION.findall(text)}
    elif name == "json":
        yield from (path.read_bytes()[:3000] for path in sorted(doors.EXAMPLES.glob("*.json")))
    elif name == "yaml":
        yield from (text[at : at + 1500] for text in texts for at in (0, len(text) // 2))
    elif name == "writers":
        yield from (words.encode() for words in ("a|b|c|d|e", FORMULAS, CONTROLS))
    else:
        yield from (b"\x20\x00\x00\x05" + word.encode() for word in WORDS)


if __name__ == "__main__":
    sys.exit(main())
