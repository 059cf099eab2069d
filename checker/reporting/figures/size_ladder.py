"""Sizes of breakers and fuses as a ladder: the standard ones as rungs, the nameplate's limits, and what is there."""

from __future__ import annotations

import functools
from collections.abc import Iterator
from typing import Any, NamedTuple

from matplotlib.axes import Axes

from checker.findings.finding import Finding, Working
from checker.ir.outcomes import FAIL, PASS
from checker.reading.files import read_file
from checker.reading.job import Job
from checker.reporting.figures import amounts, canvas
from checker.rulesets.library import SHIPPED
from checker.trade.overcurrent import RATINGS

LIMITS = SHIPPED / "codes" / "nec" / "limits.yaml"
PLATE = (
    ("minimum_circuit_ampacity", "minimum ampacity"),
    ("maximum_breaker", "maximum breaker"),
    ("maximum_fuse", "maximum fuse"),
)
BOTH = "maximum breaker and fuse"
PLACES = {"panel": "in the panel", "disconnect": "at the disconnect", "in_unit": "inside the unit"}
MOST_NAMED = 2  # devices of one size that are named one by one
COLUMNS = 33  # characters of a line
ROW = 0.24  # inches that a rung or a line of text takes
RAILS, RAIL = (1.3, 2.9), "#8c8c8c"  # across the picture, which is 10 wide


class Mark(NamedTuple):
    """Something at a size: `device` for a breaker or fuse that is there, else a limit of the nameplate; `look` as in canvas."""

    size: float
    name: str
    device: bool
    key: str = ""
    look: str = canvas.PLAIN


class Label(NamedTuple):
    """The text beside a size, in so many lines."""

    size: float
    text: str
    device: bool
    look: str

    @property
    def lines(self) -> float:
        return self.text.count("\n") + 1.0


@functools.cache
def standard_sizes() -> tuple[float, ...]:
    """The ratings (A) that are standard in every edition of the shipped electrical ruleset."""
    lists: list[dict[str, Any]] = read_file(LIMITS, "limits.yaml").data["limits"][RATINGS]["values"]
    common = set.intersection(*(set(one["value"]) for one in lists))
    return tuple(sorted(float(size) for size in common))


def figure(finding: Finding, job: Job, name: str) -> canvas.Figure | None:
    """The picture; None without a device or without a number of the nameplate."""
    marks = [mark._replace(look=_look(mark, finding)) for mark in _marks(finding.item, job)]
    if not any(mark.device for mark in marks) or all(mark.device for mark in marks):
        return None
    rungs, labels = _rungs(marks), _labels(marks)
    places = canvas.spread([_height(one.size, rungs) for one in labels], [one.lines for one in labels])
    low = min([-0.6, *(place - one.lines / 2 for place, one in zip(places, labels, strict=True))])
    high = max([len(rungs) - 0.4, *(place + one.lines / 2 for place, one in zip(places, labels, strict=True))])
    title = f"Breaker and fuse sizes: {canvas.short(finding.item)}"
    with canvas.sheet(0.15 + ROW * (high - low)) as (sheet, axes):
        axes.set(xlim=(0, 10), ylim=(low, high))
        axes.set_axis_off()
        _draw_ladder(rungs, _allowed(marks), axes)
        for one, place in zip(labels, places, strict=True):
            _draw_label(one, _height(one.size, rungs), place, axes)
        return canvas.finished(sheet, name, title, _told(finding.item, marks, rungs), *_legend(marks))


def _marks(item: str, job: Job) -> list[Mark]:
    """The nameplate's numbers and the devices of a circuit, the smallest first."""
    circuits = job.lists.get("circuits", ())
    if item not in circuits:
        return []
    base = f"circuits.{circuits.index(item)}"
    plate = [
        Mark(size, name, False)
        for fact, name in PLATE
        if (size := amounts.reading(job, f"{base}.nameplate.{fact}")) is not None
    ]
    return sorted([*plate, *_devices(base, job)], key=lambda mark: (mark.size, mark.device))


def _look(mark: Mark, finding: Finding) -> str:
    """A device fails where the finding does and the device is on the wrong side of the limit that it was held to."""
    if not mark.device or finding.outcome != FAIL:
        return canvas.PASSES if mark.device and finding.outcome == PASS else canvas.PLAIN
    missed = [one for one in finding.workings if one.holds == "does not hold" and len(one.amounts) == 2]
    return canvas.FAILS if any(_misses(mark, working) for working in missed) else canvas.PLAIN


def _misses(mark: Mark, working: Working) -> bool:
    read, limit = working.amounts
    if read is None or limit is None:
        return False
    if mark.name.endswith(PLACES["in_unit"]) and mark.size != read:  # not held to it
        return False
    return mark.size > limit if working.operators[0] in ("<", "<=") else mark.size < limit


