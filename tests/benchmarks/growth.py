"""How time and memory grow: with the number of jobs, of rules and of facts."""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.benchmarks.measure import Contender, Told, per_second
from tests.benchmarks.ours import Ours
from tests.benchmarks.workload import documents, workload

# A process of its own for each, since memory once taken is not given back.
STREAM = """
import json, resource, sys, time
from pathlib import Path
from checker.engine.checker import Checker
from checker.rulesets.library import job_vocabulary, open_library
from checker.reading.files import read_text
from tests.benchmarks.ours import ON
folder, times = Path(sys.argv[1]), int(sys.argv[2])
own = Checker(open_library([folder / "rulesets"]), job_vocabulary(folder / "job.schema.json"))
lines = (folder / "documents.jsonl").read_bytes().splitlines()
def stream():
    for index in range(times):
        yield lines[index % len(lines)].replace(b'"job-', b'"job-%d-' % index, 1)
for line in lines:
    own.check(read_text(line, "job.json"), ON)
began = time.process_time()
for line in stream():
    own.check(read_text(line, "job.json"), ON)
print(time.process_time() - began, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)
"""


def run(told: Told) -> None:
    _jobs(told)
    told.heading("Growth with rules and facts: a line of JSON to a line of JSON")
    print(f"  {'rules':>6} {'facts':>6}  {'µs a document':>14}  {'µs a rule':>10}")
    for times in (1, 2, 4, 8):
        _one(rules=42 * times // 2, item_rules=18 * times // 2, facts=84)
    for times in (1, 2, 4, 8):
        _one(rules=42, item_rules=18, facts=84 * times)


def _one(rules: int, item_rules: int, facts: int) -> None:
    work = workload(facts=facts, rules=rules, item_rules=item_rules)
    lines = [json.dumps(document).encode() for document in documents(work, 100, items=(4,))]
    with tempfile.TemporaryDirectory() as folder:
        own = Ours(work, Path(folder) / "bench")
        rate = per_second([Contender("ours", own.end_to_end, lines)])["ours"]
    print(
        f"  {rules + item_rules:>6} {facts + 36:>6}  {1e6 / rate:>14,.0f}  {1e6 / rate / (rules + item_rules):>10,.2f}"
    )


def _jobs(told: Told) -> None:
    told.heading("Growth with jobs: a stream of the workload's documents")
    work = workload()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "bench"
        Ours(work, folder)
        lines = [json.dumps(document).encode() for document in documents(work, 100)]
        (folder / "documents.jsonl").write_bytes(b"\n".join(lines))
        print(f"  {'jobs':>6}  {'µs a job':>10}  {'memory, MiB':>12}")
        peaks = []
        for times in (100, 200, 400, 800):
            seconds, peak = _streamed(folder, times)
            peaks.append(peak)
            print(f"  {times:>6}  {seconds * 1e6 / times:>10,.0f}  {peak:>12,.1f}", flush=True)
    told.goal("times the memory for a stream eight times as long", peaks[-1] / peaks[0], 1.1, at_most=True)


def _streamed(folder: Path, times: int) -> tuple[float, float]:
    """The seconds that a warm process took for a stream of so many documents, and its most memory in MiB."""
    command = [sys.executable, "-c", STREAM, str(folder), str(times)]
    found = subprocess.run(command, capture_output=True, text=True, check=True, cwd=Path(__file__).parent.parent.parent)
    seconds, peak = map(float, found.stdout.split())
    return seconds, peak
