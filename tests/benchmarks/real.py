"""The shipped rulebook on the example jobs and the whole jobs of the tests, and how long a command takes to start."""

from __future__ import annotations

import datetime
import json
import os
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

from checker.batch.many import judged
from checker.batch.running import Judge, Setup
from checker.batch.sources import Item
from checker.engine.checker import Checker
from checker.reading.files import read_job_text
from checker.reading.inherited.inheritance import Inherited
from checker.reading.job import Job, load
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


def houses(texts_: list[bytes], times: int) -> list[bytes]:
    """So many jobs for each, of other names, that differ as houses do.

    Every reading and every length is a little different, all days of a job are moved together, half of the jobs stand at
    another place, and of every third job half of what it says is left out.
    """
    chance = random.Random(SEED)
    places = sorted({place for ruleset in checker().library.rulesets.values() for place in ruleset.header.covers})
    found = []
    for index, text in enumerate(texts_ * times):
        data = _House(chance, half=index % 3 == 2).of(json.loads(text))
        if chance.random() < 0.5:
            site = data.setdefault("site", {})
            site["jurisdiction"] = chance.choice(places)
            site.pop("adopted", None)  # it is the place that says which codes are in force there
        found.append(json.dumps(data | {"job_id": f"{data['job_id']}-{index}"}).encode())
    return found


class _House:
    """One job made another one: readings moved by up to 2 percent, days by up to 90; fractions stay as they are written."""

    def __init__(self, chance: random.Random, half: bool) -> None:
        self.chance, self.half, self.days = chance, half, chance.randint(-90, 90)

    def of(self, job: dict[str, Any]) -> dict[str, Any]:
        moved: dict[str, Any] = self.part(job, "")
        return moved

    def part(self, value: Any, path: str) -> Any:
        leaf = checker().vocabulary.leaves.get(path)
        if leaf and leaf.form == "quantity" and (leaf.measured or leaf.kind == "length"):
            return _shifted(value, 1 + self.chance.uniform(-0.02, 0.02))
        if leaf and leaf.form == "date" and isinstance(value, str):
            return _on_another_day(value, self.days)
        if isinstance(value, dict) and not leaf:
            each = ((name, f"{path}.{name}".lstrip(".")) for name in value)
            return {name: self.part(value[name], inner) for name, inner in each if not self.left_out(inner)}
        return [self.part(item, path) for item in value] if isinstance(value, list) else value

    def left_out(self, path: str) -> bool:
        """Whether a fact is not recorded in this job. What tells one job or item from another always is."""
        if not self.half or path not in checker().vocabulary.leaves or path.startswith("site."):
            return False
        named = path in ("job_id", "schema_version") or path.endswith(".key")
        return not named and self.chance.random() < 0.5


def _on_another_day(value: str, days: int) -> str:
    """A day moved by so many days; one that is written in another way stays."""
    try:
        return (datetime.date.fromisoformat(value) + datetime.timedelta(days)).isoformat()
    except ValueError:
        return value


def _shifted(value: Any, factor: float) -> Any:
    if isinstance(value, dict) and "value" in value:
        return value | {"value": _shifted(value["value"], factor)}
    if isinstance(value, int | float) and not isinstance(value, bool):
        return round(value * factor, 4)
    found = PLAIN.fullmatch(value) if isinstance(value, str) else None
    return f"{float(found[1]) * factor:.4f} {found[2]}" if found else value


def run(told: Told) -> None:
    own, same = checker(), texts()
    jobs = houses(same, 40)
    met, found = jobs[: 10 * len(same)], jobs[10 * len(same) :]
    told.heading(f"The shipped rulebook on {len(found)} jobs not met before, made of {len(same)} real ones, one core")
    judge = Judge(Setup(JsonLines(), ON), own, Inherited())
    for text in met:  # rules are bound and functions written once a run, however many jobs it has
        written(judge, text)
        own.outcomes(_read(text), ON)
    parts = [found[at::5] for at in range(5)]  # each is met once only: what was said of it is not remembered
    contenders = [
        Contender(TO_A_LINE, lambda text: written(judge, text), parts[0]),
        Contender(TO_OUTCOMES, lambda text: own.outcomes(_read(text), ON), parts[1]),
        Contender("  read and validated", _read, parts[2]),
        Contender(
            "  judged, findings without their words", lambda job: own.check_job(job, ON), [*map(_read, parts[3])]
        ),
        Contender("  judged, outcomes alone", lambda job: own.outcomes(job, ON), [*map(_read, parts[4])]),
    ]
    rates = per_second(contenders, seconds=1.0)
    told.rates(rates, TO_A_LINE, "jobs")
    told.goal("jobs a second and core, bytes to findings in a line of JSON", rates[TO_A_LINE], 1500)
    told.goal("jobs a second and core, bytes to outcomes", rates[TO_OUTCOMES], 4000)
    _workers(told, found, judge, rates[TO_A_LINE])


TO_A_LINE, TO_OUTCOMES = "from bytes to findings in a line of JSON", "from bytes to outcomes"


def _read(text: bytes) -> Job:
    return load(read_job_text(text, "job.json"), checker().vocabulary)


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
        told.goal(f"times an empty Python, {name}", seconds / nothing, 7, at_most=True)


def _check(job: Path) -> float:
    code = f"import sys; sys.argv = ['changeout', 'check', {str(job)!r}, '--on', '{ON}']; from checker.cli import main; main()"
    _command(code)
    return median_seconds(lambda: _command(code))


def _command(code: str) -> None:
    """A process with its modules compiled, as an installed program has them."""
    compiled = Path(tempfile.gettempdir()) / "changeout-benchmark-modules"
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    environment["PYTHONPYCACHEPREFIX"] = str(compiled)
    subprocess.run(
        [sys.executable, "-c", code], env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, check=False
    )
