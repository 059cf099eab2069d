"""What commands that only read many jobs share: each job in turn, whatever file it stands in, with a bar that shows how far."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TypeVar

import click

from checker.batch.sources import Item, document, items, placed, weight
from checker.commands.errors import complain
from checker.problems.document import Document
from checker.problems.problem import Problem, ProblemsFound

Made = TypeVar("Made")


class EachJob:
    """The jobs that the words of the command line name, one at a time.

    What is wrong with one is told and does not stop the others; what many jobs meet is told once. `used` and `unusable` count
    jobs once they have been gone through. `own` are files that this run writes: they are no jobs wherever they stand.
    """

    def __init__(self, paths: tuple[str, ...], *own: Path | None) -> None:
        self.used = self.unusable = 0
        self._paths, self._own = paths, tuple(filter(None, own))
        self._told: set[Problem] = set()

    def made(self, make: Callable[[Document], Made]) -> Iterator[Made]:
        """What `make` makes of each job that can be used.

        Args:
            make: Takes what was read of a job; raises ProblemsFound where the job cannot be used.
        """
        yield from self.made_of(_watched(self._paths, self._own), make)

    def made_of(self, items: Iterable[Item], make: Callable[[Document], Made]) -> Iterator[Made]:
        """The same of jobs that were found otherwise."""
        for item in items:
            try:
                made = make(document(item))
            except ProblemsFound as error:
                self._tell(placed(item, error))
            else:
                self.used += 1
                yield made

    def hand_over(self, take: Callable[[Document], object]) -> None:
        """Hand each job that can be used to `take`, which raises ProblemsFound where it cannot use it."""
        for _ in self.made(take):
            pass

    def _tell(self, error: ProblemsFound) -> None:
        fresh = [problem for problem in error.problems if problem not in self._told]
        self.unusable += 1
        self._told.update(fresh)
        complain(ProblemsFound(fresh))


def _watched(paths: tuple[str, ...], own: tuple[Path, ...]) -> Iterator[Item]:
    """The jobs, with a bar that shows how far they are."""
    with bar(paths, "Judging") as gone:
        for item in items(paths, sys.stdin.buffer, own):
            yield item
            gone(item.weight)


@contextmanager
def bar(paths: tuple[str, ...], label: str, wanted: bool = True) -> Iterator[Callable[[int], None]]:
    """A progress bar on standard error, where that is a terminal and the files' sizes are known.

    Gives the function that moves it on by the weight (bytes) of a job.
    """
    length = weight(paths) if wanted and sys.stderr and sys.stderr.isatty() else 0
    if not length:
        yield lambda _: None
        return
    with click.progressbar(length=length, file=sys.stderr, label=label) as shown:
        yield shown.update
