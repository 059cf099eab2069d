"""A million hostile inputs, led by which lines of code they reach: nothing comes of them but a plain message, and soon.

    python -m tests.long.fuzz [conditions json yaml … photographs] [--inputs 1000000] [--seed 20261125]
        [--keep FOLDER]

Needs `atheris` (3.0 was used) beside what the tests need. Each target runs in a process of its own, begins with what the
shipped rulesets and example jobs hold and with the words of its own language, and prints a line: how many inputs, the slowest,
how many faults. A fault is an exception that no target may let out, an input that takes more than a second of the processor
(a busy machine is no fault), one that is not done in thirty, or more than 2 GiB of memory. The bytes of each different one are
printed, and with `--keep` written to a folder. Exit code 1 where there is one. What was found stands in `tests/test_fuzz.py`.
"""

from __future__ import annotations

import argparse
import os
import platform
import re
import subprocess
import sys
import tempfile
import time
import traceback
from collections.abc import Iterator
from importlib.metadata import version
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["checker"]):
    import tests.support.fuzz_targets as doors
    from checker.reporting import forms

    for _name in forms.FORMS:  # each is imported only when it is asked for, and is to be watched too
        forms.form(_name)

LONGEST = 1.0  # seconds of the processor that one input may take
STUCK = 30  # seconds after which a target is ended from outside
MOST_MEMORY = 2048  # MiB
DONE, FAULTY = 0, 3  # exit codes of a target that came to its end; any other is one that was ended
MOST_BYTES = {"conditions": 440, "writers": 400}
CONDITION = re.compile(rb"^\s+- (?:\")?([a-z_]+\.[^\n{}]{3,200}?)\"?$", re.MULTILINE)
RULES = (
    "!!python/object", "? ", "|+", "&a", "*a", "<<: ", "rules:", "limits:", "amend:", "withdraw:", "for_each:", "where:", "uses:",
    "adopts:", "any_of:", "require:", "../", "/etc/", "2026-02-30", "\ufeff",
)  # fmt: skip
JOB = (
    "not_known", "none", "between", "value", "unit", "job_id", "schema_version", "key", "instrument", "\\ud800", "1e999",
    "1e400b", "-0", "NaN", "[[[[", "{{{{", "true", "null", "7 ft", "\ufeff",
)  # fmt: skip
OUT = ("|", "=1+1", "@x", "<script>", "]]>", "&#0;", "](", "`", "```", "\r\n", ',"', "\u2028", "\x1b[2J", "../", "{x}")
CONDITIONS = (
    "lookup(", "highest(", "first_given(", "readings.x", " where ", " not in [", " in [", " >= ", " != ", " and ", " or ", "not ",
    "given ", "none", "7 ft", "1e400", "2026-02-30",
)  # fmt: skip
WORDS = {
    "conditions": CONDITIONS,
    "json": JOB,
    "jobs": JOB,
    "yaml": RULES,
    "yaml_changed": RULES,
    "layers": (*RULES, *CONDITIONS),
    "writers": OUT,
    "releases": (*JOB, *RULES),
    "records": (*JOB, *RULES),
    "profiles": JOB,
    "sheets": (*RULES, *JOB),
    "packets": ("PK\x03\x04", "PK\x01\x02", "PK\x05\x06", "packet.sha256", "../", "C:\\", "0" * 64, "\ufeff"),
    "workbooks": (
        "PK\x03\x04",
        "PK\x01\x02",
        "xl/workbook.xml",
        "<!DOCTYPE",
        "<!ENTITY",
        "sheet1.xml",
        "=1+1",
        "\ufeff",
    ),
    "photographs": ("JFIF", "Exif", "IHDR", "IDAT", "RIFF", "WEBP", "VP8 ", "ANIM"),
}
FORMULAS = "=1+1|<script>|[x](y)|7 ft|job.json"
CONTROLS = "\x1b[31m|\ufffe|\x00|]]>|\x0b"


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.long.fuzz", description=__doc__.splitlines()[0])
    parser.add_argument("targets", nargs="*", choices=[[], *doors.TARGETS])
    parser.add_argument("--inputs", type=int, default=1_000_000, help="of all targets together")
    parser.add_argument("--seed", type=int, default=20261125)
    parser.add_argument("--keep", type=Path)
    parser.add_argument("--one", help=argparse.SUPPRESS)
    options = parser.parse_args()
    if options.one:
        _one(options.one, options.inputs, options.seed, options.keep)
    chosen = options.targets or list(doors.TARGETS)
    whole = sum(doors.TARGETS[name][1] for name in chosen)
    print(f"Python {platform.python_version()}, atheris {version('atheris')}, seed {options.seed}", flush=True)
    shares = {name: round(options.inputs * doors.TARGETS[name][1] / whole) for name in chosen}
    codes = [_apart(name, inputs, options.seed, options.keep) for name, inputs in shares.items()]
    return 1 if any(codes) else 0


