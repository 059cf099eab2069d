"""Jobs out of files, one at a time, so that an archive of any size is gone through in the memory of one job."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from checker.job import Job
from checker.problems import Problem, ProblemsFound
from checker.source import Document, read_file, read_text


def jobs(named: Iterable[tuple[str, Path | None]], load: Callable[[Document], Job]) -> Iterator[Job | ProblemsFound]:
    """Each job, or everything that is wrong with it; what is wrong with one does not stop the others.

    Args:
        named: Each job's name and file, None for standard input.
        load: Makes a job of what was read, and raises ProblemsFound where it cannot.
    """
    for name, path in named:
        try:
            document = read_text(sys.stdin.buffer.read(), name) if path is None else read_file(path, name)
            yield load(document)
        except ProblemsFound as found:
            yield found


class Unusable:
    """The jobs that could not be used: how many, and each problem once, though many jobs may meet it."""

    def __init__(self) -> None:
        self.count = 0
        self._said: set[Problem] = set()

    def add(self, found: ProblemsFound) -> ProblemsFound:
        """Count one job; what is handed back is what was not said before."""
        fresh = [problem for problem in found.problems if problem not in self._said]
        self.count += 1
        self._said.update(fresh)
        return ProblemsFound(fresh)
