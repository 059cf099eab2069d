"""Random jobs judged in JavaScript and in Python: what is said of them is the same.

    python -m tests.long.phone --jobs 10000 [--seed 1] [--minutes 30] [--reasons-every 10] [--words-every 100]

The outcome of every finding of every job, of some the reasons and needs, of some every word. Prints each job that
differs, and now and then how many jobs and findings were held; ends when the time is up. Exit code 1 where one differs.
"""

from __future__ import annotations

import argparse
import math
import random
import sys
import time

from tests.long.random_jobs import worked
from tests.support.javascript import InJavaScript
from tests.support.phone_jobs import Phone, differing, less_recorded
from tests.support.rulesets import shipped_rulesets

TOGETHER = 200  # jobs that are made at once, so that those of one place are handed over together


def main() -> int:
    """Hold as many jobs as asked for against each other."""
    read = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    read.add_argument("--jobs", type=int, default=1000)
    read.add_argument("--seed", default="1")
    read.add_argument("--minutes", type=float, default=math.inf)
    read.add_argument("--reasons-every", type=int, default=10)
    read.add_argument("--words-every", type=int, default=100)
    given = read.parse_args()
    until = time.monotonic() + given.minutes * 60
    phone, bases = Phone(shipped_rulesets(), InJavaScript()), worked()
    wrong, number = 0, 0
    while number < given.jobs and time.monotonic() < until:
        many = range(number, min(number + TOGETHER, given.jobs))
        jobs = [less_recorded(random.Random(f"{given.seed} {one}"), bases, phone.checker) for one in many]
        for name, found in differing(phone, jobs, reasons_every=given.reasons_every, words_every=given.words_every):
            wrong += 1
            print(f"{name}: {found}", flush=True)
        number += len(jobs)
        print(f"{number} jobs so far, {wrong} with a difference; held: {dict(phone.held)}", flush=True)
    print(f"Seed {given.seed}, {number} jobs: {wrong} with a difference.")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
