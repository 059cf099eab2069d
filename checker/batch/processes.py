"""Jobs judged by several processes, in the order in which they came.

Each process opens the rulesets once. What goes to it is the bytes of some jobs, what comes back their texts and what they
add to the totals: a report never travels. Only so many jobs are on their way at a time, so that a run of any length has
the memory of a short one.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections import deque
from collections.abc import Generator, Iterable, Iterator, Mapping
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing.connection import wait
from multiprocessing.synchronize import Event

from checker.batch.running import Done, Judge, Setup
from checker.batch.sources import Item
from checker.engine.checker import Checker
from checker.problems.problem import ProblemsFound, refused

CHUNK = 16  # jobs that go to a process at once
MOST_IN_CHUNK = 1024 * 1024  # bytes of jobs that go to a process at once, but for one job alone


def judged_by_several(items: Iterable[Item], judge: Judge, workers: int) -> Generator[tuple[Item, Done], None, None]:
    """Each job with what came of it, in the order of the jobs.

    Raises:
        ProblemsFound: A process ended without an answer. What came before it is whole.
    """
    context = multiprocessing.get_context("spawn")
    over = context.Event()
    pool = ProcessPoolExecutor(workers, context, _begin, (judge.setup, _state(judge.checker), over))
    try:
        yield from _in_order(pool, chunks(items), 2 * workers)
    except BrokenProcessPool:
        what, hint = "A process ended without an answer.", "Check the machine's memory; --workers 1 needs the least."
        raise refused("--workers", what, hint) from None
    finally:
        over.set()
        pool.shutdown(cancel_futures=True)


def chunks(items: Iterable[Item]) -> Iterator[list[Item]]:
    """Jobs in handfuls of at most `CHUNK` jobs and `MOST_IN_CHUNK` bytes."""
    chunk: list[Item] = []
    size = 0
    for item in items:
        if chunk and (len(chunk) == CHUNK or size + len(item.content) > MOST_IN_CHUNK):
            yield chunk
            chunk, size = [], 0
        chunk.append(item)
        size += len(item.content)
    if chunk:
        yield chunk


def _in_order(pool: ProcessPoolExecutor, many: Iterator[list[Item]], most: int) -> Iterator[tuple[Item, Done]]:
    """What the processes answer, in the order of the jobs; at most so many handfuls are on their way."""
    waiting: deque[tuple[list[Item], Future[list[Done]]]] = deque()
    for chunk in many:
        with _unheard():
            waiting.append((chunk, pool.submit(_work, chunk)))
        if len(waiting) >= most:
            first, answer = waiting.popleft()
            yield from zip(first, answer.result(), strict=True)
    for first, answer in waiting:
        yield from zip(first, answer.result(), strict=True)


# --- in a process of its own -----------------------------------------------------------------------------------------

# What this process judges by (None: not what the run began with), and whether the run is over and nobody waits for an answer.
_here: list[tuple[Judge | None, Event]] = []


def _begin(setup: Setup, state: Mapping[str, str], over: Event) -> None:
    """Open what the run judges by; `state` is the digest of each ruleset as the run began."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_the_run, daemon=True).start()
    try:
        judge = Judge(setup)
    except ProblemsFound:  # all of it could be read when the run began
        judge = None
    _here.append((judge if judge and _state(judge.checker) == state else None, over))


def _end_with_the_run() -> None:
    """End this process when the one that began it is gone, by whatever signal: its end of the queue would never close."""
    parent = multiprocessing.parent_process()
    if parent:
        wait([parent.sentinel])
        os._exit(1)


def _state(checker: Checker) -> dict[str, str]:
    return {name: ruleset.digest for name, ruleset in checker.library.rulesets.items()}


def _work(chunk: list[Item]) -> list[Done]:
    """
    Raises:
        ProblemsFound: What is judged by is not what the run began with.
    """
    ((judge, over),) = _here
    if judge is None:
        what = "The rulesets changed during this run; its jobs would not all be judged the same way."
        raise refused("--workers", what, "Run it again when nobody works on the rulesets.")
    return [judge.done(item) for item in chunk if not over.is_set()]


@contextmanager
def _unheard() -> Iterator[None]:
    """Ignore SIGINT in worker processes from the moment they start; only the writing process handles it."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
