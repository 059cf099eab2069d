"""What commands that only read many jobs share: each job in turn, whatever file it stands in, with a bar that shows how far."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TypeVar

import click

from checker.batch.sources import Item, document, items, placed, weight
from checker.problems.document import Document
from checker.problems.problem import ProblemsFound

Loaded = TypeVar("Loaded")


def each(
    paths: tuple[str, ...], load: Callable[[Document], Loaded], *own: Path | None
) -> Iterator[Loaded | ProblemsFound]:
    """Each job that the words of the command line name, or what is wrong with it; only one is held at a time.

    Args:
        load: Makes a job, or whatever is wanted of it, of what was read, and raises ProblemsFound where it cannot.
        own: Files that this run writes, which are no jobs wherever they stand.
    """
    for item in _watched(paths, tuple(filter(None, own))):
        try:
            yield load(document(item))
        except ProblemsFound as found:
            yield placed(item, found)


def _watched(paths: tuple[str, ...], own: tuple[Path, ...]) -> Iterator[Item]:
    """The jobs, with a bar on standard error where that is a terminal and how much there is can be told."""
    length = weight(paths) if sys.stderr.isatty() else 0
    if not length:
        yield from items(paths, sys.stdin.buffer, own)
        return
    with click.progressbar(length=length, file=sys.stderr, label="Judging") as bar:
        for item in items(paths, sys.stdin.buffer, own):
            yield item
            bar.update(item.weight)
