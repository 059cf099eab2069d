"""One guard before every command: nothing that is read is written over.

An option that names what is written has the type `Output`; every other path on the line is read. The guard looks before the
command begins, so that nobody waits for a run that is refused at its end.
"""

from __future__ import annotations

import glob
import os
from collections.abc import Iterable, Iterator
from itertools import combinations
from pathlib import Path
from typing import Any

import click

from checker.commands.partial_file import is_straight
from checker.problems.problem import refused

STANDARD_OUTPUT = "-"
READ_IN_FOLDERS = (".json", ".jsonl", ".gz", ".yaml", ".yml", ".toml")
LOOKED_AT = 4096


class Output(click.Path):
    """The type of an option that names a file or folder to write; `-` is standard output, which commands take as None.

    Args:
        renews: The parameter that names what the file may be written over although it is read.
    """

    def __init__(self, *, renews: str = "", **words: Any) -> None:
        super().__init__(path_type=Path, **words)
        self.renews = renews

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        return None if str(value) == STANDARD_OUTPUT else super().convert(value, param, ctx)


def look(ctx: click.Context, also_read: Iterable[Path] = ()) -> None:
    """Look at a command line before its command begins.

    Args:
        ctx: The command with its options.
        also_read: What the command reads besides what stands on the line.

    Raises:
        ProblemsFound: It would write over a file that it reads, over a job or a ruleset, or over what is no text; or two of
            its outputs are one file.
    """
    places = list(_written(ctx))
    for option, place, may_renew in places:
        _look_at(option, place, [*_read(ctx, may_renew), *also_read])
    for (option, place, _), (other, at, _) in combinations(places, 2):
        if _same_file(place, at):
            raise refused(place, f"{option} and {other} name one file.", "Give each a file of its own.")


def _written(ctx: click.Context) -> Iterator[tuple[str, Path, str]]:
    """Each output of a line that is a file or folder: its option, its place, and what it may renew."""
    for param in ctx.command.params:
        place = ctx.params.get(param.name or "")
        if isinstance(param.type, Output) and place and not is_straight(place):
            yield param.opts[0], place, param.type.renews


def _read(ctx: click.Context, but: str) -> Iterator[Path]:
    """Every word of a line that may name something to read, with what a pattern stands for."""
    for param in ctx.command.params:
        if param.name == but or isinstance(param.type, Output):
            continue
        if isinstance(param.type, (click.Path, click.types.StringParamType)):
            given = ctx.params.get(param.name or "")
            for word in given if isinstance(given, tuple) else (given,):
                yield from _named(str(word)) if word and str(word) != STANDARD_OUTPUT else ()


def _named(word: str) -> Iterator[Path]:
    if glob.has_magic(word) and not os.path.lexists(word):
        yield from map(Path, glob.iglob(word, recursive=True))
    else:
        yield Path(word)


def _look_at(option: str, place: Path, read: Iterable[Path]) -> None:
    another = f"Name another one for {option}."
    for one in read:
        if _same_file(place, one):
            raise refused(place, "This command reads it, and would write over it.", another)
        if _is_inside(place, one) and place.suffix.lower() in READ_IN_FOLDERS and not _is_ours(place):
            raise refused(place, f"This command reads {one}, and would write over it.", another)
    if place.is_file() and b"\0" in _beginning(place):
        raise refused(place, "It is there already, and it is a picture or something else that is not text.", another)


def _same_file(one: Path, other: Path) -> bool:
    from checker.batch.sources import same_file

    return same_file(one, other)


def _is_inside(place: Path, folder: Path) -> bool:
    return (
        place.is_file() and folder.is_dir() and Path(os.path.realpath(folder)) in Path(os.path.realpath(place)).parents
    )


def _is_ours(place: Path) -> bool:
    """Whether a file is empty, or a report of an earlier run."""
    from checker.batch.sources import ours

    begins = _beginning(place)
    return not begins.strip() or bool(ours(begins))


def _beginning(place: Path) -> bytes:
    try:
        with place.open("rb") as file:
            return file.read(LOOKED_AT)
    except OSError:  # told of where it is written
        return b""
