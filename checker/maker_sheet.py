"""A maker's sheet: what a maker says of its models, kept once, for the jobs that name such a model.

    sheets:
      nivarrick-nv14:
        maker: Nivarrick
        part: outdoor_unit
        models: ["NV14-0##"]
        manual: {title: Installation manual NV14, page: "12", read_on: 2026-05-02, read_by: Ines Tallow}
        sure: checked
        facts:
          instructions.evacuation_level: 420 micron
          instructions.superheat_target: {none: charged by subcooling}
          circuit.nameplate.maximum_breaker: 30 A

`part` says which model of a job is meant: `outdoor_unit.model`, `indoor_unit.model`, or `heating.furnace_model`. A path
that begins with `circuit.` is of the circuit that serves that part. `sure` is one of the four marks of `sureness`.

What a sheet may say is closed: facts that follow from the model alone. Nothing that is measured, nothing that is known
only once the work is done, nothing that differs from one unit, house or pair of units to the next. See `GIVES`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import NamedTuple

from checker.document import Document
from checker.facts import Leaf, Vocabulary
from checker.problems import Problem
from checker.readings import Reading
from checker.sureness import SURE

CIRCUIT = "circuit."


class Part(NamedTuple):
    """A kind of equipment: the facts that name its model and maker, what its circuits serve, and how it is called."""

    model: str
    maker: str
    serves: str
    title: str


PARTS = {
    "outdoor_unit": Part("outdoor_unit.model", "outdoor_unit.maker", "outdoor_unit", "outdoor unit"),
    "indoor_unit": Part("indoor_unit.model", "indoor_unit.maker", "air_handler", "indoor unit"),
    "furnace": Part("heating.furnace_model", "heating.furnace_maker", "furnace", "furnace"),
}

# What each kind of equipment's sheet may give: facts, and groups of facts.
GIVES = {
    "outdoor_unit": (
        "instructions",
        "circuit.nameplate",
        "outdoor_unit.nameplate",
        "outdoor_unit.compressor",
        "outdoor_unit.made_for_flammable_refrigerant",
        "ratings.product_class",
    ),
    "indoor_unit": (
        "instructions",
        "circuit.nameplate",
        "indoor_unit.kind",
        "indoor_unit.coil_refrigerant",
        "indoor_unit.made_for_flammable_refrigerant",
        "heating.blower_rated_static",
        "heating.heat_kit.blower_current",
    ),
    "furnace": (
        "instructions",
        "circuit.nameplate",
        "heating.furnace_category",
        "heating.condensing",
        "heating.furnace_listed_for_coil",
        "heating.blower_rated_static",
        "heating.rise_minimum",
        "heating.rise_maximum",
        "ratings.afue",
    ),
}

# Asked of the maker's tables at the lengths, charge or weather of one job: a sheet can only say that there is none.
OF_ONE_JOB = (
    "instructions.superheat_target",
    "instructions.minimum_room_area",
    "instructions.liquid_size",
    "instructions.vapor_size",
)


class Manual(NamedTuple):
    """Where a sheet was read, when and by whom."""

    title: str
    page: str
    read_on: str
    read_by: str


class Sheet(NamedTuple):
    """One maker's values for some of its models, and the text they stand in."""

    id: str
    maker: str
    part: str
    models: tuple[str, ...]
    manual: Manual
    sure: str
    facts: Mapping[str, Reading]
    document: Document

    @property
    def place(self) -> str:
        """The file and line it stands at."""
        where = self.document.where(("sheets", self.id, "="))
        return f"{where.file}:{where.line}"

    def problem(self, what: str, mend: str) -> Problem:
        return self.document.problem(("sheets", self.id, "="), what, mend)

    @property
    def _mark(self) -> str:
        return "" if self.sure == "checked" else f", {SURE[self.sure]}"

    @property
    def origin(self) -> str:
        """Where its values come from, as a finding says it."""
        return f"from the maker's sheet {self.id} ({self.manual.title}, p. {self.manual.page}{self._mark})"

    @property
    def source(self) -> str:
        """All that is known of where it was read."""
        title, page, on, by = self.manual
        return f"the maker's sheet {self.id} ({self.maker}, {title}, p. {page}, read {on} by {by}{self._mark})"

    def marked(self, reading: Reading) -> Reading:
        """A value of this sheet as a job that inherits it holds it: nobody takes it for one that was read on the job."""
        return replace(reading, written=f"{reading.written} (maker's sheet{self._mark})", origin=self.origin)

    def fits(self, model: str) -> bool:
        return any(fits(pattern, model) for pattern in self.models)


def fits(pattern: str, model: str) -> bool:
    """Whether a whole model number is of a pattern.

    `*` stands for any run of characters, `?` for one, `#` for one digit; all else is itself, small and capital letters
    alike, spaces and dashes as written.
    """
    one = {"?": ".", "#": "[0-9]"}
    runs = ["".join(one.get(letter) or re.escape(letter) for letter in run) for run in re.split(r"\*+", pattern)]
    if len(runs) == 1:
        return bool(re.fullmatch(runs[0], model, re.IGNORECASE))
    between = "".join(f"(?>.*?{run})" for run in runs[1:-1])  # the first place that fits is as good as any
    return bool(re.fullmatch(f"{runs[0]}{between}.*{runs[-1]}", model, re.IGNORECASE))


def gives(part: str, vocabulary: Vocabulary) -> dict[str, Leaf]:
    """Every fact that a sheet of this kind of equipment may give, by its path in a sheet."""
    named = {path.replace("circuits.", CIRCUIT, 1): leaf for path, leaf in vocabulary.leaves.items()}
    return {
        path: leaf
        for path, leaf in named.items()
        if leaf.known == "after" and not leaf.measured and any(_within(path, group) for group in GIVES[part])
    }


def _within(path: str, group: str) -> bool:
    return path == group or path.startswith(f"{group}.")
