"""Facts that the program adds up from their parts, where the job schema says so and the job records the parts alone."""

from __future__ import annotations

import functools
import re
from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from typing import Any

from checker.reading import units
from checker.reading.fact_reader import Reading
from checker.reading.fact_shapes import pattern
from checker.reading.vocabulary import Vocabulary
from checker.trade.sums import total

POSITION = re.compile(r"\.(\d+)(?=\.)")
Recorded = Mapping[str, Mapping[tuple[str, ...], str]]  # fact → positions of the items that hold it → its full path


def recorded(readings: Collection[str], wanted: Collection[str]) -> Recorded:
    """Where some facts are recorded."""
    found: defaultdict[str, dict[tuple[str, ...], str]] = defaultdict(dict)
    for path in readings:
        fact = pattern(path)
        if fact in wanted:
            found[fact][tuple(POSITION.findall(path))] = path
    return found


def with_sums(readings: Mapping[str, Reading], vocabulary: Vocabulary) -> Mapping[str, Reading]:
    """Readings of a job, with each sum that it leaves out and whose parts it records."""
    for one in vocabulary.schema.get("sums", ()):
        if one.get("adds"):
            readings = {**readings, **_added(one, readings, vocabulary)}
    return readings


def _added(one: Mapping[str, Any], readings: Mapping[str, Reading], vocabulary: Vocabulary) -> dict[str, Reading]:
    """The sums that are left out, by full path."""
    found = recorded(readings, {one["whole"], *one["parts"]})
    whole, (first, *others) = found.get(one["whole"], {}), [found.get(part, {}) for part in one["parts"]]
    added = {}
    for positions, path in first.items():
        paths = [path, *(part[positions] for part in others if positions in part)]
        amount = sum_of(one, [readings[part] for part in paths])
        if positions not in whole and len(paths) == len(one["parts"]) and amount is not None:
            at = f"{path.rpartition('.')[0]}.{one['whole'].rpartition('.')[2]}"
            added[at] = _reading(vocabulary, at, amount, tuple(readings[part] for part in paths), tuple(paths))
    return added


def sum_of(one: Mapping[str, Any], parts: Sequence[Reading]) -> float | None:
    """What the parts of a sum come to, in base units; None where one of them is no amount."""
    values = [part.value for part in parts]
    if not all(isinstance(value, float) for value in values):
        return None
    amounts = [value for value in values if isinstance(value, float)]
    return total(map(abs, amounts) if one.get("without_signs") else amounts)


@functools.lru_cache(maxsize=1000)
def _reading(
    vocabulary: Vocabulary, path: str, amount: float, parts: tuple[Reading, ...], paths: tuple[str, ...]
) -> Reading:
    """A sum, the same one for the same parts."""
    leaf = vocabulary.leaves[pattern(path)]
    digits = max(part.digits for part in parts)
    summands = " + ".join(part.written.partition(" ")[0].lstrip("-") for part in parts)
    written = f"{units.write_amount(amount, leaf.kind, leaf.unit, digits)} ({summands})"
    return Reading(amount, written, leaf.unit, digits, added_from=paths)