def _devices(base: str, job: Job) -> Iterator[Mark]:
    for index, key in enumerate(job.lists.get(f"{base}.devices", ())):
        at = f"{base}.devices.{index}"
        size = amounts.reading(job, f"{at}.rating")
        if size is not None:
            kind = job.text(f"{at}.kind") or "breaker or fuse"
            place = PLACES.get(job.text(f"{at}.place"), "")
            yield Mark(size, f"{kind} {place}".rstrip(), True, canvas.short(key))


def _rungs(marks: list[Mark]) -> list[float]:
    """Standard sizes from one below the smallest mark to one above the largest."""
    sizes = standard_sizes()
    first = sum(size < marks[0].size for size in sizes) - 1
    last = sum(size <= marks[-1].size for size in sizes)
    return list(sizes[max(first, 0) : last + 1])


def _labels(marks: list[Mark]) -> list[Label]:
    """The nameplate's numbers of one size on one label, and the devices of one size on one, the smallest size first."""
    found = []
    for size, device in dict.fromkeys((mark.size, mark.device) for mark in marks):
        same = [mark for mark in marks if (mark.size, mark.device) == (size, device)]
        names = [mark.name for mark in same]
        look = canvas.FAILS if any(mark.look == canvas.FAILS for mark in same) else same[0].look
        names = [BOTH] if {name for _, name in PLATE[1:]} <= set(names) and not device else names
        named = " and ".join(names) if len(names) <= MOST_NAMED else f"{len(names)} devices"
        text = f"{amounts.written(size, 'A')} {'there: ' if device else ''}{named}"
        found.append(Label(size, canvas.wrapped(text, COLUMNS), device, look))
    return found


def _allowed(marks: list[Mark]) -> tuple[float, float] | None:
    """From the minimum ampacity to the smallest maximum, where the plate gives both."""
    low = [mark.size for mark in marks if mark.name == PLATE[0][1] and not mark.device]
    high = [mark.size for mark in marks if mark.name != PLATE[0][1] and not mark.device]
    return (low[0], min(high)) if low and high and low[0] <= min(high) else None


def _height(size: float, rungs: list[float]) -> float:
    """How high a size stands: rungs are 0, 1, 2 …, other sizes between them, or half a step beyond the ends."""
    if size < rungs[0]:
        return -0.5
    if size > rungs[-1]:
        return len(rungs) - 0.5
    below = max(at for at, rung in enumerate(rungs) if rung <= size)
    if size == rungs[below]:
        return float(below)
    return below + (size - rungs[below]) / (rungs[below + 1] - rungs[below])


def _draw_ladder(rungs: list[float], allowed: tuple[float, float] | None, axes: Axes) -> None:
    if allowed:
        low, high = (_height(size, rungs) for size in allowed)
        axes.fill_between(RAILS, low, high, color=canvas.PALE_GREEN, linewidth=0)
    for at, rung in enumerate(rungs):
        axes.plot(RAILS, [at, at], color=RAIL, linewidth=1)
        axes.text(RAILS[0] - 0.15, at, amounts.written(rung, "A"), ha="right", va="center", color=canvas.QUIET)
    for rail in RAILS:
        axes.plot([rail, rail], [-0.5, len(rungs) - 0.5], color=RAIL)


def _draw_label(one: Label, at: float, place: float, axes: Axes) -> None:
    """A device as a dot on the ladder, a number of the nameplate as a line across; the text led to it."""
    left, right = RAILS
    color = canvas.LOOKS[one.look].color if one.device else canvas.RUST
    if one.device:
        canvas.dot(axes, (left + right) / 2, at, one.look)
        axes.plot([(left + right) / 2, right + 0.5], [at, place], color=color, linewidth=0.8)
    else:
        canvas.line(axes, (left, at), (right, at), color)
        axes.plot([right, right + 0.5], [at, place], color=color, linewidth=0.8)
    axes.text(right + 0.6, place, one.text, va="center", color=color)


def _legend(marks: list[Mark]) -> tuple[str, ...]:
    crossed = any(mark.look == canvas.FAILS for mark in marks)
    return (
        "Lines across: the nameplate. Marks: what is there.",
        "A cross is a breaker or fuse of the wrong size." if crossed else "",
    )


def _told(item: str, marks: list[Mark], rungs: list[float]) -> str:
    shaded = " The part from the minimum ampacity to the smallest maximum is shaded." if _allowed(marks) else ""
    plate = "; ".join(f"{mark.name} {amounts.written(mark.size, 'A')}" for mark in marks if not mark.device)
    there = "; ".join(f"{mark.key}, {mark.name}, {amounts.written(mark.size, 'A')}" for mark in marks if mark.device)
    sizes = ", ".join(f"{rung:g}" for rung in rungs)
    return (
        f"Circuit {canvas.short(item)}. On the nameplate: {plate}. What is there: {there}. "
        f"Standard sizes around them, in A: {sizes}.{shaded}"
    )
