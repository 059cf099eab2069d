"""Very many jobs through every form, by two workers, with kills in between: nothing is lost, doubled or left running.

    python -m tests.long.batches [text json jsonl csv junit sarif markdown] [--jobs 100000] [--kills 3] [--seed 1]
        [--rules bells] [--workers 2] [--folder FOLDER]

A tenth of the jobs is broken in four ways. The run is killed at random moments, by SIGKILL and by SIGHUP in turn: its workers
have to be gone in a moment, and no report may stand in its place. JSON Lines and CSV go on with `--resume`, every other form
begins anew. Then the report is read again: each job stands in it once, in its order. Prints a line a form: how many jobs, each
kill, how long all of it took, and the most memory of the run and of a worker; exit code 1 where something is wrong.

`--rules shipped` takes random jobs of the worked ones, each with readings of its own, for the rulebook that ships. Needs /proc.
"""

from __future__ import annotations

import argparse
import csv
import json
import random
import re
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import Any, NamedTuple
from xml.etree import ElementTree

from tests.long.less_known import shipped_checker
from tests.long.random_jobs import random_job, worked
from tests.support.commands import on_day
from tests.support.many_jobs import bell, on_bells
from tests.support.processes import children, command_of

BROKEN = (
    '{"job_id": \n',
    '{"job_id": "x", "schema_version": 1, "nosuch": 1}\n',
    "[1, 2]\n",
    '{"job_id": "x", "schema_version": 9}\n',
)
EVERY = 10  # one job of so many is broken
AT_ONCE = 5.0  # seconds in which workers have to be gone
LOOKED = 0.25  # seconds between two looks at a run
BELLS = 20  # of so many jobs one hangs a bell too, and has three times the findings
POOL = 200  # random jobs that those of the shipped rulebook are made of
BYTES_A_JOB = {"text": 70, "markdown": 0}  # of a report; the others have about 1,500
KILLS = (signal.SIGKILL, signal.SIGHUP)
LINE = re.compile(r"jobs\.jsonl:(\d+)")


class Told(NamedTuple):
    """What is said of a form at the end."""

    kills: list[str]
    seconds: float
    run: int  # KiB
    worker: int  # KiB
    wrong: list[str]


class Most:
    """The most memory that the run and any of its workers had, in KiB."""

    def __init__(self) -> None:
        self.run = self.worker = 0

    def look(self, process: int) -> None:
        self.run = max(self.run, _peak(process))
        self.worker = max([self.worker, *(_peak(one) for one in _workers(process))])


# --- jobs ------------------------------------------------------------------------------------------------------------


