"""`python -m tests.benchmarks`: everything, or the parts that are named."""

from __future__ import annotations

import argparse
import platform
import sys

from tests.benchmarks import by_hand, growth, neutral, phone, real
from tests.benchmarks.measure import Told
from tests.benchmarks.workload import workload

PARTS = ("neutral", "real", "start", "growth", "phone")


def main() -> int:
    """Exit code 0 where every goal was reached, 1 where not."""
    options = _options()
    if options.show:
        print(by_hand.source(workload()))
        return 0
    told = Told()
    print(
        f"Python {platform.python_version()}, {platform.machine()}. Medians of five; only ratios of one run say something."
    )
    parts = options.parts or PARTS
    if "neutral" in parts:
        neutral.run(told, options.documents)
    if "real" in parts:
        real.run(told)
    if "start" in parts:
        real.start(told)
    if "growth" in parts:
        growth.run(told)
    if "phone" in parts:
        phone.run(told)
    told.last()
    return 0 if all(reached for *_, reached in told.goals) else 1


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("parts", nargs="*", choices=[[], *PARTS], help="what to run; everything without it")
    parser.add_argument("--documents", type=int, default=1000, help="documents of the workload (default: 1000)")
    parser.add_argument("--show", action="store_true", help="print the hand-written Python and end")
    return parser.parse_args()


if __name__ == "__main__":
    sys.exit(main())
