"""What the tests share: the invented trade, and the shipped rulesets, each read once."""

from __future__ import annotations

import datetime
import json
import os
import tempfile
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import is_hypothesis_test, settings

from checker.engine.checker import Checker
from checker.findings.report import Report
from checker.reading import cache
from checker.reading.files import read_text
from tests.support.opening import rulesets_shared
from tests.support.rulesets import ON, Judge, shipped_rulesets, tiny_rulesets

pytest_plugins = ["tests.support.left_out"]

# Random examples for those who work here, the same ones every time for CI; no time limit, since machines differ.
# Among the quick tests each is tried with a few, among the long ones all of them again with many.
FEW, MANY = 40, 150


def pytest_configure(config: pytest.Config) -> None:
    examples = MANY if config.option.markexpr == "long" else FEW
    settings.register_profile("tests", deadline=None, derandomize=bool(os.environ.get("CI")), max_examples=examples)
    settings.load_profile("tests")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Before marks are looked at."""
    for item in items if config.option.markexpr == "long" else ():
        if is_hypothesis_test(getattr(item, "obj", None)):
            item.add_marker("long")


# What is kept from run to run is kept for these tests alone, in one folder for all workers, and goes with them.
if "PYTEST_XDIST_WORKER" not in os.environ:
    KEPT = tempfile.TemporaryDirectory(prefix="changeout-tests-")
    os.environ[cache.SETTING] = KEPT.name


@pytest.fixture(scope="session", autouse=True)
def shared() -> Iterator[None]:
    """Rulesets are opened once in each worker."""
    with rulesets_shared():
        yield


@pytest.fixture(scope="session")
def tiny() -> Checker:
    """Lanterns at a festival: three facts, three rules, no air conditioner."""
    return tiny_rulesets()


@pytest.fixture(scope="session")
def shipped() -> Checker:
    """The rulesets and the job schema as shipped."""
    return shipped_rulesets()


def _judge(checker: Checker) -> Judge:
    def judge(facts: dict[str, Any], on: datetime.date = ON) -> Report:
        job = {"job_id": "test", "schema_version": 1, **facts}
        return checker.check(read_text(json.dumps(job).encode(), "job.json"), on)

    return judge


@pytest.fixture(scope="session")
def judge_tiny(tiny: Checker) -> Judge:
    return _judge(tiny)


@pytest.fixture(scope="session")
def judge(shipped: Checker) -> Judge:
    """Facts of a job → its report under the shipped rulesets."""
    return _judge(shipped)