def write_jobs(file: Path, options: argparse.Namespace) -> None:
    """A line a job, the same for the same seed."""
    make = _bells(options.seed) if options.rules == "bells" else _shipped(options.seed)
    with file.open("w", encoding="utf-8") as lines:
        for number in range(options.jobs):
            broken = number % EVERY == EVERY - 1
            lines.write(BROKEN[number // EVERY % len(BROKEN)] if broken else json.dumps(make(number)) + "\n")


def _bells(seed: int) -> Callable[[int], dict[str, Any]]:
    rng = random.Random(seed)

    def make(number: int) -> dict[str, Any]:
        rope = {"key": "main", "moves": "bell", "girth": f"{rng.uniform(0.3, 2):.2f} in", "tied": rng.random() < 0.8}
        return bell(f"j{number}", ropes=[rope], done={"bell": number % BELLS == 0, "ropes": True})

    return make


def _shipped(seed: int) -> Callable[[int], dict[str, Any]]:
    rng, checker, bases = random.Random(seed), shipped_checker(), worked()
    pool = [random_job(rng, bases, checker).facts for _ in range(POOL)]

    def make(number: int) -> dict[str, Any]:
        facts = {**pool[rng.randrange(POOL)], "job_id": f"j{number}"}
        facts["line_set"] = {**facts.get("line_set", {}), "length": f"{rng.uniform(10, 80):.1f} ft"}
        facts["charge"] = {**facts.get("charge", {}), "outdoor_dry_bulb": f"{rng.uniform(65, 110):.1f} degF"}
        return facts

    return make


# --- a form ----------------------------------------------------------------------------------------------------------


def through(form: str, folder: Path, options: argparse.Namespace) -> Told:
    """Every job through one form, with its kills; what is wrong with what came of it."""
    output, rng, most = folder / f"out.{form}", random.Random(f"{options.seed} {form}"), Most()
    words = ["check", "jobs.jsonl", "--format", form, "--output", output.name, "--workers", str(options.workers)]
    line = [sys.executable, "-m", "checker", *(on_bells(*words) if options.rules == "bells" else on_day(*words))]
    goes_on = form in ("jsonl", "csv")
    began, kills, wrong = time.monotonic(), list[str](), list[str]()
    for number in range(options.kills):
        share = rng.uniform(number, number + 1) / (options.kills + 1) if goes_on else rng.uniform(0.01, 0.04)
        with _begun(line, folder) as run:
            _wait(run, lambda: _bytes(output), share * options.jobs * BYTES_A_JOB.get(form, 1500), most)
            kills.append(f"{KILLS[number % len(KILLS)].name} at {_bytes(output):,} bytes")
            wrong += _killed(run, KILLS[number % len(KILLS)], output)
        line = [*line, "--resume"] if goes_on and "--resume" not in line else line
    with _begun(line, folder) as run:
        _wait(run, lambda: 0, 1, most)
    wrong += [f"exit code {run.returncode}, not 2"] * (run.returncode != 2)
    wrong += _read_again(form, output, options.jobs) if output.exists() else ["no report"]
    wrong += [f"left behind: {one.name}" for one in folder.glob("out.*.part*")]
    return Told(kills, time.monotonic() - began, most.run, most.worker, wrong)


def _begun(line: list[str], folder: Path) -> subprocess.Popen[bytes]:
    """A run that hears SIGHUP, also where this one does not: under nohup."""
    heard = partial(signal.signal, signal.SIGHUP, signal.SIG_DFL)
    nowhere = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    return subprocess.Popen(line, cwd=folder, preexec_fn=heard, **nowhere)


def _wait(run: subprocess.Popen[bytes], written: Callable[[], int], enough: float, most: Most) -> None:
    """Wait until so many bytes are written, or the run is at its end."""
    while run.poll() is None and written() < enough:
        most.look(run.pid)
        time.sleep(LOOKED)


def _bytes(output: Path) -> int:
    """How much of the report is written so far, wherever it is until it is whole."""
    return max((one.stat().st_size for one in output.parent.glob(f"*{output.name}*") if _is_report(one)), default=0)


def _is_report(file: Path) -> bool:
    return file.suffix in (".part", ".new")


def _killed(run: subprocess.Popen[bytes], by: signal.Signals, output: Path) -> Iterator[str]:
    """Kill a run; what is wrong with what it leaves. What no run takes up again is cleared away."""
    workers = _workers(run.pid)
    run.send_signal(by)
    run.wait()
    ends = time.monotonic() + AT_ONCE
    while any(map(_is_worker, workers)) and time.monotonic() < ends:
        time.sleep(0.05)
    yield from (f"a worker lives on after {by.name}" for one in workers if _is_worker(one))
    if output.exists():
        yield f"a report stands there after {by.name}"
    for left in output.parent.glob(f".{output.name}.*.new"):
        left.unlink()


def _workers(process: int) -> list[int]:
    return [one for one in children(process) if _is_worker(one)]


def _is_worker(process: int) -> bool:
    return b"spawn_main" in command_of(process)


def _peak(process: int) -> int:
    try:
        status = Path(f"/proc/{process}/status").read_text()
    except OSError:
        return 0
    found = re.search(r"VmHWM:\s+(\d+)", status)
    return int(found[1]) if found else 0


# --- the report, read again ------------------------------------------------------------------------------------------


def _read_again(form: str, output: Path, jobs: int) -> Iterator[str]:
    """What is wrong with a report: each job stands in it once, in its order; forms with totals alone tell how many."""
    with output.open(encoding="utf-8", newline="") as text:
        if form == "markdown":
            row = f"| {jobs - jobs // EVERY} | {jobs // EVERY} |"
            yield from () if any(line.startswith(row) for line in text) else [f"no line that begins {row}"]
            return
        places = list(READERS[form](text))
    if len(places) != jobs:
        yield f"{len(places)} jobs, not {jobs}"
    if any(before >= after for before, after in pairwise(places)):
        yield "jobs are not in their order"


def _in_text(text: Any) -> Iterator[int]:
    for line in text:
        if line.startswith("jobs.jsonl:"):
            yield _place(line)
        elif not line.strip():
            return


def _in_lines(text: Any) -> Iterator[int]:
    yield from (_place(line["file"]) for line in map(json.loads, text) if "rules" not in line and "file" in line)


def _in_json(text: Any) -> Iterator[int]:
    report = json.load(text)
    yield from sorted(_place(job["file"]) for job in (*report["jobs"], *report["unreadable"]))


def _in_rows(text: Any) -> Iterator[int]:
    yield from _once(_place(row["file"]) for row in csv.DictReader(text, strict=True))


def _in_xml(text: Any) -> Iterator[int]:
    for _, element in ElementTree.iterparse(text):
        if element.tag == "testsuite":
            yield _place(element.get("file", ""))
            element.clear()


def _in_sarif(text: Any) -> Iterator[int]:
    """A job of which nothing failed and nothing is open has no result: where they stand is held, and how many are told."""
    run = json.load(text)["runs"][0]
    told = run["properties"]["jobs"] + run["properties"]["unreadable"]
    places = [one["locations"][0]["physicalLocation"]["region"]["startLine"] for one in run["results"]]
    assert places == sorted(places)
    yield from range(told)


def _place(text: str) -> int:
    found = LINE.match(text)
    assert found, text
    return int(found[1])


def _once(places: Iterator[int]) -> Iterator[int]:
    before = 0
    for place in places:
        if place != before:
            yield place
        before = place


READERS: dict[str, Callable[[Any], Iterator[int]]] = {
    "text": _in_text, "json": _in_json, "jsonl": _in_lines, "csv": _in_rows, "junit": _in_xml, "sarif": _in_sarif,
}  # fmt: skip
FORMS = (*READERS, "markdown")


def main() -> int:
    options = _options()
    faulty = False
    with tempfile.TemporaryDirectory(dir=options.folder, prefix="batches-") as temporary:
        folder = Path(temporary)
        write_jobs(folder / "jobs.jsonl", options)
        for form in options.forms or FORMS:
            told = through(form, folder, options)
            faulty |= bool(told.wrong)
            print(
                f"{form}: {options.jobs:,} jobs of {options.rules}, {told.seconds:.0f} s, run {told.run / 1024:.0f} MiB,"
                f" worker {told.worker / 1024:.0f} MiB; {', '.join(told.kills)}; {'; '.join(told.wrong) or 'all there'}",
                flush=True,
            )
            (folder / f"out.{form}").unlink(missing_ok=True)
    return int(faulty)


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.long.batches", description=__doc__.splitlines()[0])
    parser.add_argument("forms", nargs="*", choices=[[], *FORMS])
    parser.add_argument("--jobs", type=int, default=100_000)
    parser.add_argument("--kills", type=int, default=3)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--rules", choices=("bells", "shipped"), default="bells")
    parser.add_argument("--folder", type=Path, help="Where the jobs and reports go while it runs; some 500 MB a form.")
    return parser.parse_args()


if __name__ == "__main__":
    sys.exit(main())
