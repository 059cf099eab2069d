"""Many jobs judged, one after another or by several processes, in the order in which they came.

Each process opens the rulesets once. What goes to it is the bytes of some jobs, what comes back their texts and what they
add to the totals: a report never travels. Only so many jobs are on their way at a time, so that a run of any length has
the memory of a short one.
"""

from __future__ import annotations

import datetime
import multiprocessing
import signal
from collections import deque
from collections.abc import Generator, Iterable, Iterator, Mapping
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing.synchronize import Event
from pathlib import Path
from typing import NamedTuple

from checker.batch import baseline
from checker.batch.sources import Item, document, place, placed
from checker.engine.checker import Checker
from checker.engine.startup import open_checker, open_inherited
from checker.problems.problem import Problem, ProblemsFound, refused
from checker.reading.inherited import inheritance
from checker.reading.inherited.inheritance import Inherited
from checker.reporting.form import Form, Judged, Once
from checker.reporting.totals import Share, share

CHUNK = 16  # jobs that go to a process at once
MOST_IN_CHUNK = 1024 * 1024  # bytes of jobs that go to a process at once, but for one job alone


class Setup(NamedTuple):
    """What a run judges by and in which form it tells it: all that a process of it has to know."""

    form: Form
    on: datetime.date
    folders: tuple[Path, ...] = ()
    wanted: tuple[str, ...] = ()
    equipment: tuple[Path, ...] = ()
    profile: Path | None = None
    place: str = ""
    settings: str = ""
    strict: bool = False
    baseline: Path | None = None
    entries: bool = False


class Done(NamedTuple):
    """What came of one job: its text in the form of the run, and its share of the totals or what is wrong with it.

    `entries` are the lines that it adds to a baseline, `once` what its text, or that of a later job, refers to.
    """

    name: str
    text: str
    share: Share | None
    problems: tuple[Problem, ...] = ()
    entries: str = ""
    once: tuple[Once, ...] = ()


class Judge:
    """The rulesets and all else that a run judges by, opened.

    Raises:
        ProblemsFound: Everything wrong with any of it.
    """

    def __init__(self, setup: Setup, checker: Checker | None = None, inherited: Inherited | None = None) -> None:
        self.setup = setup
        self.checker = checker or open_checker(setup.folders, setup.wanted)
        self.inherited = inherited or open_inherited(
            self.checker, setup.equipment, setup.profile, setup.place, setup.settings
        )
        self.baseline = baseline.read(setup.baseline) if setup.baseline else None

    def judged(self, item: Item) -> Judged:
        """One job judged.

        Raises:
            ProblemsFound: It cannot be read or judged.
        """
        try:
            with guarded(item.name):
                read = document(item)
                job = inheritance.load_job(read, self.checker.vocabulary, self.inherited)
                report = self.checker.check_job(job, self.setup.on)
        except ProblemsFound as error:
            raise placed(item, error) from None
        known = None if self.baseline is None else baseline.known(report, self.baseline)
        return Judged(report, job, item.name, self.checker, lambda fact: place(item, read.where(_path(fact))), known)

    def done(self, item: Item) -> Done:
        """One job judged and told in the form of the run."""
        try:
            one = self.judged(item)
            with guarded(item.name):
                return self._told(item, one)
        except ProblemsFound as error:
            return unreadable(item.name, error, self.setup.form)

    def _told(self, item: Item, one: Judged) -> Done:
        known = one.known or frozenset()
        code = baseline.exit_code(one.report, known, self.setup.strict)
        form = self.setup.form
        return Done(
            item.name,
            form.job(one),
            share(one.report, code, len(known)),
            entries=baseline.lines(one.report) if self.setup.entries else "",
            once=form.once(one),
        )


@contextmanager
def guarded(name: str) -> Iterator[None]:
    """A fault of the program is the fault of one job, and not the end of the run.

    Raises:
        ProblemsFound: There was one.
    """
    try:
        yield
    except ProblemsFound:
        raise
    except Exception as error:
        what = f"This job cannot be judged: a fault of this program ({type(error).__name__}: {error})."
        raise refused(name, what, "Please report it, with the job.") from error


def unreadable(name: str, error: ProblemsFound, form: Form) -> Done:
    """What came of a job that could not be read or judged."""
    return Done(name, form.unreadable(name, error), None, tuple(error.problems))


def judged(items: Iterable[Item], judge: Judge, workers: int = 1) -> Generator[tuple[Item, Done], None, None]:
    """Each job with what came of it, in the order of the jobs.

    Raises:
        ProblemsFound: A process ended without an answer. What came before it is whole.
    """
    if workers == 1:
        yield from ((item, judge.done(item)) for item in items)
        return
    context = multiprocessing.get_context("spawn")
    over = context.Event()
    pool = ProcessPoolExecutor(workers, context, _begin, (judge.setup, _state(judge.checker), over))
    try:
        yield from _in_order(pool, chunks(items), 2 * workers)
    except BrokenProcessPool:
        what, hint = "A process ended without an answer.", "Look at the memory of the machine; --workers 1 needs least."
        raise refused("--workers", what, hint) from None
    finally:
        over.set()
        pool.shutdown(cancel_futures=True)


def chunks(items: Iterable[Item]) -> Iterator[list[Item]]:
    """Jobs by the handful, bounded in number and in bytes."""
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
    try:
        judge = Judge(setup)
    except ProblemsFound:  # all of it could be read when the run began
        judge = None
    _here.append((judge if judge and _state(judge.checker) == state else None, over))


def _state(checker: Checker) -> dict[str, str]:
    return {name: ruleset.digest for name, ruleset in checker.library.rulesets.items()}


def _work(chunk: list[Item]) -> list[Done]:
    """
    Raises:
        ProblemsFound: What is judged by is not what the run began with.
    """
    ((judge, over),) = _here
    if judge is None:
        what = "What this run judges by was changed while it went on; its jobs would not all be judged alike."
        raise refused("--workers", what, "Run it again when nobody works on the rulesets.")
    return [judge.done(item) for item in chunk if not over.is_set()]


@contextmanager
def _unheard() -> Iterator[None]:
    """Ctrl-C is for the process that writes: one that is begun in here never hears it, also before it is set up."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _path(fact: str) -> tuple[str | int, ...]:
    return tuple(int(part) if part.isdigit() else part for part in fact.split(".")) if fact else ()
