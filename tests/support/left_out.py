"""What a run leaves out is said in a line or two at its end, also where several workers run it; a plugin of pytest."""

from __future__ import annotations

import functools
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
WITH_COOLPROP = ("tests/trade/", "tests/test_demo.py", "tests/test_compute")
LEFT_OUT = pytest.StashKey[Counter[str]]()


def lines(left_out: Counter[str], skipped: Counter[str]) -> list[str]:
    """What to say of tests that were not asked for, by "long" and "browser", and of those that were skipped, by reason."""
    browser, found = left_out["browser"], []
    if left_out.total():
        opened = f", {browser} of them in a browser" if browser else ""
        found.append(f"Left out: {left_out.total()} tests that take many seconds{opened}. Run them with -m long.")
    return found + [f"Skipped: {number}, because {why}." for why, number in sorted(skipped.items())]


def pytest_configure(config: pytest.Config) -> None:
    config.stash[LEFT_OUT] = Counter()


def pytest_deselected(items: Sequence[pytest.Item]) -> None:
    for item in items:
        if item.get_closest_marker("long"):
            item.config.stash[LEFT_OUT]["browser" if item.get_closest_marker("browser") else "long"] += 1


def pytest_sessionfinish(session: pytest.Session) -> None:
    output: dict[str, Any] | None = getattr(session.config, "workeroutput", None)
    if output is not None:
        output["left_out"] = dict(session.config.stash[LEFT_OUT])


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any) -> None:
    """A worker has ended. Each of them leaves out the same tests."""
    node.config.stash[LEFT_OUT] |= Counter(getattr(node, "workeroutput", {}).get("left_out", {}))


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """What the tests of a worker share is made once; the most of a kind begin first, so that single ones fill the end."""
    from xdist.scheduler import LoadFileScheduling

    shared = shared_by if config.option.markexpr == "not long" else shared_by_long_ones

    class Together(LoadFileScheduling):  # type: ignore[misc]
        def _split_scope(self, nodeid: str) -> str:
            return shared(nodeid)

    return Together(config, log)


def shared_by(nodeid: str) -> str:
    """What quick tests of one worker share: a file, or CoolProp, which takes seconds to open."""
    file = nodeid.split("::")[0]
    return "CoolProp" if file.startswith(WITH_COOLPROP) else file


def shared_by_long_ones(nodeid: str) -> str:
    """Long tests are spread one by one, except in a file that makes something once for all of its tests."""
    file = nodeid.split("::")[0]
    return file if makes_something_once(file) else nodeid


@functools.cache
def makes_something_once(file: str) -> bool:
    text = (ROOT / file).read_text(encoding="utf-8")
    return 'scope="module"' in text or 'scope="session"' in text


def pytest_terminal_summary(terminalreporter: Any) -> None:
    reasons = (report.longrepr[2] for report in terminalreporter.stats.get("skipped", ()))
    skipped = Counter(reason.removeprefix("Skipped: ") for reason in reasons)
    for line in lines(terminalreporter.config.stash[LEFT_OUT], skipped):
        terminalreporter.write_line(line)
