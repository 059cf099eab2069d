"""A maker's sheet: what a maker says of its models, kept once, for the jobs that name such a model.

    sheets:
      aldous-t:
        maker: Aldous
        part: bell
        models: ["T-##"]
        manual: {title: Letter of Aldous, page: "2", read_on: 2024-01-05, read_by: Wat Tyne}
        sure: checked
        facts:
          bell.stamp.full_swing: 32 in
          founder.least_girth: {none: not said}
          rope.fibre: hemp

`part` says which model of a job is meant: the job schema names the parts, and the list (here ropes) of which a path that
begins with its prefix (here `rope.`) means the item that serves that part.
`sure` is `checked`, `from_memory` or `doubtful`.

What a sheet may say is closed: facts that follow from the model alone. Nothing that is measured, nothing that is known
only once the work is done, nothing that differs from one unit, house or pair of units to the next. The job schema lists it.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Mapping
from dataclasses import replace
from typing import NamedTuple

from checker.problems.document import Document
from checker.problems.problem import Problem
from checker.reading.fact_reader import Reading
from checker.reading.fact_shapes import Leaf, under
from checker.reading.sureness import SURE
from checker.reading.vocabulary import Vocabulary


class Part(NamedTuple):
    """A kind of equipment: the facts that name its model and maker, what its circuit serves, how it is called, and what its
    sheet may give: facts, and groups of facts.

    The values of its own list item are not taken unless the fact `unless` is known to be no; `why` says so.
    """

    model: str
    maker: str
    title: str
    gives: tuple[str, ...]
    serves: str = ""
    unless: str = ""
    why: str = ""


class Equipment(NamedTuple):
    """What sheets of a trade may speak of: kinds of equipment, and the list of which each has an item of its own.

    A path in a sheet that begins with `prefix` is of the one item of `own` whose fact `by` names what the part serves.
    `of_one_job` are asked of a maker's tables for one job: a sheet can only say that there is none.
    """

    parts: Mapping[str, Part]
    of_one_job: tuple[str, ...] = ()
    prefix: str = ""
    own: str = ""
    by: str = ""

    def in_a_sheet(self, path: str) -> str:
        """How a sheet writes the path of a fact."""
        return self.prefix + path.removeprefix(f"{self.own}.") if self.own and path.startswith(f"{self.own}.") else path

    def in_a_job(self, path: str) -> str:
        """The path of a fact that a sheet writes so."""
        return f"{self.own}.{path.removeprefix(self.prefix)}" if self.prefix and path.startswith(self.prefix) else path


@functools.lru_cache(maxsize=8)
def equipment_of(vocabulary: Vocabulary) -> Equipment:
    """What sheets may speak of under a job schema."""
    told = dict(vocabulary.commands.get("equipment", {"parts": {}}))
    parts = {name: Part(**{**part, "gives": tuple(part["gives"])}) for name, part in told.pop("parts").items()}
    return Equipment(parts, tuple(told.pop("of_one_job", ())), **told)


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

    def problem(self, what: str, hint: str) -> Problem:
        return self.document.problem(("sheets", self.id, "="), what, hint)

    @property
    def mark(self) -> str:
        """How sure it is, behind what is taken from it; nothing where it was checked."""
        return "" if self.sure == "checked" else f", {SURE[self.sure]}"

    @property
    def origin(self) -> str:
        """Where its values come from, as a finding says it."""
        return f"from the manufacturer's sheet {self.id} ({self.manual.title}, p. {self.manual.page}{self.mark})"

    @property
    def source(self) -> str:
        """All that is known of where it was read."""
        title, page, on, by = self.manual
        return f"the manufacturer's sheet {self.id} ({self.maker}, {title}, p. {page}, read {on} by {by}{self.mark})"

    def marked(self, reading: Reading) -> Reading:
        """A value of this sheet as a job that inherits it holds it: nobody takes it for one that was read on the job."""
        return replace(reading, written=f"{reading.written} (manufacturer's sheet{self.mark})", origin=self.origin)

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
    equipment = equipment_of(vocabulary)
    named = {equipment.in_a_sheet(path): leaf for path, leaf in vocabulary.leaves.items()}
    groups = equipment.parts[part].gives
    return {
        path: leaf
        for path, leaf in named.items()
        if vocabulary.seen_at_any_time(leaf) and not leaf.measured and any(under(path, group) for group in groups)
    }
