"""The shipped rulebook on the example jobs and the whole jobs of the tests, and how long a command takes to start."""

from __future__ import annotations

import json
import random
import re
import subprocess
import sys
import tempfile
import time
from functools import cache
from itertools import cycle, islice
from pathlib import Path
from statistics import median
from typing import Any

from checker.batch.running import Judge, Setup, judged
from checker.batch.sources import Item
from checker.engine.checker import Checker
from checker.reading.files import read_text
from checker.reading.inherited.inheritance import Inherited
from checker.reading.job import load
from checker.reading.job_schema import job_vocabulary
from checker.reporting.jsonl import JsonLines
from checker.rulesets.library import SHIPPED, open_library
from tests.benchmarks.measure import ROUNDS, Contender, Told, median_seconds, per_second
from tests.benchmarks.ours import ON, written
from tests.benchmarks.workload import SEED
from tests.support.jobs import JOBS, NAMES, whole_job

EXAMPLES = Path(__file__).parent.parent.parent / "examples" / "jobs"
PLAIN = re.compile(r"(-?\d+(?:\.\d+)?) (\D.*)")  # a number and a unit
CALM = 1.0  # seconds of work of one process in a short run


@cache
def checker() -> Checker:
    return Checker(open_library([SHIPPED], {SHIPPED: "rulesets"}), job_vocabulary())


def texts() -> list[bytes]:
    """Every example and every whole job of the tests, as its file holds it."""
    found = [path.read_bytes() for path in sorted(EXAMPLES.glob("*.json"))]
    return found + [json.dumps(whole_job(JOBS / f"{name}.json")).encode() for name in NAMES]


def varied(texts_: list[bytes], times: int) -> list[bytes]:
    """So many jobs for each, of other names, with what was measured and every length a little different in each.

    Houses differ in these; the checker keeps what it said of the same facts, and would otherwise only look it up.
    """
    chance = random.Random(SEED)
    found = []
    for index, text in enumerate(texts_ * times):
        data = _moved(json.loads(text), "", chance)
        found.append(json.dumps(data | {"job_id": f"{data['job_id']}-{index}"}).encode())
    return found


def _moved(value: Any, path: str, chance: random.Random) -> Any:
    """A part of a job with its readings and lengths moved by up to 0.2 percent; fractions stay as they are written."""
    leaf = checker().vocabulary.leaves.get(path)
    if leaf and leaf.form == "quantity" and (leaf.measured or leaf.kind == "length"):
        return _shifted(value, 1 + chance.uniform(-0.002, 0.002))
    if isinstance(value, dict) and not leaf:
        return {name: _moved(part, f"{path}.{name}".lstrip("."), chance) for name, part in value.items()}
    return [_moved(part, path, chance) for part in value] if isinstance(value, list) else value


def _shifted(value: Any, factor: float) -> Any:
    if isinstance(value, dict) and "value" in value:
        return value | {"value": _shifted(value["value"], factor)}
    if isinstance(value, int | float) and not isinstance(value, bool):
        return round(value * factor, 4)
    found = PLAIN.fullmatch(value) if isinstance(value, str) else None
    return f"{float(found[1]) * factor:.4f} {found[2]}" if found else value


def run(told: Told) -> None:
    own, same = checker(), texts()
    found = varied(same, 10)
    told.heading(f"The shipped rulebook on {len(found)} jobs made of {len(same)} real ones, one core")
    jobs = [load(read_text(text, "job.json"), own.vocabulary) for text in found]
    judge = Judge(Setup(JsonLines(), ON), own, Inherited())
    contenders = [
        Contender("from file to findings", lambda text: own.check(read_text(text, "job.json"), ON), found),
        Contender("  read and validated", lambda text: load(read_text(text, "job.json"), own.vocabulary), found),
        Contender("  judged, full findings", lambda job: own.check_job(job, ON), jobs),
        Contender("  outcomes alone", lambda job: own.outcomes(job, ON), jobs),
        Contender("from file to a line of JSON", lambda text: written(judge, text), found),
        Contender("the real ones over and over", lambda text: own.check(read_text(text, "job.json"), ON), same),
    ]
    rates = per_second(contenders, seconds=1.0)
    told.rates(rates, "from file to findings", "jobs")
    print("  (over and over, most is known from before; the goal is for jobs that differ in what was measured)")
    told.goal("jobs a second and core, from file to findings", rates["from file to findings"], 3000)
    _workers(told, found, judge, rates["from file to a line of JSON"])


# --- two workers ---


def _workers(told: Told, found: list[bytes], judge: Judge, rate: float) -> None:
    """Jobs by one process and by two. Their start is left out: it is in a long run and in a short one alike."""
    short = max(len(found), round(rate * CALM))
    seconds: dict[int, list[float]] = {1: [], 2: []}
    for _ in range(ROUNDS):
        for count, took in seconds.items():
            took.append(_took(found, judge, count, 3 * short) - _took(found, judge, count, short))
    rates = {f"{count} worker{'s' * (count > 1)}": 2 * short / median(took) for count, took in seconds.items()}
    told.rates(rates, "2 workers", "jobs")
    told.goal("two workers against one", rates["2 workers"] / rates["1 worker"], 1.9)


def _took(found: list[bytes], judge: Judge, workers: int, count: int) -> float:
    items = (Item("jobs.jsonl", 1, text) for text in islice(cycle(found), count))
    began = time.perf_counter()
    for _ in judged(items, judge, workers):
        pass
    return time.perf_counter() - began


# --- start ---


def start(told: Told) -> None:
    """A cold `changeout check` of one job; what programs keep between runs is there already."""
    told.heading("Cold start, against a Python that does nothing")
    with tempfile.TemporaryDirectory() as folder:
        full = EXAMPLES / "01-clean.json"
        without = Path(folder) / "without.json"
        data = json.loads(full.read_text(encoding="utf-8"))
        data.pop("charge", None)
        without.write_text(json.dumps(data), encoding="utf-8")
        nothing = median_seconds(lambda: _command("pass"))
        found = {"with charge readings": _check(full), "without charge readings": _check(without)}
    print(f"  python -c pass: {nothing * 1000:.1f} ms")
    for name, seconds in found.items():
        print(f"  changeout check, one job {name}: {seconds * 1000:.1f} ms")
        told.goal(f"times an empty Python, {name}", seconds / nothing, 8, at_most=True)


def _check(job: Path) -> float:
    code = f"import sys; sys.argv = ['changeout', 'check', {str(job)!r}, '--on', '{ON}']; from checker.cli import main; main()"
    _command(code)
    return median_seconds(lambda: _command(code))


def _command(code: str) -> None:
    subprocess.run([sys.executable, "-c", code], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, check=False)
