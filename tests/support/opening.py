"""Rulesets read once and made ready once in a worker, however many commands its tests run.

A ruleset is known again by its folder and the digest of its files, a checker by the rulesets that it stands on, so that a
test that changes a file meets the changed one. Judging changes nothing in a checker but what it has made ready.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from checker.engine import startup
from checker.engine.checker import Checker
from checker.reading.vocabulary import Vocabulary
from checker.rulesets import library
from checker.rulesets.library import Library
from checker.rulesets.ruleset import Ruleset

read_anew, MOST_CHECKERS = library._read, 8
CHECKERS: dict[tuple[Any, ...], tuple[Checker, Library]] = {}


@functools.lru_cache(maxsize=256)
def _read_once(folder: Path, shown: str, digest: str) -> Ruleset:
    return read_anew(folder, shown)


def _read(folder: Path, shown: str) -> Ruleset:
    return _read_once(folder, shown, library.digest_of(folder, shown))


def _checker(found: Library, vocabulary: Vocabulary, wanted: tuple[str, ...] = (), kept: bool = False) -> Checker:
    if found.released:
        return Checker(found, vocabulary, wanted, kept)
    key = (*map(id, found.rulesets.values()), vocabulary.digest, found.schema, wanted, kept)
    made = CHECKERS.pop(key, None) or (Checker(found, vocabulary, wanted, kept), found)
    CHECKERS[key] = made  # the last used stands last; with its library, lest an id be given again
    while len(CHECKERS) > MOST_CHECKERS:
        del CHECKERS[next(iter(CHECKERS))]
    return made[0]


@contextmanager
def rulesets_shared() -> Iterator[None]:
    """What commands open is shared while this lasts."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(library, "_read", _read)
        patch.setattr(startup, "Checker", _checker)
        yield


def alone() -> None:
    """Share nothing any more: a process that was split off from this one opens what it needs as any other does."""
    library._read, startup.Checker = read_anew, Checker  # type: ignore[misc]
