"""An empty sheet to fill in: headings, and under them the units that bare numbers are in."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from checker.importing.headings import written
from checker.importing.places import Fault
from checker.problems.problem import did_you_mean
from checker.reading import units
from checker.reading.fact_shapes import Leaf, pattern, under
from checker.reading.vocabulary import Vocabulary
from checker.reporting.csv_safe import safe_cell


def render(vocabulary: Vocabulary, groups: Sequence[str] = ()) -> str:
    """CSV of two rows: paths, and units.

    Args:
        groups: The groups of facts to ask for, such as `evacuation`; those of the short start where none is named.

    Raises:
        Fault: There is no such group.
    """
    paths = ["job_id", *(path for group in groups for path in _under(vocabulary, group))]
    paths = list(dict.fromkeys(paths)) if groups else ["job_id", *vocabulary.commands.get("columns", ())]
    below = ["unit", *(_unit(vocabulary.leaves[pattern(path)]) for path in paths[1:])]
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([[safe_cell(cell) for cell in row] for row in (paths, below)])
    return text.getvalue()


def _under(vocabulary: Vocabulary, group: str) -> list[str]:
    """The facts of a group, lists by their first item."""
    paths = [path for path in vocabulary.leaves if under(path, group)]
    if not paths:
        known = sorted({place for place in vocabulary.places if place not in vocabulary.leaves})
        top = ", ".join(sorted({place.split(".")[0] for place in known}))
        raise Fault(f"There is no group of facts '{group}'.", did_you_mean(group, known) or f"There is: {top}.")
    return [written(path, {}, vocabulary) for path in paths]


def _unit(leaf: Leaf) -> str:
    return units.shown(leaf.unit) if leaf.form == "quantity" else ""
