"""A vocabulary as plain data for JSON: what a reader of jobs needs that has neither the job schema nor the list of units."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from checker.reading import units
from checker.reading.fact_shapes import Bounds, Leaf, ListOf
from checker.reading.vocabulary import Vocabulary

ASIDE = ("path", "word_of", "word_of_values", "description", "boxes")  # nothing that reads or asks needs them
TOLD = (  # of the commands
    "known_by", "equipment", "one_thing", "photographed", "photographed_within", "start", "start_items", "together", "lines",
    "title_block", "records",
)  # fmt: skip


def document(vocabulary: Vocabulary) -> dict[str, Any]:
    """A vocabulary as plain data; what has its usual value is left out."""
    return {
        "facts": {path: _leaf(leaf) for path, leaf in vocabulary.leaves.items()},
        "lists": {path: _without(ListOf("", "", "", False, 0), entry) for path, entry in vocabulary.lists.items()},
        "free": sorted(vocabulary.free),
        "roles": dict(vocabulary.roles),
        "stages": [stage._asdict() for stage in vocabulary.stages],
        "stations": [{"name": station.name, "heading": station.heading} for station in vocabulary.stations],
        "station_of": dict(vocabulary.station_names),
        "sections": {
            path: title for path in sorted(vocabulary.places) if (title := vocabulary.section_title(f"{path}.x"))
        },
        "holds": {path: sorted(sorts) for path, sorts in vocabulary.held.items()},
        "orders": list(vocabulary.schema.get("orders", ())),
        "sums": list(vocabulary.schema.get("sums", ())),
        "caution": vocabulary.caution,
        "commands": {name: vocabulary.commands[name] for name in TOLD if name in vocabulary.commands},
        "units": list(_units({leaf.kind for leaf in vocabulary.leaves.values()})),
        "differences": units.DIFFERENCE_OF,
    }


_PLAIN = Leaf("", "", "", "", "", "", "", "", None, "", (), False, None, "", 0)


def _leaf(leaf: Leaf) -> dict[str, Any]:
    told = _without(_PLAIN, leaf)
    if leaf.said:
        told["said"] = {word: list(values) for word, values in leaf.said}
    if "bounds" in told:
        told["bounds"] = _ends(leaf.bounds)
    return told


def _ends(bounds: Bounds) -> list[float | None]:
    """The four ends; null for one that is open."""
    return [end if math.isfinite(end) else None for end in bounds]


def _without(usual: Any, entry: Any) -> dict[str, Any]:
    """The fields of an entry that are not as usual, with lists for tuples."""
    told = {}
    for name, value in entry._asdict().items():
        if name not in ASIDE and value != getattr(usual, name):
            told[name] = list(value) if isinstance(value, tuple) else value
    return told


def _units(kinds: set[str]) -> Iterator[Mapping[str, Any]]:
    """The units of some kinds as people write them, each with the kinds next to it that are told of in a mistake."""
    for unit in units.all_units().values():
        scale, offset = units.scale_and_offset(unit)
        told = {"kind": unit.kind, "name": unit.name, "shown": units.shown(unit.name), "also": list(unit.also)}
        yield {**told, "typed": list(unit.typed), "scale": scale, "offset": offset} if unit.kind in kinds else told
