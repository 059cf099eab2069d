"""Many jobs judged, one after another or by several processes, in the order in which they came."""

from __future__ import annotations

from collections.abc import Generator, Iterable

from checker.batch.running import Done, Judge
from checker.batch.sources import Item


def judged(items: Iterable[Item], judge: Judge, workers: int = 1) -> Generator[tuple[Item, Done], None, None]:
    """Each job with what came of it, in the order of the jobs.

    Raises:
        ProblemsFound: A process ended without an answer. What came before it is whole.
    """
    if workers == 1:
        yield from ((item, judge.done(item)) for item in items)
        return
    from checker.batch.processes import judged_by_several  # a run of one process does without

    yield from judged_by_several(items, judge, workers)
