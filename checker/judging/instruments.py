"""The accuracy of each reading: of the instrument the job names, else of what the rulesets give for that kind of reading."""

from __future__ import annotations

import functools
from collections.abc import Sequence
from typing import NamedTuple

from checker.judging.uncertainty import Accuracy, AccuracyOf, combined
from checker.reading import units
from checker.reading.fact_shapes import pattern
from checker.reading.job import Job
from checker.rulesets import limits
from checker.rulesets.chain import Chain
from checker.trade.sums import total

GIVEN_FOR = "accuracy_{}"  # a ruleset's limit for a kind of reading: accuracy_…
SHARE_FOR = "accuracy_{}_of_reading"  # or as a share of what is read


def of(job: Job, chain: Chain) -> AccuracyOf:
    """The accuracy of the reading at a full path; None: measured, but unstated; False: not measured."""

    @functools.cache
    def accuracy(path: str) -> Accuracy | bool | None:
        leaf = job.vocabulary.leaf(path)
        if leaf is None or not leaf.measured:
            return False
        reading = job.readings.get(path)
        if reading is None or not isinstance(reading.value, float):
            return False
        if reading.added_from:
            return _of_a_sum([accuracy(part) for part in reading.added_from])
        index = instrument_at(job, reading.instrument, leaf.measured)
        stated = _stated(job, instruments()[index], index, leaf.kind, reading.value) if index >= 0 else None
        if stated is not None:
            return Accuracy(stated, job.lists[job.at("instruments")][index])
        by_kind = given(chain, leaf.measured)
        return by_kind and Accuracy(by_kind.fixed + by_kind.share * abs(reading.value), leaf.measured)

    @functools.cache
    def instruments() -> list[list[tuple[str, float]]]:
        return _instruments(job)

    return accuracy


def _of_a_sum(parts: Sequence[Accuracy | bool | None]) -> Accuracy | bool | None:
    """The accuracy of readings added up: those of one instrument may all be off the same way (JCGM 100, 5.2.2)."""
    known = [part for part in parts if isinstance(part, Accuracy)]
    if len(known) < len(parts):
        return None if None in parts else False
    return Accuracy(combined([(part.instrument, part.half_width) for part in known]), known[0].instrument)


def _instruments(job: Job) -> list[list[tuple[str, float]]]:
    """For each instrument of the job, the kinds and amounts of its stated accuracies."""
    listed = job.at("instruments")
    found: list[list[tuple[str, float]]] = [[] for _ in job.items("instruments")]
    for path, reading in job.readings.items():
        if listed and path.startswith(f"{listed}.") and isinstance(reading.value, float):
            leaf = job.vocabulary.leaves[pattern(path)]
            kind = leaf.kind
            if leaf.form == "quantity" and kind != "number" and leaf.path != job.at("instruments.span"):
                found[int(path.removeprefix(f"{listed}.").split(".")[0])].append((kind, abs(reading.value)))
    return found


def instrument_at(job: Job, named: str, measured: str) -> int:
    """The list position of the instrument a reading names, or of the only one of its kind; -1 where there is none."""
    keys = job.lists.get(job.at("instruments"), ())
    if named:
        return keys.index(named) if named in keys else -1
    of_kind = [i for i in range(len(keys)) if job.text(job.at("instruments.kind", i)) == measured]
    return of_kind[0] if len(of_kind) == 1 else -1


def _stated(job: Job, fixed: list[tuple[str, float]], index: int, kind: str, amount: float) -> float | None:
    """Half-width in base units: the fixed part in the kind's own difference, and the part of the reading."""
    difference = units.DIFFERENCE_OF.get(kind, kind)
    parts = [part for of, part in fixed if of == difference]
    share = job.value(job.at("instruments.accuracy_of_reading", index))
    of_span = job.value(job.at("instruments.accuracy_of_span", index))
    span = job.value(job.at("instruments.span", index))
    parts += [abs(share * amount)] if isinstance(share, float) else []
    parts += [abs(of_span * span)] if isinstance(of_span, float) and isinstance(span, float) else []
    return total(parts) if parts else None


class Given(NamedTuple):
    """The accuracy that rulesets give for a kind of reading: an amount in base units, and a share of the reading."""

    fixed: float
    share: float


def given(chain: Chain, measured: str) -> Given | None:
    """What the rulesets of a place give for a kind of reading; None where they give nothing."""
    fixed, share = (_limit(chain, name.format(measured)) for name in (GIVEN_FOR, SHARE_FOR))
    return None if fixed is None and share is None else Given(fixed or 0.0, share or 0.0)


def _limit(chain: Chain, name: str) -> float | None:
    if name not in chain.limit_names:
        return None
    limit = chain.homes["limits", name].limits[name]
    value = limits.read(limit, str(limit.values[-1].value))
    return value if isinstance(value, float) else None