def _apart(name: str, inputs: int, seed: int, keep: Path | None) -> int:
    """One target in a process and a folder of its own, since the fuzzer does not come back and tidies nothing."""
    with tempfile.TemporaryDirectory() as folder:
        words = [sys.executable, "-m", "tests.long.fuzz", "--one", name, "--inputs", str(inputs), "--seed", str(seed)]
        words += ["--keep", str(keep)] if keep else []
        quiet = {"stdout": subprocess.PIPE, "stderr": subprocess.DEVNULL}
        ended = subprocess.run(words, env={**os.environ, "TMPDIR": folder}, text=True, check=False, **quiet)
        lines = [line for line in ended.stdout.splitlines() if line.startswith((f"{name}: ", "  "))]
        if ended.returncode not in (DONE, FAULTY):
            lines = list(_ended(name, ended.returncode, Path(folder), keep))
        print("\n".join(lines), flush=True)
    return ended.returncode


def _ended(name: str, code: int, folder: Path, keep: Path | None) -> Iterator[str]:
    """What is told of a target that hung, filled the memory or took the interpreter down, with the input that did it."""
    yield f"{name}: ended before its last input (exit code {code}), 1 fault"
    for path in folder.glob("ended-*"):
        data = path.read_bytes()
        yield f"  {path.name.split('-')[1]}\n    {data!r}"
        if keep:
            keep.mkdir(parents=True, exist_ok=True)
            (keep / f"{name}-{path.name}").write_bytes(data)


def _one(name: str, inputs: int, seed: int, keep: Path | None) -> None:
    """Fuzz one target; ends the process."""
    target, watch = doors.TARGETS[name][0], Watch(name, inputs, keep)

    def tried(data: bytes) -> None:
        began = time.process_time()
        try:
            target(data)
        except BaseException as error:
            watch.fault(data, error)
        watch.took(data, time.process_time() - began)

    folder = Path(tempfile.gettempdir())
    (folder / "seeds").mkdir()
    for number, first in enumerate(_seeds(name)):
        (folder / "seeds" / str(number)).write_bytes(first)
    (folder / "words").write_text("".join(f'"{_escaped(word)}"\n' for word in WORDS[name]))
    limits = [f"-max_len={MOST_BYTES.get(name, 4096)}", f"-timeout={STUCK}", f"-rss_limit_mb={MOST_MEMORY}"]
    places = [f"-dict={folder / 'words'}", f"-artifact_prefix={folder / 'ended-'}", str(folder / "seeds")]
    atheris.Setup([sys.argv[0], *limits, *places, f"-seed={seed}"], tried)
    atheris.Fuzz()


def _escaped(word: str) -> str:
    """A word as a dictionary of the fuzzer has it."""
    return "".join(f"\\x{byte:02x}" for byte in word.encode())


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
                self.keep.mkdir(parents=True, exist_ok=True)
                (self.keep / f"{self.name}-{number}").write_bytes(data)
        sys.stdout.flush()
        os._exit(FAULTY if self.faults else DONE)


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
        yield from (b"\x20\x00\x00\x05" + word.encode() for word in WORDS[name])


if __name__ == "__main__":
    sys.exit(main())
