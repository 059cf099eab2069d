"""The rulesets that tests judge by, each opened once in a worker, and the day on which tests stand still."""

from __future__ import annotations

import datetime
import functools
from collections.abc import Callable
from pathlib import Path

from checker.authoring import cases
from checker.engine import startup
from checker.engine.checker import Checker
from checker.findings.report import Report
from checker.reading.job_schema import job_vocabulary
from checker.rulesets.library import SHIPPED, open_library
from tests.support.opening import rulesets_shared

STATES = SHIPPED / "states" / "us"
TINY = Path(__file__).parents[1] / "tiny"
ON = datetime.date(2026, 11, 25)

Judge = Callable[..., Report]


@functools.cache
def tiny_rulesets() -> Checker:
    """Lanterns at a festival: three facts, three rules, no air conditioner."""
    return Checker(open_library([TINY / "rulesets"]), job_vocabulary(TINY / "job.schema.json"))


@functools.cache
def shipped_rulesets() -> Checker:
    """The rulesets and the job schema as shipped: what commands judge by too, where they name no other."""
    with rulesets_shared():
        return startup.open_checker()


def ruleset_files() -> list[Path]:
    """The files of the shipped rulesets. What is published of real states stands apart: it is no ruleset's."""
    return [path for path in sorted(SHIPPED.rglob("*.yaml")) if not path.is_relative_to(STATES)]


@functools.cache
def stated_cases() -> tuple[cases.Stated, ...]:
    """Every worked case of the shipped rulesets."""
    rulesets = sorted(shipped_rulesets().library.rulesets.items())
    return tuple(one for _, ruleset in rulesets for one in cases.stated(ruleset))
