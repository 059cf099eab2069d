"""Random jobs judged in JavaScript and in Python: every word of every finding is the same.

    python -m tests.long.phone --jobs 1000 [--seed 1] [--minutes 30]

Prints the first difference of each job that has one, every thousand jobs how many there were, and at the end, or when the time
is up, how many findings of each outcome were held against each other; exit code 1 where one differs. A thousand jobs take about
ten minutes.
"""

from __future__ import annotations

import argparse
import math
import random
import sys
import time
from collections import Counter
from typing import Any

from tests.long.random_jobs import worked
from tests.support.javascript import InJavaScript
from tests.support.phone_jobs import Phone, difference, judged_here, less_recorded
from tests.support.rulesets import shipped_rulesets

TOLD_EVERY = 1000


def main() -> int:
    """Hold as many jobs as asked for against each other."""
    read = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    read.add_argument("--jobs", type=int, default=1000)
    read.add_argument("--seed", default="1")
    read.add_argument("--minutes", type=float, default=math.inf)
    given = read.parse_args()
    until = time.monotonic() + given.minutes * 60
    phone, bases = Phone(shipped_rulesets(), InJavaScript()), worked()
    counts, differing, number = Counter[str](), 0, 0
    while number < given.jobs and time.monotonic() < until:
        job = less_recorded(random.Random(f"{given.seed} {number}"), bases, phone.checker)
        wanted = judged_here(phone.checker, job)
        counts.update(one["outcome"] for one in wanted[1:])
        found = difference(wanted, phone.judged(job))
        if found:
            differing += 1
            print(f"Job {number}: {told(found)}", flush=True)
        number += 1
        if number % TOLD_EVERY == 0 or number == given.jobs:
            print(f"{number} jobs so far, {differing} with a difference", flush=True)
    print(f"{number} jobs, seed {given.seed}: {differing} with a difference. Findings: {dict(counts)}")
    return 1 if differing else 0


def told(found: tuple[Any, Any]) -> str:
    """The fields in which two findings differ."""
    here, there = found
    if not (here and there):
        return f"one finding more: {here or there}"
    return f"{here.get('rule', 'the report')} {here.get('item', '')}: " + str(
        {name: (here[name], there[name]) for name in here if here[name] != there[name]}
    )


if __name__ == "__main__":
    sys.exit(main())
